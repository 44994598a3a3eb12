"""Whether two faces have material opposite each other anywhere: openings, holes and odd outlines considered.

The outlines of all that is cut there divide the region into cells. Within a cell the answer is the same everywhere, and
each cell shows itself beside the middle of one of the pieces into which its border is split; so a few points suffice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from deskmodel._edges import Edge, Point, edge_box, point_at, splits
from deskmodel._further_faces import own_face
from deskmodel.features import Box3, Face, Prism, Removal
from deskmodel.features._base import span
from deskmodel.frames import Vec, cross, dot
from deskmodel.part import Bodies, BoxBlank, FoldedBlank, Part, SheetBlank, removals_of
from deskmodel.profiles import Profile, circle
from deskmodel.tolerances import ANGLE, LENGTH

__all__ = ["Region", "material_meets"]

Region = tuple[float, float, float, float]

_SKIN = 0.005  # mm below the face at which material is looked for
_BESIDE = 0.02  # mm from a border; a strip of material narrower than that holds nothing
_GRID = (1 / 2, 1 / 6, 5 / 6, 1 / 3, 2 / 3, 0.03, 0.97)


@dataclass(frozen=True)
class _Side:
    """One part at its face. ``own`` is the face in the part's frame, ``placed`` in the desk's, ``first`` the placed face
    in whose (u, v) the region is given."""

    part: Part
    own: Face
    placed: Face
    first: Face
    cuts: tuple[Removal, ...]

    def point(self, u: float, v: float) -> Vec:
        """The point of the part's frame just below its face, opposite (u, v) of the first face."""
        if self.placed is not self.first:
            u, v, _ = self.placed.coordinates(self.first.point(u, v))
        return self.own.point(u, v, _SKIN)

    def solid(self, u: float, v: float) -> bool:
        p = self.point(u, v)
        return self._in_blank(p) and not any(cut.contains(p) for cut in self.cuts)

    def _in_blank(self, p: Vec) -> bool:
        blank = self.part.blank
        if isinstance(blank, Bodies):
            return any(body.contains(p) for body in blank.bodies)
        if isinstance(blank, FoldedBlank):
            return self.own.outline.contains(self.own.coordinates(p)[:2])
        low, high = blank.bounds
        if not all(low[i] <= p[i] <= high[i] for i in range(3)):
            return False
        return isinstance(blank, BoxBlank) or (isinstance(blank, SheetBlank) and blank.outline.contains((p[0], p[1])))

    def borders(self) -> Iterator[Edge]:
        """Outlines in the (u, v) of the first face between which the answer may change."""
        yield from self._mapped(self.own.outline, self.own.origin, self.own.u, self.own.v)
        bodies = self.part.blank.bodies if isinstance(self.part.blank, Bodies) else ()
        for removal in (*self.cuts, *bodies):
            pose = removal.pose
            if abs(dot(pose.axis(2), self.own.normal)) > 1 - ANGLE:
                outline = removal.profile if isinstance(removal, Prism) else circle(2 * max(r for r, _ in removal.half))
                yield from self._mapped(outline, pose.origin, pose.axis(0), pose.axis(1))
            else:  # its box stands for it: a drill's cone, a groove seen from the side
                u0, v0, u1, v1 = _shadow(self.own, removal)
                corners = ((u0, v0, 0.0), (u1, v0, 0.0), (u1, v1, 0.0), (u0, v1, 0.0))
                if u1 - u0 > LENGTH and v1 - v0 > LENGTH:
                    yield from self._mapped(Profile(corners), self.own.origin, self.own.u, self.own.v)

    def _mapped(self, outline: Profile, origin: Vec, x: Vec, y: Vec) -> Iterator[Edge]:
        """The edges of an outline in the plane (origin, x, y) of the part's frame, in (u, v) of the first face."""
        mirrored = dot(cross(x, y), cross(self.own.u, self.own.v)) < 0
        if self.placed is not self.first:
            mirrored ^= dot(cross(self.placed.u, self.placed.v), cross(self.first.u, self.first.v)) < 0

        def at(p: Point) -> Point:
            q = (origin[0] + p[0] * x[0] + p[1] * y[0], origin[1] + p[0] * x[1] + p[1] * y[1],
                 origin[2] + p[0] * x[2] + p[1] * y[2])
            u, v, _ = self.own.coordinates(q)
            if self.placed is not self.first:
                u, v, _ = self.first.coordinates(self.placed.point(u, v))
            return u, v

        for start, end, bulge in outline.edges():
            yield at(start), at(end), -bulge if mirrored else bulge


