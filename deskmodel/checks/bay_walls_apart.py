"""A bay is not where the members about it are.

Finds: bays whose side, as the script states it, lies 0.01 mm or more from the face of the member or upright plate there;
    sides along which there is no wall, or none over the whole length; members that reach into a bay.
Why it matters: equipment is bought and placed by the bay's stated size; a bay that is 3 mm narrower than it says, or that
    a rail runs through, is noticed with the equipment in hand.
How measured: for each side, the innermost face that a member or an upright plate turns to the bay, from the boxes about
    the placed blanks; a wall must run along the side but for 10 mm.
Limits: notches, grooves and bevels do not count; a member askew counts by the box about it. A member that stands in the bay
    and is shorter than its sides, such as a leg block, is taken to be meant. A bay with a corner taken out has a side
    without a wall: state it as two bays, or accept the finding.
Sources: the bay in the script; the placed blanks.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.plans.bays import BayRow, Wall, bay_rows
from deskmodel.tolerances import FACE_SEARCH, FACES_APART, LENGTH

__all__ = ["CHECK"]

_NAMES = {"x0": "left", "x1": "right", "y0": "front", "y1": "back"}


def run(facts: Facts) -> list[Finding]:
    return [finding for row in bay_rows(facts.model) for wall in row.walls if (finding := _finding(facts, row, wall))]


def _finding(facts: Facts, row: BayRow, wall: Wall) -> Finding | None:
    bay, side, axis = row.bay, _NAMES[wall.side], wall.side[0]
    length = bay.y[1] - bay.y[0] if axis == "x" else bay.x[1] - bay.x[0]
    point, stated = _point(row, wall), f"{axis} {wall.stated:.2f}"
    parts, measured, required = (bay.name, *wall.parts), wall.off, 0.0
    if wall.at is None:
        parts, said = (bay.name,), f"has no member and no upright plate at its {side}, {stated}, {at(point)}"
        remedy = "place the member that is missing there, or end the bay at another one"
    elif wall.off is not None and wall.off >= FACES_APART - LENGTH:
        outwards = (wall.at < wall.stated) == wall.side.endswith("0")
        said = (f"says that its {side} is at {stated}; the face of {' and '.join(wall.parts)} is at {axis} {wall.at:.2f}, "
                f"{wall.off:.2f} mm {'outside' if outwards else 'inside'}, {at(point)}")
        remedy = f"say {wall.at:g} for that side, or move {wall.parts[0]} by {wall.off:.2f} mm"
    elif wall.covered < length - FACE_SEARCH - LENGTH:
        said = (f"has a wall along only {wall.covered:.1f} of {length:.1f} mm of its {side}, {stated}, {at(point)}")
        remedy = "close that side with a member, or divide the bay into rooms that have walls"
        measured, required = wall.covered, length
    else:
        return None
    return Finding("bay-walls-apart", "warn", parts, f"bay {bay.name} {said}", remedy, point=point, measured=measured,
                   required=required, unit="mm", source="the bay in the script", lines=lines_of(facts, parts))


def _point(row: BayRow, wall: Wall) -> Vec:
    """The middle of the stated side, half way between floor and ceiling."""
    x, y = (sum(side) / 2 for side in (row.bay.x, row.bay.y))
    ends = [z for z in (row.floor, row.ceiling) if z is not None] or [0.0]
    z = sum(ends) / len(ends)
    return (wall.stated, y, z) if wall.side[0] == "x" else (x, wall.stated, z)


CHECK = Check("bay-walls-apart", "model", __doc__, run)
