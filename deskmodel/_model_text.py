"""The layout of model.json: one line for each part, joint and so on, so that two of them can be compared line by line."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

__all__ = ["dump", "laid_out", "lines_of"]

Body = Mapping[str, str | list[str]]
"""The text of each value by its key; of a list that holds anything, of each of its items."""


def dump(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False, separators=(", ", ": "))


def laid_out(body: Body) -> str:
    lines = []
    for key in sorted(body):
        value = body[key]
        if isinstance(value, list):
            items = ",\n".join("  " + item for item in value)
            lines.append(f" {dump(key)}: [\n{items}\n ]")
        else:
            lines.append(f" {dump(key)}: {value}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


def lines_of(text: str, key_of: Callable[[str], Any] = json.loads) -> Body | None:
    """The body that ``laid_out`` makes this very text of; None of any other text. Its items may still be no JSON."""
    body: dict[str, str | list[str]] = {}
    items: list[str] | None = None
    for line in text.split("\n")[1:-2]:
        if items is not None and line.startswith("  "):
            items.append(line[2:].removesuffix(","))
        elif items is not None and line.startswith(" ]"):
            items = None
        else:
            name, colon, value = line.partition(": ")
            try:
                key = key_of(name[1:]) if colon else None
            except ValueError:
                return None
            if not isinstance(key, str):
                return None
            items = [] if value == "[" else None
            body[key] = value.removesuffix(",") if items is None else items
    return body if laid_out(body) == text else None
