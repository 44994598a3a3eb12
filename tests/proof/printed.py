"""A jig as it is printed: one closed body that fits the bed, and the same body in STL and STEP. mm, print frame."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from tests.proof.contract import Jig
from tests.proof.facets import Mesh, Patch
from tests.proof.judging import Complaint
from tests.proof.laid import Body
from tests.proof.members import Round, read_solid, rounds

LEAN = 44.0
"""degrees from level: what is steeper prints without support, 45° with the angles of a mesh (common practice)."""
BRIDGE = 3.0
"""mm of ceiling that an unsupported layer spans, as wide as a letter's stroke (common practice allows more)."""
CHORD = 0.05
"""mm: a mesh that is farther than this from its cylinders is too coarse to print a seat."""


def bed_of(workshop: Path) -> np.ndarray:
    return np.array(tomllib.loads(workshop.read_text(encoding="utf-8"))["printer"]["bed"], float)


def printable(jig: Jig, body: Body, bed: np.ndarray) -> Iterator[Complaint]:
    """One body, its facets looking outwards, standing on the bed at its origin, within it."""
    mesh = body.mesh
    if mesh.bodies != 1:
        yield Complaint("bodies", jig.number, mesh.bodies, 1)
    if mesh.volume <= 0:
        yield Complaint("inside out", jig.number, mesh.volume, 0)
    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    if np.abs(low).max() > 1e-4:
        yield Complaint("not on the bed", jig.number, float(np.abs(low).max()), 0)
    if ((high - low) > bed).any():
        yield Complaint("bed", jig.number, float((high - low - bed).max()), 0)
    for ceiling in ceilings(mesh):
        wide = 2 * ceiling.area / ceiling.rim
        if wide > BRIDGE:
            yield Complaint("overhang", jig.number, wide, BRIDGE)


def ceilings(mesh: Mesh) -> list[Patch]:
    """Facets off the bed that hang over by more than may be, those that hang together as one: flat or round."""
    hanging = (mesh.normals[:, 2] < -np.cos(np.radians(LEAN))) & (mesh.corners[:, :, 2].min(axis=1) > 0.05)
    first, second, _ = mesh.neighbours
    both = hanging[first] & hanging[second]
    labels = mesh.groups(first[both], second[both])
    found = [Patch(mesh, np.flatnonzero(hanging & (labels == label))) for label in np.unique(labels[hanging])]
    return [patch for patch in found if patch.area > 1e-6]


def same_in_step(jig: Jig, body: Body) -> Iterator[Complaint]:
    """Every bush's seat found in the facets is a cylinder of the solid, within the bound of the mesh, and the
    volumes agree within a fraction of that over the surface."""
    found, volume = _solid(jig.step)
    for seat in body.seats:
        if abs(2 * seat.radius - jig.bush.outside) > 1.5:
            continue
        middle = sum(seat.ends) / 2
        off = [max(_from_axis(r.point, r.axis, end) for end in seat.ends) + abs(r.radius - seat.radius)
               + max(0.0, abs(seat.length - (r.high - r.low)) - 1e-3) for r in found
               if r.low - 1 < (middle @ r.axis) < r.high + 1] or [np.inf]
        if min(off) > seat.bound + 1e-3:
            yield Complaint("step", jig.number, float(min(off)), seat.bound)
        if seat.bound > CHORD:
            yield Complaint("coarse", jig.number, seat.bound, CHORD)
    allowed = float(body.mesh.areas.sum()) * CHORD / 10
    if abs(volume - body.mesh.volume) > allowed:
        yield Complaint("volume", jig.number, body.mesh.volume, volume)


@cache
def _solid(path: Path) -> tuple[list[Round], float]:
    """The hollow cylinders of a STEP file and its volume, as the kernel has them."""
    solid, properties = read_solid(path), GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, properties)
    return rounds(solid), properties.Mass()


def _from_axis(point: np.ndarray, axis: np.ndarray, at: np.ndarray) -> float:
    return float(np.linalg.norm(np.cross(at - point, axis)))
