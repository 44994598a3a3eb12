"""One pair of placed shapes, measured by the kernel: distance, shared volume, depth, containment.

Every answer is asked twice where the kernel can be asked twice, and a contradiction is a ``KernelFailure`` that the
caller counts; nothing is dropped. Steps for each pair of solids:

1. distance of the boundaries. Above TOUCH: the solids are apart, or one lies wholly in the other (classifier), and no
   boolean is needed;
2. otherwise the common body, and three other opinions: with the arguments swapped, and from both differences;
3. nothing shared: no surface point of the one may lie 0.001 mm inside the other, as far as climbing finds one;
4. apart: going to and fro between the shapes from the likeliest places must not find a smaller distance.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopoDS import TopoDS_Shape
from OCP.TopTools import TopTools_ListOfShape

from deskmodel.frames import Pose, Vec
from tests.oracle.deepest import deepest_point
from tests.oracle.distance import Distance, KernelFailure, boundary_distance, depth_inside, distance, inside, witness
from tests.oracle.occ import moved, solids, volume, volume_within
from tests.oracle.samples import surface_points
from tests.oracle.width import depth_of

__all__ = ["TOUCH", "Exact", "common_pieces", "measure", "settle"]

TOUCH = 1e-7  # mm: the kernel's own confusion length (Precision::Confusion)
THIN = 3e-7  # mm: a common body thinner than this is contact, not overlap
DEEP = 1e-3  # mm: nothing shared is believed if no surface point is found deeper than this in the other solid


@dataclass(frozen=True, slots=True)
class Exact:
    """``gap`` mm (0 where they touch, overlap or hold each other); ``volume`` mm³ and ``depth`` mm of the overlap.

    ``exact_depth`` is False where depth is only a lower bound (a piece that is not convex, or pieces that may meet);
    ``hull``, the smallest width of the piece's hull, is then an upper one. ``swallowed`` names the body ("a" or "b")
    that lies wholly inside the other without touching its boundary; ``clearance`` is the distance of the boundaries.
    """

    gap: float
    point_a: Vec
    point_b: Vec
    volume: float = 0.0
    depth: float = 0.0
    exact_depth: bool = True
    hull: float = 0.0
    pieces: int = 0
    swallowed: str | None = None
    clearance: float = 0.0
    at_least: bool = False  # the booleans failed: ``depth`` is only the deepest surface point found by climbing


def measure(a: TopoDS_Shape, b: TopoDS_Shape, *, gap: bool = True) -> Exact:
    """Raises KernelFailure where the kernel contradicts itself."""
    nearest: Distance | None = None
    results = []
    holders: dict[tuple[str, int], float] = {}  # solids that lie wholly in one of the other shape's, and how far in
    first, second = solids(a), solids(b)
    for i, s in enumerate(first):
        for j, t in enumerate(second):
            one = _solid_pair(s, t)
            results.append(one)
            if one.swallowed:
                holders[one.swallowed, j if one.swallowed == "b" else i] = one.clearance
            if nearest is None or one.gap < nearest.value:
                nearest = Distance(one.gap, one.point_a, one.point_b)
    assert nearest is not None, "a shape without solids"
    if gap and nearest.value > TOUCH:
        found = witness(a, b, nearest)
        if found < nearest.value - 1e-6:
            raise KernelFailure(f"distance {nearest.value:.9f}, but two points of them are {found:.9f} apart")
    shared = [r for r in results if r.pieces]
    deepest = max(shared, key=lambda r: r.depth, default=None)
    whole = [name for name, count in (("a", len(first)), ("b", len(second)))
             if sum(key[0] == name for key in holders) == count == len(shared)]
    return Exact(nearest.value, nearest.point_a, nearest.point_b, sum((r.volume for r in shared), 0.0),
                 deepest.depth if deepest else 0.0,
                 len(shared) < 2 and (deepest is None or deepest.exact_depth),
                 max((r.hull for r in shared), default=0.0) if len(shared) < 2 else math.inf,
                 sum(r.pieces for r in shared), whole[0] if whole else None,
                 min(holders.values()) if whole else 0.0)


def settle(a: TopoDS_Shape, b: TopoDS_Shape, nudge: float = 1e-5) -> tuple[Exact, list[str]]:
    """``measure``; where the kernel fails, the same with b a hundred-thousandth of a mm aside; where that fails too, a
    depth by climbing (``at_least``), the booleans left out.

    Returns what was measured and the failures on the way (none: exact as it stands; some: good to ``nudge``). Raises
    KernelFailure where not even the distance is known.
    """
    failures: list[str] = []
    for by in ((0.0, 0.0, 0.0), (1.0, 0.3, 0.2), (-0.7, 0.9, -0.4)):
        try:
            shifted = moved(b, Pose(origin=(nudge * by[0], nudge * by[1], nudge * by[2])))
            return measure(a, shifted if any(by) else b), failures
        except KernelFailure as fault:
            failures.append(str(fault))
    try:
        depth, _ = max(deepest_point(s, t) for s in solids(a) for t in solids(b))
        gap = distance(a, b)
        least = witness(a, b, gap)
    except KernelFailure as fault:
        raise KernelFailure(" | ".join([*failures, str(fault)])) from fault
    apart = 0.0 if depth > 0.0 else min(gap.value, least)
    return Exact(apart, gap.point_a, gap.point_b, depth=max(depth, 0.0), exact_depth=False, at_least=True), failures


def _solid_pair(a: TopoDS_Shape, b: TopoDS_Shape) -> Exact:
    apart = distance(a, b)
    if apart.value > TOUCH:
        return Exact(apart.value, apart.point_a, apart.point_b)
    skin = boundary_distance(a, b)
    if skin.value > TOUCH:
        if inside(a, skin.point_b):
            inner, name = b, "b"
        elif inside(b, skin.point_a):
            inner, name = a, "a"
        else:
            raise KernelFailure("solids are 0 apart, their boundaries are not, and neither holds the other")
        depth = depth_of(inner)
        return Exact(0.0, skin.point_a, skin.point_a, volume(inner), depth.value, depth.convex, depth.hull, 1,
                     name, skin.value)
    pieces = common_pieces(a, b)
    depths = [(depth_of(p), volume(p)) for p in pieces]
    thick = [(d, v) for d, v in depths if d.value > THIN]
    if not thick:
        _no_deep_point(a, b)
        return Exact(0.0, skin.point_a, skin.point_b)
    deepest = max((d for d, _ in thick), key=lambda d: d.value)
    return Exact(0.0, skin.point_a, skin.point_b, sum(v for _, v in thick), deepest.value, deepest.convex,
                 max(d.hull for d, _ in thick), len(thick))


def common_pieces(a: TopoDS_Shape, b: TopoDS_Shape) -> list[TopoDS_Shape]:
    """The solids of a ∩ b. KernelFailure unless four booleans agree and the pieces really lie in both.

    All four are needed: common(a, b) and a - b were both seen to be empty-handed where b - a was not, and a common body
    equal to the whole of b where b only touched a.
    """
    orders = ((a, b), (b, a))
    found = [solids(_boolean(BRepAlgoAPI_Common, s, t)) for s, t in orders]
    shared = [sum(volume(p) for p in pieces) for pieces in found]
    whole = [volume_within(s) for s, _ in orders]
    rest = [volume_within(_boolean(BRepAlgoAPI_Cut, s, t)) for s, t in orders]
    removed = [w[0] - r[0] for w, r in zip(whole, rest, strict=True)]
    # integration noise, and intersection curves that the kernel knows to 1e-7 or so only
    slack = sum(w[1] + r[1] for w, r in zip(whole, rest, strict=True)) + 0.01 * max(shared) + 2e-4
    if max(*shared, *removed) - min(*shared, *removed) > slack:
        raise KernelFailure(f"common bodies {shared} mm³, removed by the cuts {removed} mm³")
    pieces = found[0]
    if any(volume(p) <= 0.0 for p in pieces) or not all(BRepCheck_Analyzer(p).IsValid() for p in pieces):
        raise KernelFailure("a common body is not a valid solid")
    for piece in pieces:
        _lies_in_both(piece, a, b)
    return list(pieces)


def _lies_in_both(piece: TopoDS_Shape, a: TopoDS_Shape, b: TopoDS_Shape) -> None:
    points = surface_points(piece, 0.05)
    for p in points[:: max(1, len(points) // 24)]:
        at = (float(p[0]), float(p[1]), float(p[2]))
        for solid in (a, b):
            if inside(solid, at, 1e-5) is False and depth_inside(solid, at) < -1e-4:
                raise KernelFailure(f"{at} of the common body lies outside one of the solids")


def _boolean(kind: Callable[[], BRepAlgoAPI_Common], a: TopoDS_Shape, b: TopoDS_Shape) -> TopoDS_Shape:
    operation = kind()
    for part, put in ((a, operation.SetArguments), (b, operation.SetTools)):
        given = TopTools_ListOfShape()
        given.Append(part)
        put(given)
    try:
        operation.Build()
    except Exception as fault:
        raise KernelFailure(f"{type(operation).__name__}: {fault}") from fault
    if not operation.IsDone():
        raise KernelFailure(f"{type(operation).__name__}: not done")
    return operation.Shape()


def _no_deep_point(a: TopoDS_Shape, b: TopoDS_Shape) -> None:
    """A boolean that found nothing is believed only if climbing finds no surface point deep in the other solid."""
    depth, at = deepest_point(a, b, enough=DEEP)
    if depth > DEEP:
        raise KernelFailure(f"no common body, but {at} lies {depth:.4f} inside")
