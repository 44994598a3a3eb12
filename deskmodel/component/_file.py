"""A TOML file as a table that is read key by key: data sheets, workshop profiles."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from deskmodel.component._table import Table
from deskmodel.errors import InputFault

__all__ = ["LONGEST", "read_table"]

LONGEST = 200_000
"""bytes. Such a file has a hundred lines; a longer one is something else by mistake."""

_HEAD = re.compile(r"\s*\[\[?\s*(?P<name>[\w-]+)\s*\]")


def read_table(path: Path, what: str) -> Table:
    """The file's table. InputFault, with the line where there is one, where it cannot be read as TOML; ``what`` it is
    ("data sheet") is said then."""
    try:
        if path.stat().st_size > LONGEST:
            raise InputFault(f"a {what} of {path.stat().st_size} bytes", allowed=f"{LONGEST} at most", file=str(path))
        text = path.read_text(encoding="utf-8-sig")  # editors on Windows put a mark in front
    except UnicodeDecodeError as fault:
        raise InputFault(f"not UTF-8 at byte {fault.start}", allowed="a TOML file in UTF-8", file=str(path)) from None
    except InputFault:
        raise
    except (OSError, ValueError) as fault:  # ValueError: a null byte in the name
        raise InputFault(f"{what} cannot be read: {getattr(fault, 'strerror', None) or fault}",
                         allowed="a readable file", file=str(path)) from None
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as fault:  # ValueError: also a whole number of thousands of digits
        line = getattr(fault, "lineno", None) or _line_in(str(fault), text)
        single = _single_brackets(line, text)
        if single:
            raise InputFault(f"[{single[0]}] among several", allowed=f"write [[{single[0]}]], for each of them",
                             file=str(path), line=single[1]) from None
        raise InputFault(f"not a TOML file: {fault}", allowed="TOML 1.0", file=str(path), line=line) from None
    return Table(data, str(path), text)


def _line_in(message: str, text: str) -> int | None:
    """The line that Python's TOML reader names in its message (an attribute only since 3.14)."""
    if message.endswith("(at end of document)"):
        return max(1, len(text.splitlines()))
    found = re.search(r"\(at line (\d+), column \d+\)$", message)
    return int(found[1]) if found else None


def _single_brackets(line: int | None, text: str) -> tuple[str, int] | None:
    """(name, line) of a [port] among [[port]], where the fault at ``line`` comes from that."""
    lines = text.split("\n")[:line] if line else []
    at_fault = _HEAD.match(lines[-1]) if lines else None
    heads = [(number, each.lstrip()) for number, each in enumerate(lines, 1)
             if at_fault and (head := _HEAD.match(each)) and head["name"] == at_fault["name"]]
    single = [number for number, head in heads if not head.startswith("[[")]
    if at_fault and single and len(single) < len(heads):
        return at_fault["name"], single[0]
    return None
