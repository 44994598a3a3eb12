"""Which pairs have to be judged at all: by the roles of the two bodies and by who owns them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from deskmodel.fit.problem import Body, Role

__all__ = ["Roles"]

_CODES: dict[Role, int] = {"part": 0, "keep-out": 1, "plug": 2}

_JUDGED = np.array([
    # part  keep-out plug
    [True, True, True],  # part: nothing may be in a part
    [True, False, False],  # keep-out: room that must be free of parts only
    [True, False, True],  # plug: of parts and of other plugs
])


class Roles:
    """Of n bodies."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self._role = np.array([_CODES[body.role] for body in bodies], dtype=np.int64)
        owners: dict[str, int] = {}
        self._owner = np.array([-1 - k if body.owner is None else owners.setdefault(body.owner, len(owners))
                                for k, body in enumerate(bodies)], dtype=np.int64)

    def judged(self, i: NDArray[np.int64], j: NDArray[np.int64]) -> NDArray[np.bool_]:
        found: NDArray[np.bool_] = _JUDGED[self._role[i], self._role[j]] & (self._owner[i] != self._owner[j])
        return found

    def pairs(self) -> int:
        """How many pairs of bodies have to be judged."""
        total = _count(np.bincount(self._role, minlength=3))
        groups = Counter(zip(self._owner.tolist(), self._role.tolist(), strict=True))
        of_owner: dict[int, list[int]] = {}
        for (owner, role), count in groups.items():
            if owner >= 0:
                of_owner.setdefault(owner, [0, 0, 0])[role] = count
        return total - sum(_count(np.array(counts)) for counts in of_owner.values())


def _count(counts: NDArray[np.int64]) -> int:
    parts, keep_outs, plugs = (int(count) for count in counts)
    return parts * (parts - 1) // 2 + parts * (keep_outs + plugs) + plugs * (plugs - 1) // 2
