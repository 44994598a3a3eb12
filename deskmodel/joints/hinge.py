"""Hinge: a cover that turns open about a pin at its rear edge.

    veneer, plate  ____________ (O) __________     the knuckle stands in a notch of the cover's edge, within the reveal
    pad, packing   ~~~~~~~~~====(O)=====           both leaves lie flat, let into the member's face by their thickness
    backing       |  [====]     |member |          the moving leaf reaches into a housing in the top of the backing

The pin lies as low as its leaves let it: the cover's top then is less than a reveal above it, so that the rear edge turns
past the plate behind without touching. The fixed leaf goes on before the plate that covers it is bonded, cut to what the
member has behind the pin; the moving leaf goes into the backing before the backing is glued to the cover.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import number as checked_number
from deskmodel._numbers import told
from deskmodel.catalogue import HingeSize, hinge_size
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import CutOut, Face, Pocket
from deskmodel.frames import Vec, add, cross, dot, pose_from_axes, scale, sub
from deskmodel.hardware import hinge_leaf
from deskmodel.joints._base import JointRecord, Layout, Named, Opening, Site, name_of, region_box, stations
from deskmodel.joints._rows import from_datum_end
from deskmodel.part import Member, Plate
from deskmodel.profiles import Profile, rectangle
from deskmodel.tolerances import LENGTH

__all__ = ["Hinge"]

ROUND = 0.5
"""mm of room at the ends of a hinge and before its leaf and knuckle (common practice)."""

IN_BACKING = 6.0
"""mm of the moving leaf at least in the backing, for its row of screws (common practice)."""

_TRIM = 1.0  # mm that a trimmed leaf stays inside the member's far edge


@dataclass(frozen=True)
class Hinge:
    """``count`` hinges between ``cover`` and the ``member`` under one of its edges; the pin stands over that edge.

    ``at``: mm of their middles from the datum end of the member, else one and a half hinge lengths from the ends of the
    seat and evenly between. The cover lies on a ``pad`` (mm) and turns by ``angle`` degrees. The screws of the leaves are
    counted in the record, not drawn."""

    cover: Named | str
    member: Named | str
    hinge: str = "50x40"
    count: int = 2
    at: tuple[float, ...] | None = None
    angle: float = 95.0
    pad: float = 0.5

    rank: ClassVar[int] = 12

    def __post_init__(self) -> None:
        name_of(self.cover)
        name_of(self.member)
        if isinstance(self.count, bool) or not isinstance(self.count, int) or not 1 <= self.count <= 10:
            raise InputFault(f"count {told(self.count)}", allowed="a whole number, 1 to 10")
        checked_number("angle", self.angle, 1, 180, "degrees")
        checked_number("pad", self.pad, 0, 5, "mm")
        object.__setattr__(self, "at", stations("hinges at", self.at, hinge_size(self.hinge).length + 2 * ROUND))

    @property
    def title(self) -> str:
        return f"{name_of(self.cover)} hinge"

    def lay_out(self, site: Site, name: str) -> Layout:
        size = hinge_size(self.hinge)
        cover, member = site.part(name_of(self.cover)), site.part(name_of(self.member))
        if cover.role != "cover" or not isinstance(cover.part, Plate):
            raise InputFault(f"{cover.name!r} as the cover of a hinge", allowed="a Cover")
        if not isinstance(member.part, Member):
            raise InputFault(f"a hinge let into {member.name!r}", allowed="a member")
        pair = site.facing(cover.name, member.name)
        backing = next(part for part in site.parts.values() if part.role == "backing" and part.group == cover.name)
        edge = _Edge.of(pair, cover, size)
        start, along, length, _ = pair.long_axis
        places = self._evenly(size, length) if self.at is None else from_datum_end(self.at, member, start, along, length)
        for place in places:
            if not size.length / 2 + ROUND <= place <= length - size.length / 2 - ROUND:
                raise InputFault(f"a hinge {size.length:g} long at {place:g} of a seat {length:g} mm long",
                                 allowed="a hinge that ends within the seat")
        layout = Layout()
        moving = []
        for i, place in enumerate(places, 1):
            middle = add(start, scale(along, place))
            moving += _one(f"{name}, hinge {i}", name, edge, middle, size, (cover, member, backing), layout)
        layout.openings.append(Opening(cover.name, tuple(moving), pin=(edge.pin(start), edge.axis), angle=self.angle))
        hardware = tuple(piece.name for piece in layout.hardware)
        cut = f", its fixed leaf cut to {edge.fixed:g} mm" if edge.fixed < size.width else ""
        layout.records.append(JointRecord(
            name, "hinge", cover.name, member.name, (pair.a.name, pair.b.name), pair.apart - self.pad, self.pad,
            pair.middle, region_box(pair), hardware,
            f"pad of {self.pad:g} mm, {len(places)} × butt hinge {size.designation}{cut}; {2 * size.screws * len(places)} "
            f"countersunk wood screws, counted here and not drawn; turns by {self.angle:g}°"))
        return layout

    def _evenly(self, size: HingeSize, length: float) -> list[float]:
        if self.count == 1:
            return [length / 2]
        least = size.length / 2 + ROUND
        margin = min(1.5 * size.length, max(least, length / 4))
        step = (length - 2 * margin) / (self.count - 1)
        if step < size.length + 2 * ROUND:
            raise InputFault(f"{self.count} hinges {size.length:g} long on a seat of {length:g} mm",
                             allowed="fewer or shorter ones")
        return [margin + i * step for i in range(self.count)]


@dataclass(frozen=True)
class _Edge:
    """The cover's edge over the pin. ``inwards``, ``up``, ``axis``: unit vectors, desk frame, right-handed in this order
    with ``axis`` first turned: a turn about ``axis`` lifts the cover. ``height`` of the pin's axis over the member's face,
    ``outer`` mm from the seat's centre line to the edge, ``seat`` to the member's inner side, ``fixed`` mm of fixed leaf."""

    pair: FacePair
    inwards: Vec
    up: Vec
    axis: Vec
    height: float
    outer: float
    seat: float
    fixed: float

    @staticmethod
    def of(pair: FacePair, cover: PlacedPart, size: HingeSize) -> _Edge:
        start, along, _, breadth = pair.long_axis
        up = pair.b.normal
        across = cross(up, along)
        inwards = across if dot(sub(_middle(cover), start), across) > 0 else scale(across, -1.0)
        outer = max(dot(sub(p, start), scale(inwards, -1.0)) for p in _corners(pair.a))
        room = max(dot(sub(p, start), scale(inwards, -1.0)) for p in _corners(pair.b)) - outer
        if abs(outer - breadth / 2) > LENGTH or room < size.knuckle / 2 + 5:
            raise InputFault(f"no room behind the edge of {cover.name!r} for the fixed leaf of a hinge",
                             allowed="a member that reaches at least half a knuckle and 5 mm beyond that edge")
        fixed = size.width if room >= size.width + _TRIM else room - _TRIM
        return _Edge(pair, inwards, up, cross(inwards, up), size.knuckle / 2 - size.leaf, outer, breadth / 2, fixed)

    def on_face(self, middle: Vec) -> Vec:
        """The point of the member's face under the pin's axis, beside a point of the seat's centre line on the cover."""
        return add(middle, add(scale(self.inwards, -self.outer), scale(self.up, -self.pair.apart)))

    def pin(self, middle: Vec) -> Vec:
        return add(self.on_face(middle), scale(self.up, self.height))


