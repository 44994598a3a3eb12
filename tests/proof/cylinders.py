"""Cylindrical seats found in a mesh: axis, radius and ends of every concave cylinder, by least squares on its corners.

Corners of facets lie on the true cylinder or, where a cutting plane went through a facet, on a chord inside it: so the
residual may be the sagitta of the widest step, and no more. Flat facets that touch the cylinder (the roof of a drop-shaped
bore, a slot) and letters do not take part: corners are chosen by consensus before anything is fitted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from tests.proof.facets import FLAT, Floats, Mesh

STEP = np.radians(35)
"""Facets of a cylinder turn by less than this from one to the next."""
TURNED = np.radians(200)
"""A seat goes round at least this far, or it holds no bush."""
SHORTEST = 3.0
"""mm: shorter cylinders are letters or rounded corners."""
ON = 0.01
"""mm from the circle within which a corner may be taken for one of it, before the sagitta is known."""


@dataclass(frozen=True, eq=False)
class Cylinder:
    """``point`` on the axis, ``axis`` unit, from ``low`` to ``high`` along it (measured from ``point``)."""

    point: Floats
    axis: Floats
    radius: float
    low: float
    high: float
    residual: float
    bound: float
    """mm: sagitta of the widest step between corners: what the mesh may differ from the cylinder it stands for."""

    @property
    def length(self) -> float:
        return self.high - self.low

    @property
    def ends(self) -> tuple[Floats, Floats]:
        return self.point + self.low * self.axis, self.point + self.high * self.axis


def seats(mesh: Mesh) -> list[Cylinder]:
    """Every concave cylinder of ``mesh`` that goes round and is long enough, in the order of its middle (x, y, z)."""
    first, second, off = mesh.neighbours
    bent = np.linalg.norm(mesh.normals[first] - mesh.normals[second], axis=1)
    above = np.einsum("ij,ij->i", mesh.normals[first], mesh.vertices[off] - mesh.corners[first, 0])
    hollow = (bent < FLAT) | ((above > 0) & (bent < 2 * np.sin(STEP / 2)))
    labels = mesh.groups(first[hollow], second[hollow])
    found = [_cylinder(mesh, np.flatnonzero(labels == label)) for label, n in enumerate(np.bincount(labels)) if n >= 10]
    return sorted((c for c in found if c is not None), key=lambda c: tuple(np.round(sum(c.ends) / 2, 3)))


def _cylinder(mesh: Mesh, facets: Floats) -> Cylinder | None:
    axis = _direction(mesh, facets)
    if axis is None:
        return None
    if _turned(mesh.normals[facets], axis) < TURNED - STEP:
        return None
    corners = np.unique(mesh.faces[facets])
    points = mesh.vertices[corners]
    if np.ptp(points @ axis) < SHORTEST:
        return None
    across, up = _across(axis)
    flat = np.column_stack([points @ across, points @ up])
    circle = _consensus(flat)
    if circle is None:
        return None
    centre, radius = circle
    on = np.abs(np.hypot(*(flat - centre).T) - radius) < ON + 0.002 * radius
    point, axis, radius, residuals = _fit(points[on], centre[0] * across + centre[1] * up, axis, radius)
    across, up = _across(axis)
    height = (points[on] - point) @ axis
    turn = np.sort(np.arctan2((points[on] - point) @ up, (points[on] - point) @ across))
    steps = np.append(np.diff(turn), turn[0] + 2 * np.pi - turn[-1])
    wide = steps[steps > STEP].sum()  # openings in the wall, no steps of facets
    low, high = float(height.min()), float(height.max())
    if high - low < SHORTEST or 2 * np.pi - wide < TURNED:
        return None
    bound = radius * (1 - np.cos(steps[steps <= STEP].max() / 2))
    return Cylinder(point, axis, radius, low, high, float(np.abs(residuals).max()), float(bound))


def _direction(mesh: Mesh, facets: Floats) -> Floats | None:
    """The direction that all normals are square to, None where there is none."""
    normals, areas = mesh.normals[facets], mesh.areas[facets]
    values, vectors = np.linalg.eigh((normals * areas[:, None]).T @ normals / areas.sum())
    if values[0] > 1e-6 or values[1] < 0.05:
        return None
    axis = vectors[:, 0]
    return np.asarray(axis * np.sign(axis[np.argmax(np.abs(axis))]))


def _turned(normals: Floats, axis: Floats) -> float:
    """rad: how far the normals go round the axis, gaps of more than a step left out."""
    across, up = _across(axis)
    turn = np.sort(np.arctan2(normals @ up, normals @ across))
    steps = np.append(np.diff(turn), turn[0] + 2 * np.pi - turn[-1])
    return float(steps[steps <= STEP].sum())


def _across(axis: Floats) -> tuple[Floats, Floats]:
    """Two directions square to ``axis`` and to each other."""
    across = np.cross(axis, np.eye(3)[np.argmin(np.abs(axis))])
    across = across / np.linalg.norm(across)
    return across, np.cross(axis, across)


def _consensus(flat: Floats) -> tuple[Floats, float] | None:
    """Centre and radius of the circle through three of the points (n, 2) that most of them lie on."""
    rng = np.random.default_rng(len(flat))
    points = np.unique(np.round(flat, 4), axis=0)
    if len(points) < 6:
        return None
    a, b, c = points[np.array([rng.choice(len(points), 3, replace=False) for _ in range(200)])].transpose(1, 0, 2)
    p, q = b - a, c - a
    twice = 2 * (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])
    apart = np.abs(twice) > 1e-2
    a, p, q, twice = a[apart], p[apart], q[apart], twice[apart]
    pp, qq = (p**2).sum(axis=1), (q**2).sum(axis=1)
    # centre of the circle through 0, p and q, by Cramer's rule
    centres = a + np.column_stack([q[:, 1] * pp - p[:, 1] * qq, p[:, 0] * qq - q[:, 0] * pp]) / twice[:, None]
    radii = np.hypot(*(centres - a).T)
    if not len(radii):
        return None
    on = np.abs(np.hypot(*(points[None] - centres[:, None]).transpose(2, 0, 1)) - radii[:, None]) < ON
    best = int(on.sum(axis=1).argmax())
    return (centres[best], float(radii[best])) if on[best].sum() > 5 else None


def _fit(points: Floats, start: Floats, axis: Floats, radius: float) -> tuple[Floats, Floats, float, Floats]:
    """Least squares of distance from the axis less radius: two shifts, two tilts, the radius."""
    across, up = _across(axis)
    middle = points.mean(axis=0)
    start = start + ((middle - start) @ axis) * axis

    def line(x: Floats) -> tuple[Floats, Floats]:
        direction = axis + x[2] * across + x[3] * up
        return start + x[0] * across + x[1] * up, direction / np.linalg.norm(direction)

    def residuals(x: Floats) -> Floats:
        point, direction = line(x)
        return np.linalg.norm(np.cross(points - point, direction), axis=1) - x[4]

    solved = least_squares(residuals, [0, 0, 0, 0, radius], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    point, direction = line(solved.x)
    return point, direction, float(solved.x[4]), residuals(solved.x)
