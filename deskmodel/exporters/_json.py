"""JSON as bytes that are the same on every run."""

from __future__ import annotations

import json

from deskmodel.errors import BuildFault

__all__ = ["json_bytes"]


def json_bytes(value: object) -> bytes:
    """Keys in the order given, one space a level, UTF-8, one newline at the end; no NaN; a lone surrogate is escaped."""
    try:
        text = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=1)
    except ValueError as error:
        raise BuildFault(f"cannot be written as JSON: {error}") from error
    return (text + "\n").encode("utf-8", "backslashreplace")
