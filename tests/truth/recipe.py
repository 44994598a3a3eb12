"""Shapes as values: a kind of part and its numbers. Wrapped as the engine's ``BodyShape``.

Two recipes with the same numbers have the same key; each ``build`` makes a fresh shape, so that triangles the engine
puts on its own copy never reach the oracle's.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

__all__ = ["Recipe", "oracle_shape"]


@dataclass(frozen=True, slots=True)
class Recipe:
    kind: str  # a function of tests.truth.kinds
    numbers: tuple[Any, ...]  # its arguments: floats and nested tuples of floats

    @property
    def key(self) -> str:
        return hashlib.sha256(f"{self.kind}{self.numbers!r}".encode()).hexdigest()

    def build(self) -> TopoDS_Shape:
        from tests.truth import kinds  # the kernel is loaded by the first shape that is really built

        return getattr(kinds, self.kind)(*self.numbers)

    def __str__(self) -> str:
        text = ", ".join(map(repr, self.numbers))
        return f"Recipe({self.kind!r}, ({text},))"


@lru_cache(maxsize=512)
def oracle_shape(recipe: Recipe) -> TopoDS_Shape:
    """The oracle's own copy, never shown to the engine."""
    return recipe.build()
