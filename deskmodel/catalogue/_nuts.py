"""Hexagon nuts by their thread. Lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from deskmodel._numbers import told
from deskmodel.catalogue._tables import table
from deskmodel.errors import InputFault

__all__ = ["NutSize", "nut_size"]


@dataclass(frozen=True, slots=True)
class NutSize:
    """``flats`` across the flats, ``corners`` the least across the corners, ``height`` the greatest along the thread."""

    thread: str
    flats: float
    corners: float
    height: float
    source: str

    @property
    def widest(self) -> float:
        """Across the corners of a hexagon that has them sharp: no nut is wider."""
        return self.flats / math.cos(math.radians(30.0))


def nut_size(thread: str) -> NutSize:
    """The nut of ISO 4032 for "M4"."""
    goods = table("nuts")
    entry = goods["sizes"].get(thread) if isinstance(thread, str) else None
    if entry is None:
        raise InputFault(f"nut {told(thread)}", allowed=", ".join(goods["sizes"]))
    return NutSize(thread, entry["flats"], entry["corners"], entry["height"], goods["source"])
