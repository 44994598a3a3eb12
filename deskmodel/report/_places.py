"""Where the findings are, as places that can be drawn; and which of many get a picture."""

from __future__ import annotations

from collections.abc import Sequence

from deskmodel.desk import PlacedKeepOut
from deskmodel.drawing.place import Place
from deskmodel.findings import Finding
from deskmodel.fit.problem import FitReport, Overlap
from deskmodel.model import DeskModel
from deskmodel.report._facts import Numbered
from deskmodel.report._words import quantity

__all__ = ["MOST", "pictured", "place_of"]

MOST = 24
"""Pictures on a page: two fit on a sheet of paper, and a reader who has seen the first of each kind knows the others."""

_NEAR = 1e-3  # mm; a point that lies so near to a room lies in it


def pictured(numbered: Sequence[Numbered], most: int = MOST) -> frozenset[int]:
    """Numbers of the findings that get a picture: all of them, or the gravest of each kind and then the others in turn."""
    if len(numbered) <= most:
        return frozenset(each.number for each in numbered)
    gravest: dict[tuple[str, str, bool], Numbered] = {}
    for each in numbered:
        known = gravest.get(each.kind)
        if known is None or _off(each.finding) > _off(known.finding):
            gravest[each.kind] = each
    first = [each.number for each in gravest.values()]
    rest = [each.number for each in numbered if each.number not in set(first)]
    return frozenset([*first, *rest][:most])


def _off(finding: Finding) -> float:
    if finding.measured is None or finding.required is None:
        return 0.0
    return abs(finding.measured - finding.required)


def place_of(finding: Finding, model: DeskModel, fit: FitReport | None) -> Place:
    """With what the fit engine knows of it beyond the finding's point."""
    if finding.point is None:
        return Place(finding.parts, None)
    if finding.span is not None:
        return Place(finding.parts, *finding.span, figure=quantity(finding.measured, finding.unit))
    rooms = _rooms(finding, model) if finding.id == "keep-out-invaded" else ()
    overlap = _overlap(finding, fit)
    if overlap is None:
        length = finding.measured if finding.unit == "mm" and finding.measured is not None else 0.0
        return Place(finding.parts, finding.point, figure=quantity(length, "mm") if length else "", rooms=rooms,
                     size=abs(length))
    box = overlap.box
    if overlap.pieces > 1:  # the box about all pieces need not be near any of them
        half = overlap.penetration / 2
        x, y, z = overlap.point
        box = (x - half, y - half, z - half), (x + half, y + half, z + half)
    return Place(finding.parts, overlap.point, box=box, figure=quantity(overlap.penetration, "mm"), rooms=rooms)


def _overlap(finding: Finding, fit: FitReport | None) -> Overlap | None:
    """The overlap that lies at the finding's point; its bodies may be keep-outs, which findings name by their owners."""
    return next((each for each in fit.overlaps if each.point == finding.point), None) if fit else None


def _rooms(finding: Finding, model: DeskModel) -> tuple[PlacedKeepOut, ...]:
    """Rooms that hold the point, of the parts that the finding is about or of nobody."""
    return tuple(room for room in model.keep_outs if (room.owner is None or room.owner in finding.parts)
                 and finding.point is not None and _holds(room, finding.point))


def _holds(room: PlacedKeepOut, point: tuple[float, float, float]) -> bool:
    pose = room.pose @ room.keep_out.room.pose
    x, y, z = pose.inverse().apply(point)
    prism = room.keep_out.room
    return -_NEAR <= z <= prism.depth + _NEAR and (prism.profile.contains((x, y)) or prism.profile.distance((x, y)) <= _NEAR)
