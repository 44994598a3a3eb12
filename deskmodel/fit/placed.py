"""Bodies as arrays: their shapes, where they stand, their boxes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.frames import Pose, Vec

__all__ = ["Placed", "matrix_of", "place", "pose_of", "vec"]


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """n bodies. Boxes are (n, 3) centres and halves: ``centre``, ``half`` in the body's own frame (of the box given
    for its shape), ``low``, ``high`` in the desk's. Rotations (n, 3, 3), origins (n, 3); mm."""

    rotation: NDArray[np.float64]
    origin: NDArray[np.float64]
    centre: NDArray[np.float64]
    half: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]


def place(poses: Sequence[Pose], boxes: NDArray[np.float64]) -> Placed:
    """``boxes``: (n, 2, 3), lowest and highest corner in each body's own frame."""
    n = len(poses)
    rotation = np.array([pose.rotation for pose in poses], dtype=np.float64).reshape(n, 3, 3)
    origin = np.array([pose.origin for pose in poses], dtype=np.float64).reshape(n, 3)
    centre, half = boxes.mean(axis=1), (boxes[:, 1] - boxes[:, 0]) / 2
    middle = np.einsum("nij,nj->ni", rotation, centre) + origin
    extent = np.einsum("nij,nj->ni", np.abs(rotation), half)
    return Placed(rotation, origin, centre, half, middle - extent, middle + extent)


def matrix_of(pose: Pose) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return np.array(pose.rotation), np.array(pose.origin)


def pose_of(rotation: NDArray[Any], origin: NDArray[Any]) -> Pose:
    return Pose((vec(rotation[0]), vec(rotation[1]), vec(rotation[2])), vec(origin))


def vec(row: NDArray[Any]) -> Vec:
    return (float(row[0]), float(row[1]), float(row[2]))
