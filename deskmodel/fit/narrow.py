"""One pair, judged: do they overlap, does one swallow the other, how near are they?

Cores decide. They lie inside the solids, so cores that meet prove an overlap (but for slivers, see ``_SURE``); cores that
don't meet, neither inside the other, prove that any overlap is thinner than the sum of the two depths, which is below
0.01 mm for nearly every pair (see ``deskmodel.meshes.settings``). Where that sum is larger the kernel's exact common
solid decides.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.fit.gaps import Cores, exact_gap, faces_within
from deskmodel.fit.overlap import DECIDED, exact_overlap, mesh_overlap
from deskmodel.fit.result import CLEAR, GapFacts, OverlapFacts, PairResult
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.tolerances import LENGTH, OVERLAP

__all__ = ["Side", "judge"]

_SURE = 2 * OVERLAP  # mm; a hit on a core that can't be trusted everywhere counts without the kernel from here on

_EXACT = 0.6 * OVERLAP
"""mm of the kernel's common solid from which it counts. Its thickness is taken from a mesh inside its curved faces and by
samples, both of which make it less: a lens of 0.011 was measured as 0.0099. Below OVERLAP either answer is right."""

_SLIVERS = 8
"""Pieces of a common body from which the kernel is asked what of it is true. Cores are moved vertex by vertex: where a
triangle is a metre long and a hundredth wide (of a sheet between far holes) its edge may cross a rim that its corners keep
clear of, and where a slot has clipped the rim of a countersink the head in it met the plate in 53 places."""

_THIN = 0.1
"""mm. Facets of two meshes of one face cross each other by less than that."""


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One body of the pair: its prepared shape, and how to get the kernel's shape and its faces if need be."""

    shape: PreparedShape
    brep: Callable[[], Any]
    faces: Callable[[], list[Any]]


def judge(a: Side, b: Side, rotation: NDArray[np.float64], origin: NDArray[np.float64], minimum: float,
          overlaps: bool) -> PairResult:
    """``b`` at a pose in the frame of ``a``; mm. A gap is measured where ``minimum`` > 0 and reported when below
    it; overlaps are looked for where ``overlaps``. What fails is said in the result, never raised."""
    try:
        return _judge(a, b, rotation, origin, minimum, overlaps)
    except BuildFault as fault:
        return PairResult(why=str(fault))


def _judge(a: Side, b: Side, rotation: NDArray[np.float64], origin: NDArray[np.float64], minimum: float,
           overlaps: bool) -> PairResult:
    cores = Cores(a.shape, b.shape, rotation, origin)
    overlap = _overlap(a, b, cores)
    if overlap is not None:
        gap = None
        if minimum > 0.0:
            way = _apart(cores)
            gap = GapFacts(0.0, overlap.point, overlap.point, way)
        return PairResult(overlap if overlaps else None, gap)
    if minimum <= 0.0:
        return CLEAR
    found = exact_gap(cores, a.faces, b.faces, minimum)
    if found is None or found.value >= minimum - LENGTH:
        return CLEAR
    return PairResult(gap=found)


def _overlap(a: Side, b: Side, cores: Cores) -> OverlapFacts | None:
    rotation, origin = cores.rotation, cores.origin
    hit = cores.collide()
    a_in_b = b.shape.inside_core((a.shape.probes - origin) @ rotation)
    b_in_a = a.shape.inside_core(b.shape.probes @ rotation.T + origin)
    held = bool(a_in_b.any() or b_in_a.any())
    if not hit and not held:
        if a.shape.max_depth + b.shape.max_depth < DECIDED or not faces_within(cores, DECIDED):
            return None
        found = exact_overlap(a.brep(), b.brep(), rotation, origin)
        return found if found is not None and found.penetration >= _EXACT else None
    try:
        facts = mesh_overlap(a.shape, b.shape, rotation, origin)
    except BuildFault:
        facts = None
    if facts is None:
        facts = exact_overlap(a.brep(), b.brep(), rotation, origin)
        if facts is None:
            raise BuildFault("the bodies overlap, but neither meshes nor the kernel could measure how")
    elif hit and facts.penetration < _SURE and not (a.shape.trusted and b.shape.trusted):
        exact = exact_overlap(a.brep(), b.brep(), rotation, origin)
        if exact is None or exact.penetration < _EXACT:
            return None
        facts = exact
    elif hit and _facets(facts):
        try:
            exact = exact_overlap(a.brep(), b.brep(), rotation, origin)
        except BuildFault:
            exact = facts  # the cores do meet: without a second opinion that counts
        if exact is None or exact.penetration < _EXACT:
            return None
        facts = exact
    if not hit and cores.distance() > 2 * DECIDED:
        # the probe of the one that swallows may lie in the other too
        a_is_inner = a.shape.volume < b.shape.volume
        if a_in_b.all() and (a_is_inner or not b_in_a.all()):
            return replace(facts, kind="swallowed", outer=1)
        if b_in_a.all():
            return replace(facts, kind="swallowed", outer=0)
    return facts


def _facets(facts: OverlapFacts) -> bool:
    """Whether the common body looks like facets that cross each other on a curved face that both share: many, and thin."""
    return facts.pieces > _SLIVERS and facts.penetration < _THIN


def _apart(cores: Cores) -> tuple[float, float, float]:
    """A direction from ``a`` to ``b`` where they overlap: between the middles of their boxes."""
    middle_a = cores.a.box.mean(axis=0)
    between = cores.rotation @ cores.b.box.mean(axis=0) + cores.origin - middle_a
    length = float(np.linalg.norm(between))
    if length < LENGTH:
        return (0.0, 0.0, 1.0)
    return (float(between[0] / length), float(between[1] / length), float(between[2] / length))
