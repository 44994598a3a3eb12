"""Which tool turns a screw."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from deskmodel.catalogue._goods import ScrewSize
from deskmodel.errors import InputFault

__all__ = ["hexagon_key", "tool_for"]


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads((files("deskmodel") / "catalogue" / "keys.toml").read_text(encoding="utf-8"))


def hexagon_key(screw: ScrewSize) -> float | None:
    """Width across flats of its hexagon key, mm; None for a screw without a hexagon socket."""
    standard = screw.designation.rpartition(" ")[0]
    across: float | None = _table()["hexagon"].get(standard, {}).get(screw.thread)
    return across


def tool_for(screw: ScrewSize) -> str:
    """The tool in words: "hexagon key 2.5". InputFault for a screw of which none is known."""
    across = hexagon_key(screw)
    if across is not None:
        return f"hexagon key {across:g}"
    cross = _table()["cross"].get(screw.designation.rpartition(" ")[0], {}).get(screw.thread)
    if cross is None:
        raise InputFault(f"the tool for {screw.designation}", allowed="a screw whose socket keys.toml knows")
    return f"cross-head driver size {cross}"