def _one(name: str, group: str, edge: _Edge, middle: Vec, size: HingeSize, parts: tuple[PlacedPart, PlacedPart, PlacedPart],
         layout: Layout) -> list[str]:
    """One hinge about ``middle``: its leaves, the mortise, the notch and the housing. The name of the moving leaf."""
    cover, member, backing = parts
    base, radius, half = edge.on_face(middle), size.knuckle / 2, size.length / 2 + ROUND

    def outline(face: Face, low: float, high: float) -> Profile:
        """From ``low`` to ``high`` mm inwards of the pin, over the hinge's length, in the (u, v) of the face."""
        corners = [face.coordinates(add(base, add(scale(edge.inwards, w), scale(edge.axis, side))))
                   for w in (low, high) for side in (-half, half)]
        u0, v0 = (min(c[i] for c in corners) for i in (0, 1))
        u1, v1 = (max(c[i] for c in corners) for i in (0, 1))
        return rectangle(u1 - u0, v1 - v0, (u0, v0))

    layout.features.append((member.name, Pocket(
        edge.pair.b.name, outline(edge.pair.b, -edge.fixed - ROUND, edge.outer + edge.seat), size.leaf,
        f"{name}, mortise")))
    outer = next(face for face in cover.faces() if face.name != edge.pair.a.name)
    layout.features.append((cover.name, CutOut(outline(outer, 0.0, radius + ROUND), outer.name, f"{name}, notch")))
    top = next(face for face in backing.faces() if dot(face.normal, edge.up) > 0.5)
    begins = min(dot(sub(p, base), edge.inwards) for p in _corners(top))
    if size.width - begins < IN_BACKING:
        raise InputFault(f"hinge {size.designation} reaches {max(0.0, size.width - begins):g} mm into {backing.name!r}",
                         allowed=f"{IN_BACKING:g} mm at least (common practice): a broader hinge or a smaller set back")
    sunk = dot(sub(top.origin, base), edge.up) + size.leaf
    layout.features.append((backing.name, Pocket(top.name, outline(top, begins, size.width + ROUND), sunk,
                                                 f"{name}, housing")))
    ends = add(edge.pin(middle), scale(edge.axis, -size.length / 2))
    pose = pose_from_axes(ends, edge.inwards, edge.axis)
    leaves = [hinge_leaf(f"{name}, fixed leaf", size, edge.fixed, moving=False),
              hinge_leaf(f"{name}, moving leaf", size, size.width, moving=True)]
    layout.hardware += [PlacedPart(leaf, pose, "hardware", group) for leaf in leaves]
    return [leaves[1].name]


def _middle(placed: PlacedPart) -> Vec:
    corners = [p for face in placed.faces() for p in _corners(face)]
    return scale((sum(p[0] for p in corners), sum(p[1] for p in corners), sum(p[2] for p in corners)), 1 / len(corners))


def _corners(face: Face) -> Sequence[Vec]:
    u0, v0, u1, v1 = face.outline.bounds
    return [face.point(u, v) for u in (u0, u1) for v in (v0, v1)]
