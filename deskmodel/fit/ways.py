"""What was met on a way is kept on disk, pair by pair: equal shapes, equal relative poses, the same way.

The question of a pair is put in the frame of the moving body and rounded before it is answered, so that an answer depends
on nothing but its key: a pair that has only been moved as a whole finds what was measured before.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from deskmodel.cache import DiskCache
from deskmodel.fit.placed import matrix_of
from deskmodel.fit.problem import Body
from deskmodel.fit.spin import Axes, Relative, relative

__all__ = ["Contact", "KnownWays", "seen_from"]

Contact = tuple[float, NDArray[np.float64]]
"""How far the body came (mm or radians) and the point where it met the other (3,), in the frame of the moving body."""


def seen_from(body: Body, others: Sequence[Body]) -> Relative:
    """The places of ``others`` in the frame of ``body``, rounded as in keys."""
    n = len(others)
    rotation, origin = matrix_of(body.pose)
    places = [matrix_of(other.pose) for other in others]
    none = Axes(np.zeros(n, bool), np.zeros((n, 3)), np.zeros((n, 3)))
    return relative(np.broadcast_to(rotation, (n, 3, 3)), np.broadcast_to(origin, (n, 3)),
                    np.array([turn for turn, _ in places]).reshape(n, 3, 3),
                    np.array([at for _, at in places]).reshape(n, 3), none, none)


class KnownWays:
    """``way``: all numbers that describe the way in the frame of the moving body."""

    def __init__(self, cache: DiskCache, kind: str, mover: str, way: Sequence[float]) -> None:
        self._cache = cache
        self._head = f"{kind}\0{mover}\0{list(map(float, way))!r}\0".encode()

    def first_contact(self, obstacle: str, place: NDArray[np.int64],
                      measure: Callable[[], Contact | None]) -> Contact | None:
        """``place``: the obstacle's row of ``Relative.keys``. What ``measure`` raises is kept of nobody."""
        text = self._head + f"{obstacle}\0".encode() + np.ascontiguousarray(place).tobytes()
        key = f"way:{hashlib.blake2b(text, digest_size=20).hexdigest()}"
        known = self._cache.get(key)
        if known is not None:
            try:
                return _decoded(known)
            except ValueError:
                self._cache.remove(key)
        found = measure()
        said = None if found is None else [found[0], *found[1].tolist()]
        self._cache.put(key, json.dumps(said).encode())
        return found


def _decoded(data: bytes) -> Contact | None:
    """Raises ValueError for anything that is no contact and no "none"."""
    said = json.loads(data)
    if said is None:
        return None
    numbers = isinstance(said, list) and all(isinstance(x, float | int) and math.isfinite(x) for x in said)
    if not numbers or len(said) != 4:
        raise ValueError("no contact")
    return float(said[0]), np.array(said[1:], dtype=np.float64)
