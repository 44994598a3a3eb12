"""Ways that have been travelled: after an edit most covers pass the same parts as before, and are not moved again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable

from deskmodel.frames import Vec

__all__ = ["known"]

First = tuple[float, Vec] | None
_KEPT = 20_000
_FIRST: OrderedDict[Hashable, First] = OrderedDict()


def known(key: Hashable, travel: Callable[[], First]) -> First:
    """The first contact of this way: from memory, or travelled now. ``key``: both shapes, both poses and the motion. What
    ``travel`` raises is raised and not kept."""
    if key not in _FIRST:
        _FIRST[key] = travel()
        if len(_FIRST) > _KEPT:
            _FIRST.popitem(last=False)
    return _FIRST[key]
