"""The desk a script describes: what stands where, what holds it, what must stay free.

    d = Desk("radio shelf", envelope=(900, 450, 70))
    rail = d.place(Member("front", section=(22, 60), length=900, material="ash"), at=(0, 0, 1.5))

Frame: x to the right, y to the back, z up, seen from the chair; mm, degrees.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass, field, fields, is_dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import overload

from deskmodel._numbers import check_text, is_number, number, told
from deskmodel._placing import is_one_of, point_of, pose_of, size_of
from deskmodel._where import Where, caller
from deskmodel.bay import Bay
from deskmodel.component import Component, KeepOut, read_sheet, sheet_file
from deskmodel.component._part import box_prism, cylinder_prism
from deskmodel.cover import Cover
from deskmodel.errors import InputFault
from deskmodel.faces import AnyPart, PartRole, PlacedPart, placed_box
from deskmodel.features import Box3, Feature, Hole
from deskmodel.features._base import check_length
from deskmodel.findings import Acceptance
from deskmodel.frames import IDENTITY, Pose, Vec, norm, sub
from deskmodel.joints import JOINTS, Bond, Joint, Named
from deskmodel.joints._base import name_of, names_of, several
from deskmodel.part import CustomBlank, CustomShape, Member, Plate, with_features
from deskmodel.service import Service, service_beside
from deskmodel.tolerances import FACE_SEARCH
from deskmodel.veneer import veneer_name
from deskmodel.workshop import Workshop, workshop_beside

__all__ = ["Desk", "GapRule", "LiftOff", "Placed", "PlacedKeepOut", "Swing", "component", "custom"]

_ROLES: dict[type, PartRole] = {Member: "member", Plate: "plate", Component: "component", CustomShape: "custom"}


@dataclass(frozen=True, slots=True)
class GapRule:
    """Two parts keep ``minimum`` mm between them, for ``reason``."""

    a: str
    b: str
    minimum: float
    reason: str


@dataclass(frozen=True, slots=True)
class LiftOff:
    """``parts`` (a cover, its backing, its veneer) leave together along ``direction``; ``travel`` mm must be free.
    ``tool``: without it the cover cannot be opened ("hexagon key 2"); None: by hand."""

    cover: str
    parts: tuple[str, ...]
    direction: Vec
    travel: float
    tool: str | None = None


@dataclass(frozen=True, slots=True)
class Swing:
    """``parts`` (a cover and what is fixed to it) turn together about the axis through ``point`` along ``axis`` (a unit
    vector, right-handed), from 0 to ``angle`` degrees, which must be free. ``tool`` as of ``LiftOff``."""

    cover: str
    parts: tuple[str, ...]
    point: Vec
    axis: Vec
    angle: float
    tool: str | None = None


@dataclass(frozen=True, slots=True)
class PlacedKeepOut:
    """A keep-out where it stands. ``owner``: the component it belongs to, None for the desk's own."""

    owner: str | None
    keep_out: KeepOut
    pose: Pose

    @property
    def name(self) -> str:
        return f"{self.owner}: {self.keep_out.name}" if self.owner else self.keep_out.name


@dataclass(frozen=True)
class Placed:
    """A part in the desk: what joints, bores and rules are told. ``box`` is the box about it, desk frame, mm."""

    name: str
    box: Box3
    desk: object = field(default=None, repr=False, compare=False)  # whose part it is: another desk's is refused


