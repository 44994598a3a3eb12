"""Numbers and texts that a script or a data sheet gives: checked once, told well."""

from __future__ import annotations

import math
import numbers
from collections.abc import Mapping
from typing import Any

from deskmodel.errors import InputFault

__all__ = ["LARGEST", "check_text", "is_number", "number", "settled", "told", "vector"]

LARGEST = 10_000.0
"""mm. No desk is 10 m long; a larger number is a slip of the decimal point, and would be measured for minutes."""


def is_number(value: Any) -> bool:
    """Whether it is a finite real number (True and False are none); numpy's scalars are."""
    if type(value) is float:  # nearly always
        return math.isfinite(value)
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        return False
    if isinstance(value, numbers.Rational) and not isinstance(value, numbers.Integral):
        return False  # a Fraction cannot be formatted as a number before Python 3.12
    try:
        return math.isfinite(value)
    except OverflowError:  # a whole number too large for a float
        return False


def number(what: str, value: Any, low: float, high: float, unit: str = "") -> float:
    """The value as a float. InputFault unless it is a number from ``low`` to ``high``."""
    if not is_number(value) or not low <= value <= high:
        raise InputFault(f"{what} {told(value)}", allowed=f"a number, {low:g} to {high:g}{unit and ' ' + unit}")
    return float(value)


def vector(what: str, value: Any, n: int = 3) -> tuple[float, ...]:
    """``n`` coordinates in mm as a tuple of floats. InputFault unless each is a number within ±10 m."""
    names = {2: "(u, v)", 3: "(x, y, z)"}.get(n, f"{n} numbers")
    allowed = f"{names} in mm, each within ±{LARGEST:g}"
    # in order and of a length: an array or a list will do, a set or a text not
    ordered = hasattr(value, "__getitem__") and not isinstance(value, str | bytes | Mapping | type)
    try:
        parts = tuple(value) if ordered else ()
    except TypeError:
        parts = ()
    if len(parts) != n or not all(is_number(v) and abs(v) <= LARGEST for v in parts):
        raise InputFault(f"{what} {told(value)}", allowed=allowed)
    return tuple(float(v) for v in parts)


def check_text(what: str, value: Any) -> None:
    """InputFault unless it is a text with something to read in it."""
    if not isinstance(value, str) or not value.strip() or len(value) > 300:
        raise InputFault(f"{what} {told(value)}", allowed="a text of 1 to 300 characters")


def settled(value: Any) -> Any:
    """The value without anything that a later line of the script could change: lists and arrays become tuples."""
    if isinstance(value, list | tuple):
        parts = tuple(settled(v) for v in value)
        same = isinstance(value, tuple) and all(a is b for a, b in zip(parts, value, strict=True))
        return value if same else parts
    if hasattr(value, "tolist") and not isinstance(value, type):
        return settled(value.tolist())
    return value


def told(value: Any) -> str:
    """The value for a message: its repr, at most 80 characters, whatever it is."""
    try:
        text = repr(value)
    except Exception:  # a number of a million digits, or an object whose repr fails
        text = f"a {type(value).__name__} that cannot be shown"
    return text if len(text) <= 80 else text[:79] + "…"
