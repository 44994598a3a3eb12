"""Non-negative least squares against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import nnls as reference

from deskmodel.meshes.nnls import nnls


@pytest.mark.parametrize("seed", range(40))
def test_as_scipy(seed: int) -> None:
    random = np.random.default_rng(seed)
    rows, columns = random.integers(1, 6), random.integers(1, 60)
    matrix, target = random.normal(size=(rows, columns)), random.normal(size=rows)
    found = nnls(matrix, target)
    _, rest = reference(matrix, target)
    assert found is not None
    assert found.min() >= 0.0
    assert np.linalg.norm(matrix @ found - target) == pytest.approx(rest, abs=1e-9)


def test_a_worked_example() -> None:
    """Least squares alone would be (2, -1); with no negative part it is (1.5, 0)."""
    matrix = np.array([[1.0, 1.0], [1.0, 0.0]])
    found = nnls(matrix, np.array([1.0, 2.0]))
    assert found == pytest.approx([1.5, 0.0])


def test_normals_of_a_cone() -> None:
    """As a drill point's tip asks it, forty walls about one axis: the programme's distance is 1 / sin of half its angle."""
    angle = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    half = np.radians(59.0)
    normals = np.column_stack([np.cos(angle) * np.cos(half), np.sin(angle) * np.cos(half), np.full(40, np.sin(half))])
    system, target = np.vstack([normals.T, -np.ones(40)]), np.array([0.0, 0.0, 0.0, 1.0])
    found = nnls(-system, target)
    assert found is not None
    residual = -system @ found - target
    step = -residual[:3] / residual[3]
    assert normals @ step == pytest.approx(np.full(40, normals[0] @ step))
    assert np.linalg.norm(step) == pytest.approx(1 / np.sin(half))