class Desk:
    """A desk as its script tells it: parts placed, joints between them, room that must stay free.

    ``deskmodel.model.freeze`` lays the joints out when the script is done and makes the frozen model."""

    def __init__(self, name: str, envelope: Vec | None = None, workshop: Workshop | None = None,
                 service: Service | None = None) -> None:
        """``envelope``: (width, depth, height) of a box from (0, 0, 0) that no part may leave. Without it (a desk on legs,
        which reach below z = 0) equipment may not leave the box about members, plates and covers. ``workshop``: what it is
        made with; by default that of the file workshop.toml beside the script, else a small shop's usual tools.
        ``service``: who cuts its plates; by default that of service.toml beside the script."""
        check_text("desk name", name)
        if workshop is not None and not isinstance(workshop, Workshop):
            raise InputFault(f"workshop {told(workshop)}", allowed="read_workshop(…) or None")
        if service is not None and not isinstance(service, Service):
            raise InputFault(f"service {told(service)}", allowed="read_service(…) or None")
        self.workshop = workshop_beside(caller().file) if workshop is None else workshop
        self.service = service_beside(caller().file) if service is None else service
        self.name = name
        self.envelope = None if envelope is None else size_of("envelope", envelope)
        self.parts: dict[str, PlacedPart] = {}
        self.joints: list[tuple[Joint, Where]] = []
        self.gaps: list[GapRule] = []
        self.keep_outs: list[PlacedKeepOut] = []
        self.lifts: list[LiftOff] = []
        self.bays: list[Bay] = []
        self.acceptances: list[Acceptance] = []
        self.lines: dict[str, Where] = {}
        self.accepted_at: list[Where] = []
        self._joined: set[object] = set()

    @overload
    def place(self, part: AnyPart, at: Vec, along: str = "x", turn: float = 0.0) -> Placed: ...
    @overload
    def place(self, part: Cover, at: Vec, along: str = "x", turn: float = 0.0) -> Placed: ...

    def place(self, part: AnyPart | Cover, at: Vec, along: str = "x", turn: float = 0.0) -> Placed:
        """Put ``part`` with its lowest corner, after turning, at ``at``; a custom shape with its own origin.

        ``along``: where the part's own x points. "x": as it is; "y": turned a quarter to the left, seen from above; "-x":
        turned round, upright still; "-y": a quarter to the right; "z": x upwards, what looked up to the left; "-z": x down.
        ``turn``: degrees about its own x before that; 90: what looked to the back looks up, what looked up to the front.
        """
        where = caller()
        if isinstance(part, Cover):
            return self._place_cover(part, at, along, turn, where)
        role = _ROLES.get(type(part))
        if role is None:
            raise InputFault(f"{told(part)} to be placed",
                             allowed="a Member, Plate, Cover, component(…) or custom(…)")
        placed = self._add(part, pose_of(part, at, along, turn), role, None, where)
        if isinstance(part, Component):
            pose = self.parts[part.name].pose
            self.keep_outs += [PlacedKeepOut(part.name, k, pose) for k in part.all_keep_outs()]
        return placed

    def join(self, *joints: Joint) -> None:
        """Joints between placed parts. They are laid out when the script is done, whatever their order here."""
        where = caller()
        for joint in joints:
            if isinstance(joint, type) or not hasattr(joint, "lay_out"):
                raise InputFault(f"{told(joint)} as a joint", allowed=", ".join(kind.__name__ for kind in JOINTS))
            for part in _parts_in(joint):
                self._placed(part)
            if joint in self._joined:
                raise InputFault(f"the same joint twice: {joint.title}", allowed="each joint once")
            self._joined.add(joint)
            self.joints.append((joint, where))

    def cut(self, part: Named, *features: Feature) -> None:
        """More features for a placed part, in the part's own coordinates."""
        placed = self._placed(part)
        if not features:
            raise InputFault(f"nothing to cut into {placed.name!r}", allowed="one feature or more")
        self.parts[placed.name] = replace(placed, part=with_features(placed.part, features))

    def bore(self, part: Named, through: str, at: Vec, diameter: float, name: str = "bore") -> None:
        """A cable bore through ``part`` along the desk's ``through`` axis ("x", "y", "z"), its axis through the desk
        point ``at``, which lies in the part or at most 10 mm before or behind it."""
        placed = self._placed(part)
        if not is_one_of(through, "x y z"):
            raise InputFault(f"through {told(through)}", allowed="x, y, z")
        axis, point = "xyz".index(through), point_of("at", at)
        low, high = (corner[axis] for corner in placed_box(placed))
        if not low - FACE_SEARCH <= point[axis] <= high + FACE_SEARCH:
            raise InputFault(f"a bore along {through} at {point}, far from {placed.name!r}",
                             allowed=f"{through} from {low - FACE_SEARCH:g} to {high + FACE_SEARCH:g}; another part?")
        square = [(face, *face.coordinates(point)) for face in placed.faces() if abs(face.normal[axis]) > 1 - 1e-9]
        if not square:
            raise InputFault(f"{part.name!r} has no face square to {through}", allowed="an axis square to one of its faces")
        # of a bent plate, the flange that the point lies in
        face, u, v, _ = min(square, key=lambda each: (not each[0].outline.contains(each[1:3]),
                                                      round(abs(each[3] - each[0].behind / 2), 6)))
        self.cut(part, Hole(face.name, (u, v), diameter, name=name, purpose="cable"))

    def require_gap(self, a: Named | str | Iterable[Named | str], b: Named | str | Iterable[Named | str], minimum: float,
                    reason: str) -> None:
        """Each of ``a`` keeps ``minimum`` mm from each of ``b``; a part in both lists none from itself."""
        check_length("minimum gap", minimum, at_most=1000)
        check_text("reason for a gap", reason)
        first, second = ([self._placed(part).name for part in several(parts)] for parts in (a, b))
        rules = [GapRule(p, q, float(minimum), reason) for p in first for q in second if p != q]
        if not rules:
            raise InputFault(f"a gap between {first[0]!r} and itself", allowed="two different parts")
        self.gaps += rules

    def keep_clear(self, name: str, at: Vec, size: Vec, reason: str) -> None:
        """A box of ``size`` with its lowest corner at ``at`` (desk frame) that no part may enter."""
        check_text("name of a keep-out", name)
        check_text("reason for a keep-out", reason)
        self._add_keep_out(KeepOut(name, "service", reason, box_prism(size_of("size", size), point_of("at", at))))

    def bay(self, name: str, x: tuple[float, float], y: tuple[float, float]) -> Bay:
        """Name the room ``x`` = (from, to) by ``y`` = (from, to) between the members; its height is found. It gets a line
        in the bay table and its place in the pictures, and is checked against the members about it."""
        bay = Bay(name, x, y)
        if name in self._names():
            raise InputFault(f"a second thing named like the bay {name!r}", allowed="a name of its own for each")
        for other in self.bays:
            if bay.overlaps(other):
                raise InputFault(f"bay {name!r} shares room with bay {other.name!r}", allowed="bays beside each other")
        self.bays.append(bay)
        self.lines[name] = caller()
        return bay

    def cable(self, name: str, diameter: float, run: Iterable[Vec]) -> None:
        """A cable in straight stretches between the points of ``run`` (desk frame); no part may stand in its way."""
        check_text("name of a cable", name)
        check_length("cable diameter", diameter, at_most=100)
        in_order = isinstance(run, Iterable) and not isinstance(run, Set)
        points = [point_of("point of a cable", point) for point in run] if in_order else []
        if len(points) < 2:
            raise InputFault(f"a cable run of {told(run)}", allowed="2 points or more")
        for i, (start, end) in enumerate(pairwise(points), 1):
            check_length(f"stretch {i} of cable {name!r}", norm(sub(end, start)))
            room = cylinder_prism(diameter, norm(sub(end, start)), start, sub(end, start))
            self._add_keep_out(KeepOut(f"{name}, stretch {i}", "cable", f"cable {name!r}", room))

    def accept(self, finding: str, parts: Named | str | Iterable[Named | str], reason: str) -> None:
        """Live with a finding about exactly these parts, for a written reason; it stays visible as accepted, and is
        told when it is not found."""
        check_text("accepted finding", finding)
        check_text("reason to accept a finding", reason)
        self.acceptances.append(Acceptance(finding, tuple(sorted(names_of(parts))), reason))
        self.accepted_at.append(caller())

    @property
    def members(self) -> list[Placed]:
        """Every member placed so far."""
        return self._of("member")

    @property
    def plates(self) -> list[Placed]:
        """Every plate placed so far, covers left out."""
        return self._of("plate")

    @property
    def components(self) -> list[Placed]:
        """All equipment placed so far."""
        return self._of("component")

    def _names(self) -> set[str]:
        """What findings tell by name: parts, bays and the desk's own keep-outs."""
        return {*self.parts, *(bay.name for bay in self.bays), *(k.name for k in self.keep_outs if k.owner is None)}

    def _of(self, role: PartRole) -> list[Placed]:
        return [Placed(p.name, placed_box(p), self) for p in self.parts.values() if p.role == role]

    def _placed(self, part: Named | str) -> PlacedPart:
        name = name_of(part)
        if name not in self.parts or (isinstance(part, Placed) and part.desk is not None and part.desk is not self):
            raise InputFault(f"{name!r} is not placed in this desk", allowed="a part that place(…) returned")
        return self.parts[name]

    def _add(self, part: AnyPart, pose: Pose, role: PartRole, group: str | None, where: Where) -> Placed:
        if part.name in self.parts:
            raise InputFault(f"a second part named {part.name!r}", allowed="a name of its own for each part")
        if part.name in self._names():
            raise InputFault(f"a part named like the keep-out or bay {part.name!r}", allowed="a name of its own for each")
        self.parts[part.name] = PlacedPart(part, pose, role, group)
        self.lines[part.name] = where
        return Placed(part.name, placed_box(self.parts[part.name]), self)

    def _add_keep_out(self, keep_out: KeepOut) -> None:
        if keep_out.name in self._names() or any(k.name == keep_out.name for k in self.keep_outs):
            raise InputFault(f"a second keep-out named {keep_out.name!r}", allowed="a name of its own for each")
        self.keep_outs.append(PlacedKeepOut(None, keep_out, IDENTITY))
        self.lines[keep_out.name] = caller()

    def _place_cover(self, cover: Cover, at: Vec, along: str, turn: float, where: Where) -> Placed:
        if not is_one_of(along, "x -x y -y") or number("turn", turn, -360, 360, "degrees"):
            raise InputFault(f"cover {cover.name!r} along {told(along)}, turn {told(turn)}", allowed="along x or y, flat")
        at = point_of("at", at)
        plate, backing = cover.plate, cover.backing_plate
        placed = self._add(plate, pose_of(plate, at, along, 0.0), "cover", None, where)
        leaf = (veneer_name(plate.name),) if plate.veneer else ()
        low = (at[0] + cover.set_back, at[1] + cover.set_back, at[2] + cover.backing_offset[2])
        self._add(backing, pose_of(backing, low, along, 0.0), "backing", plate.name, where)
        self.joints.append((Bond(backing.name, plate.name, "contact", cover.glue), where))
        self.lifts.append(LiftOff(plate.name, (plate.name, backing.name, *leaf), (0.0, 0.0, 1.0), cover.lift))
        return placed


