"""Mounting holes of equipment have nothing to be fixed to.

Finds: equipment screwed down through some of its mounting holes, with others left empty; holes cut by hand in what it
    stands on that a screw through the mounting hole misses, or does not pass.
Why it matters: what hangs on two of four screws works loose; a hole beside its mate is found when the plate is back from
    cutting.
How measured: the axes of the mounting holes where the equipment stands, against its screws, and against round holes
    within 5 mm in the part that it rests on. A screw of the mounting hole's thread passes both while the axes are no
    farther apart than the room that both holes leave round it.
Limits: equipment that only rests somewhere is not asked unless at least one hole is cut for it there: hook-and-loop, feet
    and weight hold without screws, and what the script writes about that is not read as a promise. Slots and cut-outs over a
    mounting hole count as met.
Sources: closed form; the thread that a mounting hole is for: ISO 273, fine series; that every mounting hole is used: common
    practice, a warning.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.catalogue import clearance_hole
from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._cells import Cells
from deskmodel.checks._fixings import Bored, holes_of, off_axis
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import CutOut, Face, Hole, Slot
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, dot, scale, sub
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["CHECK"]

NEAR = 5.0
"""mm. A hole this near to a mounting hole's axis is meant for it."""

LARGEST = 12.0  # mm; a larger hole is no screw's

_SCREWED = ("wood-screw fixing", "stand-off mount", "screw mount")
_THREADS = ("M8", "M6", "M5", "M4", "M3", "M2.5")


@dataclass(frozen=True)
class _Mount:
    """A mounting hole: ``foot`` where its axis meets the face that the equipment stands on; ``thread`` mm of its screw."""

    hole: Hole
    foot: Vec
    thread: float


def run(facts: Facts) -> list[Finding]:
    screws: Cells[PlacedPart] = Cells()
    for placed in facts.model.parts:
        if isinstance(placed.part, Hardware) and placed.part.kind in ("screw", "wood screw"):
            screws.add(placed.pose.origin, placed.pose.origin, placed)
    holes: dict[str, Cells[Bored]] = {}
    records: dict[str, list[JointRecord]] = {}
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        if isinstance(facts.model.part(record.a).part, Component) and record.kind in (*_SCREWED, "rest"):
            records.setdefault(record.a, []).append(record)
    found: list[Finding] = []
    for name, of_it in sorted(records.items()):
        fixed = [record for record in of_it if record.kind in _SCREWED]
        if fixed:
            found += _empty(facts, facts.model.part(name), fixed, screws)
        else:
            for record in of_it:
                found += _by_hand(facts, facts.model.part(name), record, screws, holes)
    return found


def _empty(facts: Facts, component: PlacedPart, fixed: list[JointRecord], screws: Cells[PlacedPart]) -> Iterator[Finding]:
    mounts = list(_mounts(component, _face(facts, fixed[0])))
    empty = [mount for mount in mounts if not any(
        off_axis(each.pose.origin, mount.foot, each.pose.axis(2)) <= COAXIAL + LENGTH
        for each in _along(screws, mount.foot, component))]
    if empty:
        parts = (component.name, *dict.fromkeys(record.b for record in fixed))
        first = empty[0]
        yield _finding(facts, "warn", parts, f"{len(empty)} of {len(mounts)} mounting holes of {component.name} are empty: "
                       f"{first.hole.name}, at {at(first.foot)}, lies over nothing that it is screwed to", first.foot,
                       "move the equipment, or put a member under the hole")


def _along(screws: Cells[PlacedPart], foot: Vec, component: PlacedPart) -> list[PlacedPart]:
    """Screws that begin within 100 mm of the foot along the equipment's z."""
    z = scale(component.pose.axis(2), 100.0)
    return [each for each in screws.near(sub(foot, z), add(foot, z)) if abs(dot(each.pose.axis(2), z)) > 99.9]


def _by_hand(facts: Facts, component: PlacedPart, record: JointRecord, screws: Cells[PlacedPart],
             holes: dict[str, Cells[Bored]]) -> Iterator[Finding]:
    base = facts.model.part(record.b)
    if isinstance(base.part, Component | Hardware):
        return
    face = _face(facts, record)
    mounts = list(_mounts(component, face))
    if not mounts:
        return
    if record.b not in holes:
        holes[record.b] = Cells()
        for bored in holes_of(base):
            if bored.hole.purpose in ("shape", "screw") and bored.hole.diameter <= LARGEST and not _taken(bored, screws):
                holes[record.b].add(bored.mouth, bored.mouth, bored)
    met = [(mount, _nearest(mount, face, holes[record.b])) for mount in mounts]
    if not any(bored for _, bored in met):
        return
    parts = (component.name, record.b)
    empty = [mount for mount, bored in met if bored is None and not _open(base, face, mount)]
    if empty:
        first = empty[0]
        yield _finding(facts, "warn", parts, f"{len(empty)} of {len(mounts)} mounting holes of {component.name} meet no "
                       f"hole of {record.b}: {first.hole.name}, at {at(first.foot)}", first.foot,
                       "cut the hole in line with it")
    missed = [told for mount, bored in met if bored is not None for told in _missed(mount, bored, face, component.name)]
    if missed:
        what, measured, wanted, mount = max(missed, key=lambda each: (round(abs(each[1] - each[2]), 6), each[0]))
        yield _finding(facts, "stop", parts, f"{what}, at {at(mount.foot)}", mount.foot,
                       "cut the hole in line with the mounting hole, as wide as its screw asks (ISO 273)", measured, wanted)


