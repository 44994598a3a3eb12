"""From the desk to its jigs: one for each distinct pattern, and where each is used."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from deskmodel.findings import Severity
from deskmodel.frames import Pose, Vec
from deskmodel.jigs._forms import SIGHT, end_form, face_form
from deskmodel.jigs._groups import LIPS, Group, Line, SeatHole, Strange, seat_groups
from deskmodel.jigs._tools import FENCE, LEAST_FENCE, Refusal, Tools, end_tools, face_tools, seat_diameter, shoulder_opening
from deskmodel.jigs._types import Depth, Hand, Jig, JigPlan, JigUse, NotMade
from deskmodel.model import DeskModel
from deskmodel.part import Member
from deskmodel.tolerances import LENGTH
from deskmodel.workshop import Printer, Workshop

__all__ = ["jig_plan", "seat_pose"]

Axes = tuple[tuple[float, float], ...]

LIP_DEPTH = 12.0
"""mm that the lip of a face jig reaches over the edge."""

_FIRST_WAY = {("face side", "datum end"), ("under edge", "datum end"), ("back side", "far end"), ("face edge", "far end")}


@dataclass(frozen=True)
class _Seated:
    """A group with the axes of its jig: ``order`` puts its holes into the order of ``axes``."""

    group: Group
    axes: Axes
    order: tuple[int, ...]
    turned: bool
    hand: Hand | None
    far_sight: float

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for what one jig serves."""
        group = self.group
        return (not group.at_end, round(group.diameter, 6), LIPS.get(group.place, ""), self.axes, round(self.far_sight, 6),
                self.hand or "")


def jig_plan(model: DeskModel) -> JigPlan:
    """The jigs of a desk for the dowel holes of its members, with the tools of its workshop. What is not made is said."""
    groups, strange = seat_groups(model)
    refused: list[tuple[Group, Refusal]] = []
    able: list[Group] = []
    workshop = model.workshop
    if workshop.printer is None:
        none = Refusal("the workshop has no printer", "mark the holes out and drill them with a guide block", "note",
                       source=workshop.source)
        return JigPlan((), (), _not_made([(group, none) for group in groups], strange))
    for group in groups:
        tools = _tools(group, group.axes, group.depth, workshop, workshop.printer)
        if isinstance(tools, Refusal):
            refused.append((group, tools))
        else:
            able.extend(_apart(group, seat_diameter(tools.bush, workshop.printer.seat) + workshop.printer.wall))
    buckets: dict[tuple[object, ...], list[_Seated]] = {}
    for seated in _seated(_lined(able, model, workshop.printer)):
        buckets.setdefault(seated.key, []).append(seated)
    jigs: list[Jig] = []
    uses: list[JigUse] = []
    for _, bucket in sorted(buckets.items(), key=lambda each: repr(each[0])):
        for jig, served in _made(model, bucket, workshop.printer):
            if isinstance(jig, Refusal):
                refused.extend((seated.group, jig) for seated in served)
                continue
            jig = replace(jig, number=f"J{len(jigs) + 1}")
            jigs.append(jig)
            uses.extend(_uses(model, jig, served))
    return JigPlan(tuple(jigs), tuple(uses), _not_made(refused, strange))


def seat_pose(jig: Jig, member: Member, place: str, mark: float | None, turned: bool, extra: Vec = (0.0, 0.0, 0.0)) -> Pose:
    """Where a jig sits: member frame = pose · seat frame. ``extra``: by how much the stock is longer, thicker and higher
    than designed; its frame then is that of the stock, from datum end, face side and under edge."""
    length, (width, height) = member.length + extra[0], member.section
    width, height = width + extra[1], height + extra[2]
    if jig.kind == "end":
        at = length + (jig.web or 0.0) if turned else 0.0
        return _columns((0.0, 1.0, 0.0), (0.0, 0.0, -1.0), (-1.0, 0.0, 0.0), (at, 0.0, height))
    assert mark is not None
    way, v, w, y, z = {"face side": (-1.0, (0.0, 0.0, -1.0), (0.0, -1.0, 0.0), 0.0, height),
                       "back side": (1.0, (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), width, height),
                       "face edge": (1.0, (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), 0.0, height),
                       "under edge": (-1.0, (0.0, 1.0, 0.0), (0.0, 0.0, -1.0), 0.0, 0.0)}[place]
    at = mark - way * (jig.far_sight or 0.0) if turned else mark
    return _columns((way, 0.0, 0.0), v, w, (at, y, z))


