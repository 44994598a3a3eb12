"""Faces of placed parts in closed form, and which two of them face each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf
from typing import Literal

from deskmodel._further_faces import further_faces, own_face
from deskmodel._remembered import remembered
from deskmodel._touch import material_meets
from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.extent import reach
from deskmodel.features import Box3, Face
from deskmodel.frames import Pose, Vec, add, dot, scale
from deskmodel.hardware import Hardware
from deskmodel.part import CustomShape, Member, Plate
from deskmodel.tolerances import ANGLE, FACE_SEARCH, FACES_APART, LENGTH

__all__ = ["AnyPart", "FacePair", "PartRole", "PlacedPart", "facing", "placed_box"]

AnyPart = Member | Plate | Component | CustomShape | Hardware
PartRole = Literal["member", "plate", "component", "cover", "backing", "custom", "hardware", "veneer"]


@dataclass(frozen=True)
class PlacedPart:
    """A part at its place in the desk. ``group``: the cover a backing belongs to, the plate under a veneer, the
    joint that added hardware."""

    part: AnyPart
    pose: Pose
    role: PartRole
    group: str | None = None

    @property
    def name(self) -> str:
        return self.part.name

    def faces(self) -> Iterator[Face]:
        """Its faces in the desk frame; u and v stay the part's own coordinates."""
        yield from self._faces

    def further_faces(self) -> Iterator[Face]:
        """Faces that cuts have left in a member and those of the single bodies of equipment, desk frame."""
        return (self._placed(own) for own in further_faces(self.part))

    def joint_faces(self) -> Iterator[Face]:
        """Its faces as others meet them, in the desk frame: one that carries a veneer lies further out by it. (u, v) as
        of ``faces``."""
        for face in self._faces:
            thick = self.veneer_on(face.name)
            yield replace(face, origin=add(face.origin, scale(face.normal, thick)),
                          behind=face.behind + thick) if thick else face

    def veneer_on(self, face: str) -> float:
        """Thickness of the veneer on that face, mm; 0 where it is bare."""
        veneer = self.part.veneer if isinstance(self.part, Plate) else None
        return veneer.thickness if veneer is not None and veneer.face == face else 0.0

    def material_at(self, face: str) -> str:
        """What lies open in that face: the veneer where it carries one, else the part's material."""
        veneer = self.part.veneer if isinstance(self.part, Plate) else None
        return veneer.material if veneer is not None and veneer.face == face else self.part.material

    def face(self, name: str) -> Face:
        for face in self._faces:
            if face.name == name:
                return face
        return self._placed(own_face(self.part, name))

    @cached_property
    def _faces(self) -> tuple[Face, ...]:
        return tuple(self._placed(self.part.blank.face(name)) for name in self.part.blank.face_names)

    def opposite(self, face: str) -> Face:
        """The other side of the material behind that face, in the desk frame; of a bent plate, of the same leg."""
        own = self.face(face)
        others = [other for other in self.faces() if dot(other.normal, own.normal) < -1.0 + ANGLE]
        if not others:
            raise InputFault(f"the {face} of {self.name!r} has no other side", allowed="a flat piece")
        return min(others, key=lambda other: round(abs(own.coordinates(other.origin)[2] - own.behind), 6))

    def _placed(self, own: Face) -> Face:
        pose = self.pose
        return Face(own.name, pose.apply(own.origin), pose.turn(own.u), pose.turn(own.v), pose.turn(own.normal), own.outline,
                    own.behind)


@remembered
def placed_box(placed: PlacedPart) -> Box3:
    """The box about a placed blank in the desk frame, exact at any turn; features can only make it smaller."""
    lows, highs = [], []
    for i in range(3):
        row = placed.pose.rotation[i]
        highs.append(placed.pose.origin[i] + reach(placed.part.blank, row))
        lows.append(placed.pose.origin[i] - reach(placed.part.blank, scale(row, -1.0)))
    return (lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2])


@dataclass(frozen=True, slots=True)
class FacePair:
    """Two opposed faces, in the desk frame. ``apart`` (mm) is the distance from a's to b's along a's normal: 0 where
    they touch, below 0 where the parts run into each other. ``region`` is where they face each other, a rectangle
    (u0, v0, u1, v1) in a's coordinates."""

    a: Face
    b: Face
    apart: float
    region: tuple[float, float, float, float]

    @property
    def middle(self) -> Vec:
        u0, v0, u1, v1 = self.region
        return self.a.point((u0 + u1) / 2, (v0 + v1) / 2)

    @property
    def long_axis(self) -> tuple[Vec, Vec, float, float]:
        """(start, direction, length, breadth) of the region's centre line along its longer side; the direction runs
        down where it can (from the face edge), else towards the higher coordinate (from the datum end)."""
        u0, v0, u1, v1 = self.region
        longer = (u1 - u0) - (v1 - v0)
        if abs(longer) > LENGTH:
            along_u = longer > 0
        else:  # as long as broad: the same way whichever part was named first, upright before x before y
            along_u = [abs(self.a.u[i]) for i in (2, 0, 1)] >= [abs(self.a.v[i]) for i in (2, 0, 1)]
        direction = self.a.u if along_u else self.a.v
        length, breadth = (u1 - u0, v1 - v0) if along_u else (v1 - v0, u1 - u0)
        forward = (-direction[2], direction[0], direction[1])
        if next(step for step in forward if abs(step) > ANGLE) < 0:
            direction = scale(direction, -1.0)
        return add(self.middle, scale(direction, -length / 2)), direction, length, breadth


