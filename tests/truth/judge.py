"""What the engine said of one pair, against what is true: a list of wrongs, empty where all is right.

"verdict": something missed or invented. "value": found, but a number, point or kind of it is off.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from deskmodel.fit.problem import FitReport, GapFault, Overlap, OverlapKind
from deskmodel.frames import Pose, Vec, norm, sub
from tests.oracle.distance import KernelFailure, depth_inside, distance
from tests.oracle.occ import moved, solids, vertex
from tests.oracle.pair import settle
from tests.truth.case import BAND, A, B, Case, Truth, gap_verdict, overlap_verdict
from tests.truth.recipe import Recipe, oracle_shape
from tests.truth.rings import rings_truth

__all__ = ["Undecided", "Wrong", "judge", "truth_of"]

NEAR_WALL = 0.01  # mm: nearer to the wall than this, "swallowed" and "overlap" are both right


class Undecided(Exception):
    """The oracle's kernel failed on a pair without a closed form."""


@dataclass(frozen=True, slots=True)
class Wrong:
    sort: Literal["verdict", "value"]
    what: str


def truth_of(case: Case, failed: Callable[[str], None] = lambda _: None) -> Truth:
    """The closed form where there is one, else the kernel's answer. ``failed`` hears of each kernel failure, also of
    those that a nudge of 1e-5 mm helped over. Raises Undecided where nothing helped."""
    closed = case.truth or rings_truth(case)
    if closed is not None:
        return closed
    shapes = (moved(oracle_shape(case.a), case.pose_a), moved(oracle_shape(case.b), case.pose_b))
    try:
        exact, failures = settle(*shapes)
    except KernelFailure as fault:
        failed(f"{case.name}: {fault}")
        raise Undecided(f"{case.name}: {fault}") from fault
    if failures:
        failed(f"{case.name}, settled with depth {exact.depth:.5f}: {' | '.join(failures)}")
        # known to 1e-5 or from below only: what lies near a limit may fall either way
        if exact.depth < (BAND if exact.at_least else 1e-4) or abs(exact.depth - BAND) < 1e-4:
            exact = replace(exact, depth=0.5 * BAND)
        if exact.at_least:
            return Truth(exact.depth, exact.gap, convex=False, hull=1e3 * BAND, reached=True)
    if exact.swallowed is None:
        return Truth(exact.depth, exact.gap, exact.exact_depth, exact.hull)
    kinds: tuple[OverlapKind, ...] = ("swallowed",) if exact.clearance > NEAR_WALL else ("swallowed", "overlap")
    return Truth(exact.depth, exact.gap, exact.exact_depth, exact.hull, kinds, swallower=A if exact.swallowed == "b" else B)


def judge(case: Case, truth: Truth, report: FitReport) -> list[Wrong]:
    wrongs = [Wrong("verdict", f"not measured: {n.why}") for n in report.not_measured]
    wrongs += _overlap(case, truth, report.overlaps)
    wrongs += _gap(case, truth, report.gap_faults)
    found = bool(report.contact_faults)
    if found != (truth.contact_fault == "must") and truth.contact_fault != "either":
        wrongs.append(Wrong("verdict", f"contact fault {truth.contact_fault}, got {report.contact_faults}"))
    return wrongs


