"""What two overlapping bodies share: pieces, volume, thickness, place. For hits only; 5 to 20 ms each."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.fit.placed import pose_of, vec
from deskmodel.fit.result import OverlapFacts
from deskmodel.fit.width import thickness
from deskmodel.meshes.crop import crop
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.solids import checked, solid_from_mesh, triangles_of
from deskmodel.tolerances import OVERLAP

__all__ = ["DECIDED", "exact_overlap", "exact_pieces", "mesh_overlap", "mesh_pieces"]

Rotation = NDArray[np.float64]
Origin = NDArray[np.float64]
Piece = tuple[float, NDArray[np.float64], NDArray[np.int64]]
"""Volume, vertices (n, 3), triangles (m, 3)."""

DECIDED = OVERLAP * 0.98
"""mm. What is surely thinner than this is contact within tolerance."""

_LARGEST = 40  # pieces whose thickness is looked at
_SMALL = 12_000  # triangles; a solid of no more is taken whole, which is kept: as long as three of a larger one are cut out
_MARGIN = np.array([0.1234567, 0.1543219, 0.1765433])  # mm round what is cut out: odd, so that no face lies in a cut
_FINE = 0.002  # mm, deflection at which an exact common solid is meshed for its thickness


def mesh_overlap(a: PreparedShape, b: PreparedShape, rotation: Rotation, origin: Origin) -> OverlapFacts | None:
    """Shared material of the nominal meshes, ``b`` at a pose in the frame of ``a``; None where they share none.

    Raises BuildFault where a mesh is no solid or the intersection fails.
    """
    return _facts(mesh_pieces(a, b, rotation, origin))


def mesh_pieces(a: PreparedShape, b: PreparedShape, rotation: Rotation, origin: Origin) -> list[Piece]:
    """The pieces of it, in the frame of ``a``. Raises BuildFault as ``mesh_overlap``."""
    pose = np.column_stack([rotation, origin])
    pieces: list[tuple[float, Any]] = []
    for j in range(b.solids):
        low, high = _placed(b.solid_boxes[j], rotation, origin)
        for i in np.flatnonzero(((a.solid_boxes[:, 0] <= high) & (a.solid_boxes[:, 1] >= low)).all(axis=1)).tolist():
            # each is needed only where the other's box is
            small_a = _solid(a, i, low, high)
            small_b = _solid(b, j, *_placed(a.solid_boxes[i], rotation.T, -origin @ rotation))
            shared = checked(small_a ^ small_b.transform(pose))
            if not shared.is_empty():
                pieces += [(float(piece.volume()), piece) for piece in shared.decompose()]
    meshes = [(volume, *triangles_of(piece)) for volume, piece in pieces]
    meshes = [each for each in meshes if len(each[2])]
    return _with_voids([each for each in meshes if each[0] > 0.0], [each for each in meshes if each[0] < 0.0])


def _with_voids(bodies: list[Piece], voids: list[Piece]) -> list[Piece]:
    """Each void, which the library takes apart as a piece of negative volume, back into the smallest body round it."""
    for volume, vertices, triangles in voids:
        round_it = [i for i, (_, body, _) in enumerate(bodies)
                    if (body.min(axis=0) < vertices.min(axis=0)).all() and (body.max(axis=0) > vertices.max(axis=0)).all()]
        if not round_it:
            raise BuildFault("a void without a body round it")
        host = min(round_it, key=lambda i: bodies[i][0])
        whole, body, skin = bodies[host]
        bodies[host] = (whole + volume, np.vstack([body, vertices]), np.vstack([skin, triangles + len(body)]))
    return bodies


def _placed(box: NDArray[np.float64], rotation: Rotation, origin: Origin) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Box (2, 3) about a box that was turned and moved."""
    centre, half = rotation @ (box[0] + box[1]) / 2 + origin, np.abs(rotation) @ (box[1] - box[0]) / 2
    return centre - half, centre + half


def _solid(shape: PreparedShape, i: int, low: NDArray[np.float64], high: NDArray[np.float64]) -> Any:
    """One solid of a shape; of a large one only what lies in and about the box given. Which of the two must not depend on
    what was asked before: they are the same body in other triangles, in which other places may be told for the deepest."""
    first, last = shape.triangle_starts[i : i + 2]
    if last - first <= _SMALL:
        return shape.manifold(i)
    low, high = low - _MARGIN, high + _MARGIN[::-1]
    corners = shape.reaching(low, high, int(first), int(last))
    if len(corners) > (last - first) // 2:
        return shape.manifold(i)
    cut = crop(corners, low, high, shape.inside_core)
    if cut is not None:
        with suppress(BuildFault):
            return solid_from_mesh(*cut)
    return shape.manifold(i)


def exact_overlap(brep_a: Any, brep_b: Any, rotation: Rotation, origin: Origin) -> OverlapFacts | None:
    """The same from the kernel's exact common solid, pieces that are surely contact left out: no body is thicker than its
    box, and slivers of a millionth cannot be meshed. None where no piece is left. Raises BuildFault."""
    return _facts(exact_pieces(brep_a, brep_b, rotation, origin))


def exact_pieces(brep_a: Any, brep_b: Any, rotation: Rotation, origin: Origin) -> list[Piece]:
    """The pieces of that, in the frame of ``brep_a``. Raises BuildFault."""
    from deskmodel.meshes.weld import is_closed, weld
    from deskmodel.solids.brep import faces_of, solids_of
    from deskmodel.solids.measure import bounding_box, common, compound, volume
    from deskmodel.solids.meshing import triangulate

    both = common(brep_a, brep_b, pose_of(rotation, origin))
    if both is None:
        return []
    boxes = ((solid, np.array(bounding_box(solid))) for solid in solids_of(both))
    shared = compound([solid for solid, box in boxes if (box[1] - box[0]).min() >= DECIDED])
    if shared is None:
        return []
    meshes = triangulate(shared, _FINE, 0.3)
    found: list[Piece] = []
    at = 0
    for solid in solids_of(shared):
        part = meshes[at : at + len(faces_of(solid))]
        at += len(part)
        surface = weld([mesh.nodes for mesh in part], [mesh.triangles for mesh in part])
        if not len(surface.triangles):
            continue
        if not is_closed(surface.triangles):
            raise BuildFault("the kernel's common solid cannot be meshed")
        found.append((abs(volume(solid)), surface.vertices, surface.triangles))
    return found


def _facts(pieces: list[Piece]) -> OverlapFacts | None:
    if not pieces:
        return None
    pieces.sort(key=lambda piece: (-round(piece[0], 9), *np.round(piece[1].mean(axis=0), 6)))  # not by what came first
    best, point, rims = -1.0, np.zeros(3), []
    for number, (_, vertices, triangles) in enumerate(pieces):
        if number >= _LARGEST:
            rims.append(np.array([vertices.min(axis=0), vertices.max(axis=0)]))
            continue
        width, inside, rim = thickness(vertices, triangles)
        rims.append(rim)
        if width > best:
            best, point = width, inside
    return OverlapFacts("overlap", sum(piece[0] for piece in pieces), best, vec(point), np.concatenate(rims),
                        len(pieces))