def _columns(u: Vec, v: Vec, w: Vec, origin: Vec) -> Pose:
    return Pose(((u[0], v[0], w[0]), (u[1], v[1], w[1]), (u[2], v[2], w[2])), origin)


def _tools(group: Group, axes: Axes, depth: float, workshop: Workshop, printer: Printer) -> Tools | Refusal:
    if group.at_end:
        return end_tools(axes, group.diameter, depth, workshop)
    return face_tools(group.diameter, depth, workshop, printer.seat)


def _apart(group: Group, least: float) -> Iterator[Group]:
    """The group in as few parts as keep their bushes ``least`` mm apart, each a pattern of its own."""
    rest = list(group.holes)
    while rest:
        taken: list[SeatHole] = []
        for hole in rest:
            if all(math.dist(hole.axis, other.axis) >= least - LENGTH for other in taken):
                taken.append(hole)
        yield replace(group, holes=tuple(taken))
        rest = [hole for hole in rest if hole not in taken]


def _lined(groups: Sequence[Group], model: DeskModel, printer: Printer) -> Iterator[Group]:
    """The groups, those that are marked by themselves as if something entered: with a jig that another group has anyway
    where there is one."""
    known: dict[tuple[object, ...], float] = {}
    for group in groups:
        distances = {round(u, 6) for u, _ in group.axes}
        if group.line is not None and len(distances) == 1 and min(distances) > 0:
            known.setdefault(_row_of(group), min(distances))
    for group in groups:
        if group.at_end or group.line is not None:
            yield group
            continue
        tools = _tools(group, group.axes, group.depth, model.workshop, printer)
        assert isinstance(tools, Tools)
        a = known.setdefault(_row_of(group), math.ceil(2 * (seat_diameter(tools.bush, printer.seat) / 2 + printer.wall)) / 2)
        x = group.holes[0].row.x
        line = Line(x - a, "far end", "") if x >= a else Line(x + a, "datum end", "")
        yield replace(group, line=line, holes=tuple(replace(hole, axis=(a, hole.axis[1])) for hole in group.holes))


def _row_of(group: Group) -> tuple[object, ...]:
    return LIPS.get(group.place), round(group.diameter, 6), tuple(round(v, 6) for _, v in group.axes)


def _seated(groups: Iterator[Group]) -> Iterator[_Seated]:
    for group in groups:
        axes = tuple((round(u, 6) + 0.0, round(v, 6) + 0.0) for u, v in group.axes)
        if group.at_end:
            yield _Seated(group, axes, tuple(range(len(axes))), group.place == "far end", None, 0.0)
            continue
        assert group.line is not None
        turned = (group.place, group.line.towards) not in _FIRST_WAY
        far = round(min(u for u, _ in axes) + max(u for u, _ in axes), 6)
        other = [(round(far - u, 6) + 0.0, v) for u, v in axes]
        if sorted(other) == sorted(axes) and far > LENGTH:
            yield _in_order(group, other if turned else axes, turned, None, far)
        else:  # not symmetric: a jig for each hand, with one sight edge at u = 0
            own = [(-u + 0.0, v) for u, v in axes] if turned else axes
            yield _in_order(group, own, turned, "R" if turned else "L", 0.0)


def _in_order(group: Group, axes: Sequence[tuple[float, float]], turned: bool, hand: Hand | None, far: float) -> _Seated:
    order = sorted(range(len(axes)), key=lambda i: axes[i])
    return _Seated(group, tuple(axes[i] for i in order), tuple(order), turned, hand, far)


