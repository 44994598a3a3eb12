"""What an edited desk must be told, may be told, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field

__all__ = ["CLEAR", "OVERLAPS", "Expected", "Told"]

CLEAR = 0.01  # mm: the band in which either answer is right
OVERLAPS = ("parts-overlap", "part-swallowed", "duplicate-part")  # one fault, told by what it is: told apart by tests/truth
Told = tuple[str, frozenset[str]]
"""Check id and set of parts."""


@dataclass
class Expected:
    """``must`` have a finding, ``may`` have one. ``about``: any finding of that check that names all these is supported,
    whatever else it names. Anything else is a false finding."""

    must: set[Told] = field(default_factory=set)
    may: set[Told] = field(default_factory=set)
    about: set[Told] = field(default_factory=set)

    def add(self, check: str, parts: frozenset[str], least: float, most: float | None = None) -> None:
        """``least`` to ``most`` mm over the threshold: must from 0.01 on, may in between."""
        if least >= CLEAR:
            self.must.add((check, parts))
        elif max(least, most or 0.0) > 1e-6:
            self.may.add((check, parts))

    def missed(self, told: set[Told]) -> list[Told]:
        """A part without a wall is told alone or with what is left of the wall: by name of the bay it counts."""
        return [(check, parts) for check, parts in self.must
                if not any(c == check and self._same(check, parts, p) for c, p in told)]

    def false(self, told: set[Told]) -> list[Told]:
        fair = self.must | self.may
        return [(check, parts) for check, parts in told
                if not any(c == check and self._same(check, p, parts) for c, p in fair)
                and not any(c == check and p <= parts for c, p in self.about)]

    @staticmethod
    def _same(check: str, expected: frozenset[str], told: frozenset[str]) -> bool:
        return expected == told or (check == "bay-walls-apart" and bool(expected & told))