def _missed(mount: _Mount, bored: Bored, face: Face, name: str) -> Iterator[tuple[str, float, float, _Mount]]:
    off = _off(mount, bored, face)
    if bored.hole.diameter < mount.thread - LENGTH:
        yield (f"{bored.hole.name}, Ø {bored.hole.diameter:g}, does not pass the screw of {mount.hole.name} of {name}",
               bored.hole.diameter, mount.thread, mount)
        return
    room = (bored.hole.diameter - mount.thread) / 2
    if mount.hole.depth is None:
        room += (mount.hole.diameter - mount.thread) / 2
    if off > room + LENGTH:
        yield (f"{bored.hole.name} lies {off:.2f} mm beside {mount.hole.name} of {name}", off, room, mount)


def _mounts(component: PlacedPart, face: Face) -> Iterator[_Mount]:
    """Its mounting holes square to the face."""
    assert isinstance(component.part, Component)
    if abs(dot(component.pose.axis(2), face.normal)) < 1 - 1e-6:
        return
    for hole in component.part.features:
        if isinstance(hole, Hole) and hole.purpose == "screw":
            p = component.face(hole.face).point(*hole.at)
            foot = sub(p, scale(face.normal, dot(sub(p, face.origin), face.normal)))
            yield _Mount(hole, foot, hole.diameter if hole.depth is not None else _thread(hole.diameter))


def _thread(diameter: float) -> float:
    """mm of the largest screw that passes the hole; of smaller holes their own diameter."""
    return next((float(name[1:]) for name in _THREADS if clearance_hole(name, "fine") <= diameter + LENGTH), diameter)


def _nearest(mount: _Mount, face: Face, holes: Cells[Bored]) -> Bored | None:
    reach = (NEAR + 30.0, NEAR + 30.0, NEAR + 30.0)  # the hole may begin on the far side of a plate
    near = [each for each in holes.near(sub(mount.foot, reach), add(mount.foot, reach))
            if abs(dot(each.inwards, face.normal)) > 0.999 and _off(mount, each, face) <= NEAR + LENGTH]
    return min(near, default=None, key=lambda each: (round(_off(mount, each, face), 6), each.hole.name))


def _off(mount: _Mount, bored: Bored, face: Face) -> float:
    return off_axis(bored.mouth, mount.foot, face.normal)


def _taken(bored: Bored, screws: Cells[PlacedPart]) -> bool:
    """Whether a screw of a joint stands in the hole: then it is not cut for this equipment."""
    end = add(bored.mouth, scale(bored.inwards, bored.depth))
    margin = (5.0, 5.0, 5.0)
    low, high = (tuple(f(a, b) for a, b in zip(bored.mouth, end, strict=True)) for f in (min, max))
    return any(off_axis(each.pose.origin, bored.mouth, bored.inwards) <= COAXIAL + LENGTH
               for each in screws.near(sub(low, margin), add(high, margin)))  # type: ignore[arg-type]  # three coordinates


def _open(base: PlacedPart, face: Face, mount: _Mount) -> bool:
    p = base.pose.inverse().apply(add(mount.foot, scale(face.normal, -0.05)))
    return any(removal.contains(p) for feature in base.part.features if isinstance(feature, CutOut | Slot)
               for removal in feature.removals(base.part.blank))


def _face(facts: Facts, record: JointRecord) -> Face:
    """The face of what the equipment stands on, where others meet it."""
    base = facts.model.part(record.b)
    return next((face for face in base.joint_faces() if face.name == record.faces[1]), None) or base.face(record.faces[1])


def _finding(facts: Facts, severity: str, parts: tuple[str, ...], message: str, point: Vec, remedy: str,
             measured: float | None = None, required: float | None = None) -> Finding:
    return Finding("pattern-unmet", "stop" if severity == "stop" else "warn", parts, message, remedy, point=point,
                   measured=measured, required=required, unit=None if measured is None else "mm",
                   source="closed form; ISO 273" if severity == "stop" else "common practice", lines=lines_of(facts, parts))


CHECK = Check("pattern-unmet", "model", __doc__, run)