def _made(model: DeskModel, bucket: list[_Seated], printer: Printer) -> Iterator[tuple[Jig | Refusal, list[_Seated]]]:
    first = bucket[0]
    deepest = max(seated.group.depth for seated in bucket)
    tools = _tools(first.group, first.axes, deepest, model.workshop, printer)
    assert isinstance(tools, Tools)  # each depth has been asked for
    if first.group.at_end and tools.fence is None:
        tools = replace(tools, web=tools.above)  # no gap on the drill's side
        for hand in (False, True):
            served = [seated for seated in bucket if seated.turned is hand]
            if served:
                yield _end_jig(model, served, tools, "R" if hand else "L", printer), served
        return
    make = _end_jig if first.group.at_end else _face_jig
    yield make(model, bucket, tools, first.hand, printer), bucket


def _depths(served: list[_Seated], tools: Tools) -> tuple[Depth, ...]:
    different = sorted({(round(s.group.depth, 6), s.group.through) for s in served})
    return tuple(_depth(depth, through, tools.above, tools.bit.tip) for depth, through in different)


def _depth(depth: float, through: bool, above: float, tip: float) -> Depth:
    return Depth(depth, depth + above, depth + above + tip, through)


def _end_jig(model: DeskModel, served: list[_Seated], tools: Tools, hand: Hand | None, printer: Printer) -> Jig | Refusal:
    sections = [_member(model, s).section for s in served]
    width, height = max(w for w, _ in sections), max(h for _, h in sections)
    seat = seat_diameter(tools.bush, printer.seat)
    axes, diameter = served[0].axes, served[0].group.diameter

    def form(fence: float) -> tuple[float, float, float]:
        return end_form(axes, seat, diameter, tools.web, (fence, 0.0 if hand else fence), (width, height), printer.wall).size

    across, along, _ = form(FENCE if tools.fence is None else tools.fence)
    bed = sorted(printer.bed[:2])
    room = bed[0] if across > bed[0] + LENGTH else bed[1]  # what is left for the fences
    fence = FENCE if tools.fence is None else tools.fence
    if along > room:
        fence = math.floor(2 * (room - tools.web) / (1 if hand else 2) + LENGTH) / 2
    if fence < LEAST_FENCE - LENGTH:
        return _too_large(along, room, model.workshop, printer)
    refusal = _off_the_bed(form(fence), model.workshop, printer)
    return refusal or Jig("", "end", hand, axes, diameter, tools.bit, tools.bush, seat, tools.gap, tools.above, width,
                          height, printer.wall, printer.nozzle, _depths(served, tools), tools.web, fence)


def _face_jig(model: DeskModel, served: list[_Seated], tools: Tools, hand: Hand | None, printer: Printer) -> Jig | Refusal:
    group = served[0].group
    faces = [_member(model, s).blank.face(s.group.place) for s in served]
    thickness = min(face.behind for face in faces)
    breadth = min(face.outline.bounds[3] for face in faces)
    lip_depth = min(LIP_DEPTH, thickness - 1.0)
    seat = seat_diameter(tools.bush, printer.seat)
    axes, far = served[0].axes, served[0].far_sight
    form = face_form(axes, seat, shoulder_opening(tools.bush), group.diameter, tools.above, far, hand, breadth, lip_depth,
                     printer.wall, max(printer.bed[:2]))
    if form.seen < SIGHT - LENGTH:
        return Refusal(f"{max(0.0, form.seen):.1f} mm of sight edge are left beside the bushes, {SIGHT:g} are needed",
                       "mark the holes out and drill them with a guide block", "warn", max(0.0, form.seen), SIGHT)
    refusal = _off_the_bed(form.size, model.workshop, printer)
    return refusal or Jig("", "face", hand, axes, group.diameter, tools.bit, tools.bush, seat, tools.gap, tools.above,
                          thickness, breadth, printer.wall, printer.nozzle, _depths(served, tools), None, None,
                          LIPS[group.place], lip_depth, far, form.high - form.low)


