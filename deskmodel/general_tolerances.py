"""General tolerances of published standards: what a size without one of its own may be off. ± in mm.

1. ISO 2768-1:1989, tables 1 (linear sizes) and 2 (radii, chamfers).
2. ISO 9013:2017, limit deviations of thermal cutting.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_left, bisect_right
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault

__all__ = ["GeneralClass", "iso_2768_linear", "iso_2768_radius", "iso_9013"]

GeneralClass = Literal["f", "m", "c", "v"]


@cache
def _tables() -> dict[str, Any]:
    return tomllib.loads((files("deskmodel") / "catalogue" / "tolerances.toml").read_text(encoding="utf-8"))


def iso_2768_linear(nominal: float, general: GeneralClass = "m") -> float | None:
    """Of a linear size in mm; None where the standard gives none. InputFault for a class that it has not."""
    return _by_2768("iso_2768_1", nominal, general)


def iso_2768_radius(nominal: float, general: GeneralClass = "m") -> float | None:
    """Of an outer radius or the height of a chamfer in mm; None below 0.5. InputFault for a class that it has not."""
    return _by_2768("iso_2768_1_radii", nominal, general)


def iso_9013(nominal: float, thickness: float, tolerance: int = 1) -> float | None:
    """Of a size of a contour cut by laser, by the ``thickness`` of the sheet and the class of ``tolerance``; None where the
    tables here give none. InputFault for a class other than 1 and 2."""
    _check(nominal)
    _check(thickness)
    if not is_number(tolerance) or tolerance not in (1, 2):
        raise InputFault(f"class {told(tolerance)} of ISO 9013", allowed="1, 2")
    table = _tables()["iso_9013"]
    for row in table["thickness"]:
        if thickness <= row["upto"]:
            values, i = row.get(str(tolerance)), bisect_right(table["below"], nominal)  # from the lower bound on
            return (values[i] or None) if values is not None and i < len(values) else None
    return None


def _by_2768(name: str, nominal: float, general: str) -> float | None:
    _check(nominal)
    table = _tables()[name]
    if not isinstance(general, str) or general not in ("f", "m", "c", "v"):
        raise InputFault(f"class {told(general)} of ISO 2768-1", allowed="f, m, c, v")
    if nominal < table["from"]:
        return None
    i = bisect_left(table["upto"], nominal)  # up to and including the upper bound
    return (table[general][i] or None) if i < len(table[general]) else None


def _check(size: Any) -> None:
    if not is_number(size) or size <= 0:
        raise InputFault(f"a size of {told(size)}", allowed="a length above 0 mm")
