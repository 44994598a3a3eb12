"""The TOML tables beside this file, each read once."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["table"]


@cache
def table(name: str) -> dict[str, Any]:
    return tomllib.loads((files("deskmodel") / "catalogue" / f"{name}.toml").read_text(encoding="utf-8"))