def _member(model: DeskModel, seated: _Seated) -> Member:
    part = model.part(seated.group.member).part
    assert isinstance(part, Member)
    return part


def _off_the_bed(size: tuple[float, float, float], workshop: Workshop, printer: Printer) -> Refusal | None:
    """None where it lies on the bed, turned or not."""
    for length, room in ((max(size[:2]), max(printer.bed[:2])), (min(size[:2]), min(printer.bed[:2])),
                         (size[2], printer.bed[2])):
        if length > room + LENGTH:
            return _too_large(length, room, workshop, printer)
    return None


def _too_large(length: float, room: float, workshop: Workshop, printer: Printer) -> Refusal:
    severity: Severity = "warn" if "printer" in workshop.assumed else "stop"
    bed = " × ".join(f"{each:g}" for each in printer.bed)
    return Refusal(f"the jig is {length:g} mm long one way and does not fit the printer's bed, {bed}",
                   f"print it on a bed with {length:g} mm, or have it printed", severity, length, room, printer.source)


def _uses(model: DeskModel, jig: Jig, served: list[_Seated]) -> Iterator[JigUse]:
    alike: dict[tuple[object, ...], list[_Seated]] = {}
    for seated in served:
        group = seated.group
        line = (round(group.line.at, 6), group.line.towards) if group.line else None
        alike.setdefault((group.holes[0].row.parts, group.place, line, seated.turned, tuple(h.row.at for h in group.holes)),
                         []).append(seated)
    for found in sorted(alike.values(), key=lambda each: _use_order(each[0].group)):
        seated, group = found[0], found[0].group
        holes = [group.holes[i] for i in seated.order]
        mark = group.line.at if group.line else None
        members = tuple(s.group.member for s in found)
        joints = tuple("; ".join(dict.fromkeys(h.joint for h in s.group.holes if h.joint)) for s in found)
        yield JigUse(jig.number, group.member, group.holes[0].row.parts[0], members, group.place, mark,
                     group.line.towards if group.line else None,
                     None if group.line is None else "second" if seated.turned and jig.hand is None else "first",
                     _depth(group.depth, group.through, jig.above, jig.bit.tip),
                     tuple((h.row.x, h.row.y) for h in holes), tuple(h.row.at for h in holes),
                     joints, seated.turned, seat_pose(jig, _member(model, seated), group.place, mark, seated.turned))


def _use_order(group: Group) -> tuple[object, ...]:
    return (group.member, group.place, group.line.at if group.line else 0.0, group.line.towards if group.line else "",
            group.holes[0].row.at)


def _not_made(refused: list[tuple[Group, Refusal]], strange: list[Strange]) -> tuple[NotMade, ...]:
    """Said once for each reason, at the first hole by member, face and place."""
    by_reason: dict[tuple[object, ...], list[tuple[str, str, tuple[float, float], str, Refusal, str | None]]] = {}
    for group, refusal in refused:
        for hole in group.holes:
            bore = hole.row.step("bore")
            told = "hole-not-drillable" if bore is not None and bore.fault is not None else None
            key = (refusal.reason if refusal.measured is None else refusal.reason.split(" mm ")[0], refusal.measured, told)
            by_reason.setdefault(key, []).append((group.member, group.place, hole.row.at, hole.joint, refusal, told))
    for each in strange:
        refusal = Refusal(each.why, each.remedy, "warn")
        found = by_reason.setdefault((each.why, None, None), [])
        found.append((each.part, each.row.face, each.row.at, each.joint, refusal, None))
    made = []
    for found in by_reason.values():
        found.sort(key=lambda each: (-(each[4].required or 0.0), each[:3]))
        member, place, at, _, refusal, told = found[0]
        parts = (member, *sorted({each[0] for each in found} - {member}))
        joints = tuple(sorted({each[3] for each in found if each[3]}))
        made.append(NotMade(parts, place, at, joints, refusal.reason, refusal.remedy, refusal.severity, refusal.measured,
                            refusal.required, refusal.source, told))
    return tuple(sorted(made, key=lambda each: (each.parts, each.place, each.at, each.reason)))
