"""What people do without the engine, for comparison: the kernel on pairs that boxes let through, and a plain script.

Each returns the pairs of names it calls overlapping; screws in inserts and inserts in members count as meant.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from deskmodel.fit.problem import BodyShape, FitProblem

__all__ = ["Rival", "kernel_on_near_pairs", "plain_script"]


@dataclass(frozen=True, slots=True)
class Rival:
    seconds: float
    part: float  # of which: meshing (plain script), booleans (kernel)
    pairs: int
    overlaps: frozenset[frozenset[str]]
    gap_faults: int = 0
    failures: int = 0


def _meant(problem: FitProblem) -> frozenset[frozenset[str]]:
    return frozenset(frozenset((c.male, c.female)) for c in problem.contacts)


def kernel_on_near_pairs(problem: FitProblem, most: int | None = None) -> Rival:
    """Distance of each near pair, and its common body (volume above 1e-6 mm³ is an overlap) unless they are apart: one
    distance and one boolean a pair, no second opinions. ``most``: only so many pairs, time scaled up to all."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape

    from tests.oracle.assembly import KernelReport, candidate_pairs, required_gaps
    from tests.oracle.occ import volume

    built: dict[str, object] = {}

    def shape_of(shape: BodyShape) -> object:
        if shape.key not in built:
            built[shape.key] = shape.build()
        return built[shape.key]

    start = time.perf_counter()
    report, needed, meant = KernelReport(), required_gaps(problem), _meant(problem)
    overlaps, faults, failures, done, booleans = set(), 0, 0, 0, 0.0
    near = list(candidate_pairs(problem, report, shape_of))
    filtered = time.perf_counter() - start
    chosen = near if most is None or most >= len(near) else [near[i] for i in
                                                             np.linspace(0, len(near) - 1, most).astype(int)]
    for a, b, first, second in chosen:
        key = frozenset((a.name, b.name))
        done += 1
        try:
            apart = BRepExtrema_DistShapeShape(first, second).Value()
            faults += apart < needed.get(key, 0.0)
            if apart <= 1e-7:
                before = time.perf_counter()
                if volume(BRepAlgoAPI_Common(first, second).Shape()) > 1e-6 and key not in meant:
                    overlaps.add(key)
                booleans += time.perf_counter() - before
        except Exception:
            failures += 1
    spent = time.perf_counter() - start - filtered
    scale = len(near) / max(done, 1)
    return Rival(filtered + spent * scale, booleans * scale, len(near), frozenset(overlaps), faults, failures)


Mesher = Callable[[BodyShape], tuple[np.ndarray, np.ndarray]]


def default_tessellation(shape: BodyShape) -> tuple[np.ndarray, np.ndarray]:
    """cadquery's export defaults: 0.001 mm, 0.1 rad. Each shape is meshed once, which is kinder than a naive script."""
    from cadquery import Shape

    vertices, triangles = Shape.cast(shape.build()).tessellate(1e-3, 0.1)
    return np.array([v.toTuple() for v in vertices]), np.array(triangles)


def plain_script(problem: FitProblem, mesher: Mesher = default_tessellation) -> Rival:
    """trimesh's CollisionManager on nominal meshes: every part an object, one question."""
    import trimesh
    from trimesh.collision import CollisionManager

    start = time.perf_counter()
    meshes: dict[str, trimesh.Trimesh] = {}
    for body in problem.bodies:
        if body.shape.key not in meshes:
            meshes[body.shape.key] = trimesh.Trimesh(*mesher(body.shape), process=False)
    meshing = time.perf_counter() - start
    manager = CollisionManager()
    for body in problem.bodies:
        matrix = np.eye(4)
        matrix[:3, :3], matrix[:3, 3] = body.pose.rotation, body.pose.origin
        manager.add_object(body.name, meshes[body.shape.key], matrix)
    _, names = manager.in_collision_internal(return_names=True)
    hits = frozenset(frozenset(pair) for pair in names) - _meant(problem)
    return Rival(time.perf_counter() - start, meshing, len(problem.bodies) * (len(problem.bodies) - 1) // 2, hits)