def component(sheet: str | Path, name: str | None = None) -> Component:
    """The component of the data sheet ``equipment/<sheet>.toml`` beside the script (or of a path ending in .toml)."""
    if not isinstance(sheet, str | Path):
        raise InputFault(f"data sheet {told(sheet)}", allowed="its name, or a path ending in .toml")
    return read_sheet(sheet_file(Path(caller().file).parent, sheet), name)


def custom(name: str, script: str, function: str, material: str, printed: bool = True,
           **parameters: float | int | str | bool) -> CustomShape:
    """The way out: a part whose solid ``function(**parameters)`` in ``script`` (beside the desk's script) makes with
    cadquery. It runs in a process of its own."""
    check_text("script of a custom shape", script)
    check_text("function of a custom shape", function)
    path = Path(caller().file).parent / script
    if not path.is_file():
        raise InputFault(f"no file {script!r}", allowed="a Python file beside the script")
    for key, value in parameters.items():
        if not is_number(value) and not isinstance(value, str | bool):
            raise InputFault(f"parameter {key} of a custom shape: {told(value)}",
                             allowed="a finite number, a text, True or False")
    return CustomShape(name, CustomBlank(script, function, tuple(sorted(parameters.items()))), material, printed)


def _parts_in(joint: Joint) -> Iterator[Placed]:
    """The placed parts that a joint was told (names are looked up when it is laid out)."""
    told_of: list[object] = [getattr(joint, each.name) for each in fields(joint)] if is_dataclass(joint) else []
    for value in told_of:
        for part in value if isinstance(value, tuple) else (value,):
            if isinstance(part, Placed):
                yield part


