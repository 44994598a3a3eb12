"""Non-negative least squares (Lawson and Hanson, Solving Least Squares Problems, ch. 23) for a handful of rows.

scipy has it too; importing its optimisers takes longer than all the programmes of a desk.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["nnls"]

_NOTHING = 1e-12  # share of the target below which a gain is none


def nnls(matrix: NDArray[np.float64], target: NDArray[np.float64]) -> NDArray[np.float64] | None:
    """x (n,) >= 0 with the least |matrix (m, n) x - target (m,)|; None where that is not found in 10 n + 10 rounds."""
    n = matrix.shape[1]
    x = np.zeros(n)
    used = np.zeros(n, dtype=bool)
    least = _NOTHING * float(np.linalg.norm(target)) * max(1.0, float(np.abs(matrix).max(initial=0.0)))
    for _ in range(10 * n + 10):
        gain = np.where(used, -np.inf, matrix.T @ (target - matrix @ x))
        best = int(np.argmax(gain)) if n else 0
        if not n or gain[best] <= least:
            return x
        used[best] = True
        while True:
            tried = np.zeros(n)
            tried[used] = np.linalg.lstsq(matrix[:, used], target, rcond=None)[0]
            wrong = used & (tried <= 0.0)
            if not wrong.any():
                break
            share = float((x[wrong] / np.maximum(x[wrong] - tried[wrong], 1e-300)).min())
            x += share * (tried - x)
            used &= x > 1e-15
            x[~used] = 0.0
        x = tried
    return None
