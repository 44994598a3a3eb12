"""Hinges by designation. Lengths in mm."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from deskmodel._numbers import told
from deskmodel.errors import InputFault

__all__ = ["HingeSize", "hinge_size"]


@dataclass(frozen=True, slots=True)
class HingeSize:
    """A butt hinge ``length`` long along its pin; each leaf reaches ``width`` from the pin's axis, ``leaf`` thick, rolled
    round the ``pin``; ``screws`` to a leaf."""

    designation: str
    length: float
    width: float
    leaf: float
    pin: float
    screws: int
    source: str

    @property
    def knuckle(self) -> float:
        """Outside diameter of the knuckle."""
        return self.pin + 2 * self.leaf


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((files("deskmodel") / "catalogue" / "hinges.toml").read_text(encoding="utf-8"))


def hinge_size(designation: str) -> HingeSize:
    """The hinge "50x40" (length x width over both leaves lying open)."""
    entry = _table()["sizes"].get(designation) if isinstance(designation, str) else None
    if not entry:
        raise InputFault(f"hinge {told(designation)}", allowed=", ".join(_table()["sizes"]))
    length, _, over_all = designation.partition("x")
    return HingeSize(designation, float(length), float(over_all) / 2, entry["leaf"], entry["pin"], entry["screws"],
                     _table()["source"])