def material_meets(a: tuple[Part, Face], b: tuple[Part, Face], region: Region) -> bool:
    """Whether both parts have material at their faces somewhere in the region.

    ``a``, ``b``: a part and its face as it stands in the desk; ``region`` (u0, v0, u1, v1) in the (u, v) of a's."""
    u0, v0, u1, v1 = region
    sides = [_side(part, face, a[1], region) for part, face in (a, b)]
    for s in _GRID:
        for t in _GRID:
            if all(side.solid(u0 + s * (u1 - u0), v0 + t * (v1 - v0)) for side in sides):
                return True
    frame = Profile(((u0, v0, 0.0), (u1, v0, 0.0), (u1, v1, 0.0), (u0, v1, 0.0)))
    borders = [*frame.edges(), *(edge for side in sides for edge in side.borders() if _near(edge_box(edge), region))]
    return any(u0 < u < u1 and v0 < v < v1 and all(side.solid(u, v) for side in sides) for u, v in _beside(borders))


def _side(part: Part, placed: Face, first: Face, region: Region) -> _Side:
    own = own_face(part, placed.name)
    corners = [first.point(u, v) for u in (region[0], region[2]) for v in (region[1], region[3])]
    uv = [placed.coordinates(p) for p in corners]
    here = (min(p[0] for p in uv), min(p[1] for p in uv), max(p[0] for p in uv), max(p[1] for p in uv))
    skin = [own.point(u, v, depth) for u in here[::2] for v in here[1::2] for depth in (0.0, _SKIN)]
    low, high = ((pick(x), pick(y), pick(z)) for pick in (min, max) for x, y, z in [zip(*skin, strict=True)])
    cuts = tuple(removal for removal in _reaching(removals_of(part), (low, high))
                 if _depth(own, removal) < _SKIN and _near(_shadow(own, removal), here))
    return _Side(part, own, placed, first, cuts)


def _reaching(removals: Sequence[Removal], box: Box3) -> Iterator[Removal]:
    """Those whose boxes meet the box, at one stroke each: a plate has hundreds of vents and is asked for each part on it."""
    (x0, y0, z0), (x1, y1, z1) = box
    for removal in removals:
        (u0, v0, w0), (u1, v1, w1) = removal.bounds
        if u0 <= x1 and u1 >= x0 and v0 <= y1 and v1 >= y0 and w0 <= z1 and w1 >= z0:
            yield removal


def _depth(face: Face, removal: Removal) -> float:
    """How far below the face the removal begins."""
    return -span(removal.bounds, face.normal, face.origin)[1]


def _shadow(face: Face, removal: Removal) -> Region:
    (u0, u1), (v0, v1) = (span(removal.bounds, axis, face.origin) for axis in (face.u, face.v))
    return u0, v0, u1, v1


def _near(a: Region, b: Region) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _beside(borders: Sequence[Edge]) -> Iterator[Point]:
    """Points close to either side of the middle of each piece between two crossings."""
    boxes = [edge_box(edge) for edge in borders]
    for i, edge in enumerate(borders):
        cuts = {0.0, 1.0}
        for j, other in enumerate(borders):
            if i != j and _near(boxes[i], boxes[j]):
                cuts.update(splits(edge, other))
        for low, high in pairwise(sorted(cuts)):
            p, q = point_at(edge, (low + high) / 2), point_at(edge, (low + high) / 2 + (high - low) * 1e-3)
            length = ((q[0] - p[0]) ** 2 + (q[1] - p[1]) ** 2) ** 0.5
            if length > 1e-12:
                nx, ny = (q[1] - p[1]) / length * _BESIDE, -(q[0] - p[0]) / length * _BESIDE
                yield p[0] + nx, p[1] + ny
                yield p[0] - nx, p[1] - ny
