"""Places on a part as they are marked out: from face side, face edge and datum end of a member, from the left and the front
edge of a plate (the box about its outline, seen on its top). Never from the far end, the back side or the under edge."""

from __future__ import annotations

from deskmodel.features import Face
from deskmodel.part import Member, Plate
from deskmodel.profiles import Profile

__all__ = ["ENDS", "SIDES", "Span", "datums_of", "from_datums", "outline_from_datums", "span_from_datums"]

ENDS, SIDES = ("datum end", "far end"), ("face side", "back side")

Span = tuple[float, float]


def datums_of(part: Member | Plate, face: str) -> tuple[str, str]:
    """What x and y are measured from on that face."""
    if isinstance(part, Plate):
        return "left edge", "front edge"
    if face in ENDS:
        return "face side", "face edge"
    return "datum end", "face edge" if face in SIDES else "face side"


def from_datums(part: Member | Plate, face: Face, at: tuple[float, float]) -> tuple[float, float]:
    """(x, y) from the datums of a point (u, v) of the face, mm."""
    u, v = at
    if isinstance(part, Member):
        return (u, part.section[1] - v) if _mirrored(part, face) else (u, v)
    x0, y0, _, _ = part.outline.bounds
    return u - x0, v - y0


def span_from_datums(part: Member | Plate, face: Face, box: tuple[float, float, float, float]) -> tuple[Span, Span]:
    """((x from, to), (y from, to)) of the rectangle (u0, v0, u1, v1) of the face."""
    (xa, ya), (xb, yb) = from_datums(part, face, box[:2]), from_datums(part, face, box[2:])
    return (min(xa, xb), max(xa, xb)), (min(ya, yb), max(ya, yb))


def outline_from_datums(part: Member | Plate, face: Face, outline: Profile) -> Profile:
    """The outline in (x, y) from the datums, anticlockwise with x to the right and y up."""
    points = [(*from_datums(part, face, (u, v)), bulge) for u, v, bulge in outline.vertices]
    if not _mirrored(part, face):
        return Profile(tuple(points))
    back = points[::-1]  # mirrored it runs the other way: reverse it, each bulge moves to the start of its edge
    bulges = [bulge for _, _, bulge in back]
    return Profile(tuple((x, y, bulge) for (x, y, _), bulge in zip(back, bulges[1:] + bulges[:1], strict=True)))


def _mirrored(part: Member | Plate, face: Face) -> bool:
    """Whether y runs down from the face edge: on the sides and the ends of a member."""
    return isinstance(part, Member) and face.name in (*ENDS, *SIDES)