def facing(a: PlacedPart, b: PlacedPart, search: float = FACE_SEARCH) -> FacePair:
    """The one pair of faces of a and b that are opposed, overlap, and lie within ``search`` mm of each other.

    Somewhere both must have material there: a member that ends in an opening of a plate does not touch the plate. A
    veneered face is met at the veneer.
    Touching faces go before faces apart, faces of the blanks before those that cuts have left or that a single body of
    equipment has. InputFault where there is no such pair, or more than one."""
    if a.name == b.name:
        raise InputFault(f"a joint of {a.name!r} with itself", allowed="two different parts")
    opposed, pairs = _pairs(a, b, list(a.joint_faces()), list(b.joint_faces()), search)
    found = _touching(pairs)
    if not found:
        more_a, more_b = list(a.further_faces()), list(b.further_faces())
        further = [_pairs(a, b, more_a, [*b.joint_faces(), *more_b], search)[1],
                   _pairs(a, b, list(a.joint_faces()), more_b, search)[1]]
        more = _nearest_of_each_side(further[0] + further[1])
        found = _touching(more) or pairs or more
    if opposed and not found:
        raise InputFault(f"{a.name!r} and {b.name!r} face each other only where one of them is cut away",
                         allowed="faces that meet where both have material")
    if not found:
        raise InputFault(f"{a.name!r} and {b.name!r} have no faces that face each other{_nearest(a, b)}",
                         allowed=f"opposed faces that overlap and are at most {search:g} mm apart")
    if len(found) > 1:
        names = "; ".join(f"{p.a.name} to {p.b.name}, {p.apart:.3g} mm apart" for p in found)
        raise InputFault(f"{a.name!r} and {b.name!r} face each other in more than one place ({names})",
                         allowed="parts placed so that one pair of faces is meant")
    return found[0]


def _pairs(a: PlacedPart, b: PlacedPart, faces_a: Iterable[Face], faces_b: Sequence[Face],
           search: float) -> tuple[bool, list[FacePair]]:
    """Whether any are opposed, and those of them that have material opposite each other."""
    opposed = [pair for fa in faces_a for fb in faces_b if (pair := _opposed(fa, fb, search))]
    return bool(opposed), [p for p in opposed if material_meets((a.part, p.a), (b.part, p.b), p.region)]


def _nearest(a: PlacedPart, b: PlacedPart) -> str:
    """"; nearest: right of 'left end' and left of 'right end', 556 mm apart"; nothing where none are opposed."""
    pairs = [pair for fa in a.joint_faces() for fb in b.joint_faces() if (pair := _opposed(fa, fb, inf))]
    if not pairs:
        return ""
    near = min(pairs, key=lambda pair: (round(abs(pair.apart), 6), pair.a.name, pair.b.name))
    return f"; nearest: {near.a.name} of {a.name!r} and {near.b.name} of {b.name!r}, {round(near.apart, 2):g} mm apart"


def _touching(pairs: Iterable[FacePair]) -> list[FacePair]:
    return [pair for pair in pairs if abs(pair.apart) <= FACES_APART]


def _nearest_of_each_side(pairs: Iterable[FacePair]) -> list[FacePair]:
    """Of pairs that face the same way only the nearest, of equally near ones the largest: a box of two bodies stands on
    both, and a knob's underside lies hidden behind that of its panel."""
    def rank(pair: FacePair) -> tuple[float, float]:
        u0, v0, u1, v1 = pair.region
        return round(abs(pair.apart) / LENGTH), -(u1 - u0) * (v1 - v0)

    kept: list[FacePair] = []
    for pair in sorted(pairs, key=rank):
        if not any(dot(pair.a.normal, other.a.normal) > 1 - ANGLE for other in kept):
            kept.append(pair)
    return kept


def _opposed(a: Face, b: Face, search: float) -> FacePair | None:
    if dot(a.normal, b.normal) > -1.0 + ANGLE:
        return None
    u, v, depth = a.coordinates(b.origin)
    apart = -depth
    # parts that run into each other: at most half way through the thinner one, or the far face would be meant
    if apart > search or apart < -min(search, a.behind / 2, b.behind / 2):
        return None
    region = _common_rectangle(a, b, u, v)
    return FacePair(a, b, apart, region) if region else None


def _common_rectangle(a: Face, b: Face, u: float, v: float) -> tuple[float, float, float, float] | None:
    """Where b's box covers a's, in a's (u, v); ``u``, ``v`` is b's origin there. None where they don't overlap or
    stand askew to each other."""
    uu, uv, vu, vv = dot(b.u, a.u), dot(b.u, a.v), dot(b.v, a.u), dot(b.v, a.v)
    if min(abs(uu), abs(uv)) > ANGLE:
        return None
    b0, c0, b1, c1 = b.outline.bounds
    corners = [(u + x * uu + y * vu, v + x * uv + y * vv) for x in (b0, b1) for y in (c0, c1)]
    a_box = a.outline.bounds
    u0, u1 = max(a_box[0], min(c[0] for c in corners)), min(a_box[2], max(c[0] for c in corners))
    v0, v1 = max(a_box[1], min(c[1] for c in corners)), min(a_box[3], max(c[1] for c in corners))
    return (u0, v0, u1, v1) if u1 - u0 > LENGTH and v1 - v0 > LENGTH else None
