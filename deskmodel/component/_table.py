"""A TOML table that is read key by key, so that each fault names its line and nothing is left unread."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault

__all__ = ["PLACEHOLDER", "Table"]

_REACH = 10_000.0  # mm; coordinates beyond this are a slip

PLACEHOLDER = "?"
"""What a scaffold writes where a reading belongs. No value may be it, so that none is forgotten."""


class Table:
    """``path`` is where the table stands in the file: names and, for arrays of tables, numbers from 0."""

    def __init__(self, data: dict[str, Any], file: str, text: str, path: tuple[str | int, ...] = ()) -> None:
        self._data = data
        self._file = file
        self._text = text
        self._path = path
        self._read: set[str] = set()

    def has(self, key: str) -> bool:
        return key in self._data

    def optional(self, key: str) -> bool:
        """Whether it is there; if not, a misspelt one is told it."""
        self._read.add(key)
        return key in self._data

    def fault(self, key: str, value: str, allowed: str) -> InputFault:
        """The fault at one key of this table, with its line."""
        from deskmodel.component._lines import line_of  # the parser with positions is only needed to complain

        path = (*self._path, key)
        shown = ".".join(f"{p + 1}" if isinstance(p, int) else p for p in path)
        return InputFault(value, allowed=allowed, file=self._file, line=line_of(self._text, path), key=shown)

    def text(self, key: str) -> str:
        value = self._value(key, "a text")
        if not isinstance(value, str) or not value.strip() or len(value) > 300:
            raise self.fault(key, told(value), "a text of 1 to 300 characters")
        return value

    def choice(self, key: str, allowed: tuple[str, ...], default: str | None = None) -> str:
        value = self._value(key, ", ".join(allowed), default)
        if value not in allowed or not isinstance(value, str):
            raise self.fault(key, told(value), ", ".join(allowed))
        return value

    def number(self, key: str, *, low: float, high: float, default: float | None = None, unit: str = "mm") -> float:
        allowed = f"a number of {unit}, {low:g} to {high:g}"
        value = self._value(key, allowed, default)
        if not is_number(value) or not low <= value <= high:
            raise self.fault(key, told(value), allowed)
        return float(value)

    def vector(self, key: str, n: int, *, low: float = -_REACH, high: float = _REACH) -> tuple[float, ...]:
        """n numbers, each from ``low`` to ``high``."""
        allowed = f"{n} numbers in mm, each {low:g} to {high:g}"
        value = self._value(key, allowed)
        if not (isinstance(value, list) and len(value) == n and all(is_number(v) and low <= v <= high for v in value)):
            raise self.fault(key, told(value), allowed)
        return tuple(float(v) for v in value)

    def whole(self, key: str, *, low: int, high: int) -> int:
        """A whole number."""
        allowed = f"a whole number, {low:g} to {high:g}"
        value = self._value(key, allowed)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise self.fault(key, told(value), allowed)
        return value

    def numbers(self, key: str, *, low: float, high: float) -> list[float]:
        """One number of mm, or a list of one or more, each from ``low`` to ``high``."""
        allowed = f"a number of mm, {low:g} to {high:g}, or a list of them"
        value = self._value(key, allowed)
        several = value if isinstance(value, list) else [value]
        if not 1 <= len(several) <= 500 or not all(is_number(v) and low <= v <= high for v in several):
            raise self.fault(key, told(value), allowed)
        return [float(v) for v in several]

    def flag(self, key: str) -> bool:
        """true or false; false where it is not said."""
        value = self._value(key, "true, false", False)
        if not isinstance(value, bool):
            raise self.fault(key, told(value), "true, false")
        return value

    def words(self, key: str, allowed: tuple[str, ...]) -> tuple[str, ...]:
        """A list of some of the words ``allowed``, or of none."""
        value = self._value(key, f"a list of: {', '.join(allowed)}")
        if not isinstance(value, list) or not all(isinstance(each, str) and each in allowed for each in value):
            raise self.fault(key, told(value), f"a list of: {', '.join(allowed)}")
        return tuple(value)

    def one_or_more(self, key: str) -> list[Table]:
        """[key] for one, [[key]] for several; none where it is not said."""
        value = self._data.get(key)
        if not isinstance(value, dict):
            return self.tables(key)
        self._read.add(key)
        return [Table(value, self._file, self._text, (*self._path, key))]

    def tables(self, key: str, at_least: int = 0) -> list[Table]:
        value = self._value(key, f"[[{key}]] tables", [])
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            raise self.fault(key, told(value), f"tables written [[{key}]]")
        if len(value) < at_least:
            raise self.fault(key, "missing", f"[[{key}]], {at_least} or more")
        return [Table(v, self._file, self._text, (*self._path, key, i)) for i, v in enumerate(value)]

    def finish(self) -> None:
        """InputFault for the first key that nothing has read: a misspelt key is never ignored."""
        for key in self._data:
            if key not in self._read:
                raise self.fault(key, _unknown(get_close_matches(key, self._read, 1)), ", ".join(sorted(self._read)))

    def _value(self, key: str, allowed: str, default: Any = None) -> Any:
        self._read.add(key)
        if key not in self._data and default is None:
            for near in get_close_matches(key, [k for k in self._data if k not in self._read], 1):
                raise self.fault(near, _unknown([key]), f"{key}, which is missing")
            raise self.fault(key, "missing", allowed)
        value = self._data.get(key, default)
        if value == PLACEHOLDER or (isinstance(value, list) and PLACEHOLDER in value):
            raise self.fault(key, f"not filled in yet: {told(PLACEHOLDER)} stands where a reading belongs", allowed)
        return value


def _unknown(near: list[str]) -> str:
    return f"unknown key; did you mean {near[0]!r}?" if near else "unknown key"
