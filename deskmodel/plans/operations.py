"""What is done to a member, one step after the other, stage by stage: the text of its operation sheet.

Everything is measured from face side, face edge and datum end; a step says where, how deep and with which tool.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from deskmodel.part import Member
from deskmodel.plans._datums import ENDS, Span
from deskmodel.plans.cut_list import STAGES, CutRow, Seam
from deskmodel.plans.schedule import DrillRow, Schedule
from deskmodel.plans.works import Work
from deskmodel.profiles import corner_radius
from deskmodel.workshop import Workshop

__all__ = ["JigOf", "Operation", "drilling_of", "glueing_of", "listed", "operations", "places_text", "work_text",
           "works_at"]

JigOf = Callable[[str, DrillRow], str]
"""(part, hole) -> the jig that guides the drill there, and its stop, in words; "" without one."""


@dataclass(frozen=True, slots=True)
class Operation:
    """``stage`` ("mark" comes first of all), what is done and ``tool``: with what."""

    stage: str
    text: str
    tool: str = ""


def operations(row: CutRow, schedule: Schedule, workshop: Workshop, jig_of: JigOf | None = None) -> tuple[Operation, ...]:
    """The steps of a member, in the order of the stages. ``jig_of``: tells the jig for a hole, where jigs were made."""
    assert isinstance(row.piece.part, Member)
    found = [Operation("mark", text) for text in _marking(row)]
    found += [_plane(row, workshop), _crosscut(row, workshop)]
    holes = schedule.of(row.piece.names[0])
    for stage in STAGES[1:]:
        found += works_at(row, stage)
        found += drilling_of(row, [hole for hole in holes if hole.stage == stage], jig_of)
        found += glueing_of(row, stage)
    found.append(Operation("finish", "Break sharp edges, sand; finish before anything is fitted."))
    order = ("mark", *STAGES)
    return tuple(sorted(found, key=lambda each: order.index(each.stage)))


def _marking(row: CutRow) -> Iterator[str]:
    told = dict.fromkeys(row.marks.values())
    looks = []
    for marks in told:
        names = [name for name, each in row.marks.items() if each == marks]
        looks.append(f"In the desk{f' ({listed(names)})' if len(told) > 1 else ''}: {marks}.")
    yield (f"Choose the best side as face side and the edge square to it as face edge; draw their marks and the datum end. "
           f"Write {row.piece.number} and the name on it. {' '.join(looks)}")


def _plane(row: CutRow, workshop: Workshop) -> Operation:
    _, width, height = row.finished
    text = (f"From rough {row.rough[0]:g} × {row.rough[1]:g} × {row.rough[2]:g}: face side and face edge flat and square, "
            f"then to {_n(width)} wide and {_n(height)} high; all members of one height in one setting.")
    return Operation("plane", text, "planer" if workshop.planer is not None else "")


def _crosscut(row: CutRow, workshop: Workshop) -> Operation:
    length = _n(row.finished[0])
    if not any(row.ends):
        return Operation("crosscut", f"Datum end square, then to {length} long, square.", _saw(workshop))
    leans = [f"{end} {'square' if not angle else f'leaning {_n(angle)}° from square, see bevel'}"
             for end, angle in zip(("datum end", "far end"), row.ends, strict=True)]
    return Operation("crosscut", f"To {length} long between the long points: {', '.join(leans)}. Cut it square first.",
                     _saw(workshop))


def _saw(workshop: Workshop) -> str:
    return f"saw, kerf {workshop.saw.kerf:g}" if workshop.saw is not None else "saw"


def works_at(row: CutRow, stage: str) -> Iterator[Operation]:
    for work in row.works:
        if work.stage == stage:
            yield Operation(stage, f"{work_text(work)}." + (f" ({work.name})" if work.name != work.kind else ""))


def work_text(work: Work) -> str:
    """"Groove in the face edge: 190 to 526 from the datum end, 0 to 12 from the face side, 1.9 deep"."""
    where = f"{_span(work.x)} from the {work.x_from}, {_span(work.y)} from the {work.y_from}"
    if work.kind == "bevel":
        return (f"Bevel of {_n(work.angle or 0.0)}° on the {work.face}: {where}; it takes {_n(work.depth)} off the "
                f"{work.second}, nothing at the other side of that stretch")
    deep = "right through" if work.through else f"{_n(work.depth)} deep"
    ring = work.outlines[0].as_circle if len(work.outlines) == 1 else None
    if ring is not None and not work.about:
        (x, y), radius = ring
        return (f"{work.kind.capitalize()} in the {work.face}: Ø {_n(2 * radius)} about {_n(x)} from the {work.x_from}, "
                f"{_n(y)} from the {work.y_from}, {deep}")
    wide, high = work.x[1] - work.x[0], work.y[1] - work.y[0]
    if len(work.outlines) == 1 and abs(work.outlines[0].area - wide * high) > 1e-6 and not work.about:
        rounding = corner_radius(work.outlines[0])
        deep += "; its outline stands in cut-list.csv" if rounding is None else f", corners R {_n(rounding)}"
    return f"{work.kind.capitalize()} in the {work.face}: {where}, {deep}{f', {work.about}' if work.about else ''}"


def drilling_of(row: CutRow, holes: Sequence[DrillRow], jig_of: JigOf | None) -> Iterator[Operation]:
    """Holes of one kind in one face are one step."""
    def kind(hole: DrillRow) -> tuple[str, ...]:
        jig = jig_of(row.piece.names[0], hole) if jig_of is not None else ""
        return hole.face, _hole_text(hole), _tools(hole), jig

    for (face, text, tools, jig), group in groupby(sorted(holes, key=kind), key=kind):
        own = sorted(group, key=lambda hole: (round(hole.x, 6), round(hole.y, 6)))
        first = own[0]
        spotted = "Spot through the part that is screwed on, then drill " if first.spotted else "Drill "
        check = "; the figures are to check by" if first.spotted else ""
        yield Operation(first.stage, f"{spotted}{len(own)} × {text} in the {face}: "
                        f"{places_text([(hole.x, hole.y) for hole in own], first.x_from, first.y_from)}{check}."
                        f"{_for(own)}", "; ".join(each for each in (tools, jig) if each))


def _hole_text(hole: DrillRow) -> str:
    deep = "right through" if hole.through else f"{_n(hole.shoulder)} deep ({_n(hole.tip)} to the point)"
    more = ""
    if hole.counterbore is not None:
        more = f", counterbored Ø {_n(hole.counterbore[0])} × {_n(hole.counterbore[1])}"
    if hole.countersink is not None:
        more = f", countersunk to Ø {_n(hole.countersink[0])}, {_n(hole.countersink[1])}°"
    return f"Ø {_n(hole.diameter)}, {deep}{more}"


def _for(holes: Sequence[DrillRow]) -> str:
    """Which joints of the first part they belong to."""
    names = dict.fromkeys(hole.joints[0] for hole in holes if hole.joints[0])
    return f" For {listed(list(names))}." if names else ""


def _tools(hole: DrillRow) -> str:
    told = []
    for step in hole.steps:
        if step.tool is None:
            told.append(f"no tool for Ø {_n(step.diameter)}")
        else:
            fault = {None: "", "both faces": ", from both faces"}.get(step.fault, ", too short")
            told.append(f"{step.tool.text}{fault}" + (f" in {step.bush.text}" if step.bush is not None else ""))
    return "; ".join(told)


def places_text(places: Sequence[tuple[float, float]], x_from: str, y_from: str) -> str:
    """"15 and 45 from the face edge at 100, 322 from the datum end": places by rows along x."""
    columns: dict[float, list[float]] = {}
    for x, y in places:
        columns.setdefault(round(x, 6), []).append(round(y, 6))
    rows: dict[tuple[float, ...], list[float]] = {}
    for x, ys in columns.items():
        rows.setdefault(tuple(sorted(ys)), []).append(x)
    told = [f"{listed([_n(y) for y in ys])} from the {y_from} at {', '.join(_n(x) for x in sorted(xs))} from the {x_from}"
            for ys, xs in sorted(rows.items(), key=lambda each: min(each[1]))]
    return "; ".join(told)


def glueing_of(row: CutRow, stage: str) -> Iterator[Operation]:
    """Joints of one kind are one step; where several parts are made after this sheet, part by part."""
    groups: dict[tuple[str, str, str], list[Seam]] = {}
    for seam in row.seams:
        if seam.stage == stage:
            groups.setdefault((seam.part if row.quantity > 1 else "", _verb(seam), seam.what), []).append(seam)
    for (part, verb, what), seams in groups.items():
        told = "; ".join(_seam_text(seam, row.finished[0]) for seam in seams)
        text = f"{f'{part}: ' if part else ''}{verb} {told}. {what[:1].upper()}{what[1:]}"
        yield Operation(stage, f"{text}{', each' if len(seams) > 1 else ''}.")


def _verb(seam: Seam) -> str:
    return "Laminate" if seam.stage == "laminate" else "Glue" if seam.kind == "bond" else "Dowel and glue"


def _seam_text(seam: Seam, length: float) -> str:
    """The other figure spans the whole face more often than not; the cut list has both."""
    whole = seam.x is not None and seam.x_from == "left edge" and seam.x[1] - seam.x[0] > length - 0.005
    at = "" if seam.x is None or seam.face in ENDS or whole else f", {_span(seam.x)} from the {seam.x_from}"
    return f"the {seam.face} to {seam.other} ({seam.other_face}){at}{_margins(seam)}"


def _margins(seam: Seam) -> str:
    """How far a plate stands out beyond another plate that is glued to it; what is glued to a member is marked on that."""
    if seam.margins is None or seam.x_from != "left edge" or max(seam.margins) < 0.005:
        return ""
    told = [_n(each) for each in seam.margins]
    if len(set(told)) == 1:
        return f", {told[0]} in from its edges all round"
    sides = zip(told, ("left", "right", "front", "back"), strict=True)
    return f", in from its {listed([f'{side} edge by {each}' for each, side in sides])} (seen on its top)"


def _span(span: Span) -> str:
    return f"{_n(span[0])} to {_n(span[1])}"


def listed(texts: Sequence[str]) -> str:
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def _n(value: float) -> str:
    """To a hundredth, as it can be marked."""
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")