def _overlap(case: Case, truth: Truth, found: tuple[Overlap, ...]) -> list[Wrong]:
    verdict = overlap_verdict(truth)
    if (not found and verdict == "must") or (found and verdict == "never"):
        return [Wrong("verdict", f"overlap {verdict} (depth {truth.depth}, gap {truth.gap}), got {found}")]
    if not found:
        return []
    if len(found) > 1:
        return [Wrong("verdict", f"one pair, {len(found)} overlaps")]
    o = found[0]
    wrongs = []
    if {o.a, o.b} != {A, B}:
        wrongs.append(Wrong("verdict", f"names {o.a!r}, {o.b!r}"))
    if o.kind not in truth.kinds and verdict == "must":
        wrongs.append(Wrong("value", f"kind {o.kind}, not {truth.kinds}"))
    if o.kind == "swallowed" and truth.swallower is not None and o.a != truth.swallower:
        wrongs.append(Wrong("value", f"{o.a!r} is said to swallow, but {truth.swallower!r} does"))
    low, high = _penetrations(truth)
    if not low <= o.penetration <= high and not (o.penetration > high and not truth.convex and _holds_ball(case, o)):
        wrongs.append(Wrong("value", f"penetration {o.penetration}, true {truth.depth}: from {low} to {high}"))
    if truth.volume is not None and verdict == "must":
        # both boundaries of a layer of that thickness may err by 0.01
        slack = truth.volume * (0.03 + 0.02 / truth.depth)
        if abs(o.volume - truth.volume) > slack:
            wrongs.append(Wrong("value", f"volume {o.volume}, true {truth.volume}"))
    for name, recipe, pose in ((A, case.a, case.pose_a), (B, case.b, case.pose_b)):
        depth = max(depth_inside(s, o.point) for s in solids(moved(oracle_shape(recipe), pose)))
        if depth < -BAND:
            wrongs.append(Wrong("value", f"point {o.point} is {-depth:.4f} outside {name}"))
    if not all(o.box[0][i] - 1e-6 <= o.point[i] <= o.box[1][i] + 1e-6 for i in range(3)):
        wrongs.append(Wrong("value", f"point {o.point} outside its own box {o.box}"))
    return wrongs


def _holds_ball(case: Case, found: Overlap) -> bool:
    """Whether the kernel agrees that a ball as thick as said lies in both solids about the point said: then the largest ball
    that the oracle found in the common body was not the largest."""
    needed = found.penetration / 2 - BAND
    return all(max(depth_inside(s, found.point) for s in solids(moved(oracle_shape(recipe), pose))) >= needed
               for recipe, pose in ((case.a, case.pose_a), (case.b, case.pose_b)))


def _penetrations(truth: Truth) -> tuple[float, float]:
    """From meshes of 0.01 mm deflection a thickness is known to about that; a convex piece has one width. A layer
    (sleeve, crescent) is as thick as its middle, and by no means as wide as what it surrounds; of a lump that is not
    convex, its thickness and its hull's width bound what may be called its depth."""
    slack = 0.01 + 0.02 * truth.depth
    if truth.convex:
        return truth.depth - slack, truth.depth + slack
    low = 0.0 if truth.reached else 0.9 * truth.depth - 0.01
    if truth.depth < 0.1 * truth.hull:
        return low, 1.5 * truth.depth + 0.02
    return low, truth.hull + slack


def _gap(case: Case, truth: Truth, found: tuple[GapFault, ...]) -> list[Wrong]:
    minimum = case.minimum(truth.gap)
    verdict = gap_verdict(truth, minimum)
    if (not found and verdict == "must") or (found and verdict == "never") or len(found) > 1:
        return [Wrong("verdict", f"gap fault {verdict} (gap {truth.gap}, required {minimum}), got {found}")]
    wrongs = []
    for f in found:
        if abs(f.gap - truth.gap) > BAND:
            wrongs.append(Wrong("verdict", f"gap {f.gap}, true {truth.gap}"))
        if f.minimum != minimum:
            wrongs.append(Wrong("value", f"minimum {f.minimum}, not {minimum}"))
        apart = norm(sub(f.point_b, f.point_a))
        if abs(apart - f.gap) > 1e-6 and f.gap > 0.0:
            wrongs.append(Wrong("value", f"points {apart} apart, gap {f.gap}"))
        if abs(norm(f.direction) - 1.0) > 1e-6:
            wrongs.append(Wrong("value", f"direction {f.direction} is not a unit vector"))
        if f.gap > 1e-3 and norm(sub(f.direction, tuple(x / apart for x in sub(f.point_b, f.point_a)))) > 1e-3:  # type: ignore[arg-type]
            wrongs.append(Wrong("value", f"direction {f.direction} is not from {f.point_a} to {f.point_b}"))
        own = {A: (case.a, case.pose_a), B: (case.b, case.pose_b)}
        for name, point in ((f.a, f.point_a), (f.b, f.point_b)):
            if name not in own or _off(*own[name], point) > BAND:
                wrongs.append(Wrong("value", f"point {point} is not on {name!r}"))
    return wrongs


def _off(recipe: Recipe, pose: Pose, point: Vec) -> float:
    """Distance of a point from a placed part, mm (0 inside)."""
    # the kernel sees that a point lies inside only of a solid, not of a compound
    return min(distance(vertex(point), s).value for s in solids(moved(oracle_shape(recipe), pose)))
