"""Bays: the rooms between members and plates that equipment lives in, as the script states them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from deskmodel._numbers import LARGEST, check_text, is_number, settled, told
from deskmodel.errors import InputFault
from deskmodel.features._base import check_length, check_pair
from deskmodel.tolerances import LENGTH

__all__ = ["Bay"]

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bay:
    """The room ``x`` = (from, to) by ``y`` = (from, to), desk frame, mm. Its floor and its ceiling are found from what
    stands below and above it (``deskmodel.plans.bays``)."""

    name: str
    x: Range
    y: Range

    def __post_init__(self) -> None:
        check_text("name of a bay", self.name)
        for axis in ("x", "y"):
            object.__setattr__(self, axis, _range(f"{axis} of bay {self.name!r}", getattr(self, axis)))

    def overlaps(self, other: Bay) -> bool:
        """Whether the two share room; a common side is none."""
        return all(min(a[1], b[1]) - max(a[0], b[0]) > LENGTH for a, b in ((self.x, other.x), (self.y, other.y)))


def _range(what: str, value: Any) -> Range:
    check_pair(what, settled(value), "(from, to) in mm")
    low, high = settled(value)
    if not all(is_number(v) and abs(v) <= LARGEST for v in (low, high)) or low >= high:
        raise InputFault(f"{what} {told(value)}", allowed=f"(from, to) in mm, from below to, within ±{LARGEST:g}")
    check_length(what, high - low)
    return float(low), float(high)
