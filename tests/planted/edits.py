"""Single edits made from the text of the worked desk: every number a little more and less, every piece left out."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from tests.planted.harness import PARTS

__all__ = ["REFUSED", "Edit", "number_edits", "omissions"]

STEP = 0.5  # mm

REFUSED = {
    # elastic glue 0 thick: the joint wants 0.3 to 3
    "desk.py:38:7 0.5 -0.5",
    # a component's second body would hover 0.5 before the first: it would no longer be one piece
    "loudspeaker.toml:6:16 34 -0.5", "loudspeaker.toml:7:12 0 -0.5", "loudspeaker.toml:11:14 34 +0.5",
    "marine-radio.toml:8:12 140 -0.5", "marine-radio.toml:9:9 0 -0.5", "marine-radio.toml:13:10 140 +0.5",
    "network-switch.toml:7:12 100 -0.5", "network-switch.toml:8:9 0 -0.5", "network-switch.toml:12:10 100 +0.5",
    # a port would be left without the body that it is in
    "loudspeaker.toml without [[body]]       # cabinet at 54", "marine-radio.toml without [[body]] at 176",
    "network-switch.toml without [[body]] at 65", "network-switch.toml without [[body]]       # row of sockets at 111",
}
"""Edits that make the input wrong, by name, each for the reason above it."""
_COUNTS = {"count", "columns", "rows"}  # whole numbers: half of one more is refused
_NO_LENGTH = {"mass", "heat"}


@dataclass(frozen=True)
class Edit:
    """``file`` (from the shelf's folder) gets ``text``. ``refused``: the edit makes the input wrong."""

    name: str
    file: str
    text: str
    refused: bool = False


def number_edits() -> Iterator[Edit]:
    """Every number of the script and of the data sheets, 0.5 more and 0.5 less."""
    yield from _script_numbers()
    for sheet in sorted((PARTS / "equipment").glob("*.toml")):
        yield from _sheet_numbers(sheet)


def _script_numbers() -> Iterator[Edit]:
    path = PARTS / "desk.py"
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)
    tree = ast.parse(text)
    counts = {(k.value.lineno, k.value.col_offset) for call in ast.walk(tree) if isinstance(call, ast.Call)
              for k in call.keywords if k.arg in _COUNTS}
    factors = {(node.lineno, node.col_offset) for op in ast.walk(tree)
               if isinstance(op, ast.BinOp) and isinstance(op.op, ast.Mult | ast.Div) for node in (op.left, op.right)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or isinstance(node.value, bool) or not isinstance(node.value, int | float):
            continue
        place = (node.lineno, node.col_offset)
        if place in factors:
            continue  # "2 * THICK" is two thicknesses, not a length
        for step in (STEP, -STEP):
            line = lines[node.lineno - 1]
            assert node.end_col_offset is not None
            changed = f"{line[:node.col_offset]}{node.value + step!r}{line[node.end_col_offset:]}"
            edited = "".join([*lines[:node.lineno - 1], changed, *lines[node.lineno:]])
            name = f"desk.py:{node.lineno}:{node.col_offset} {node.value} {step:+}"
            yield Edit(name, "desk.py", edited, place in counts or name in REFUSED)


def _sheet_numbers(path: Path) -> Iterator[Edit]:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    for i, line in enumerate(lines):
        key, equals, value = line.partition("=")
        value = value.split("#")[0]
        if not equals or key.strip() in _NO_LENGTH or value.strip().startswith('"'):
            continue
        for found in re.finditer(r"-?\d+(\.\d+)?", value):
            for step in (STEP, -STEP):
                number = float(found[0]) + step
                start = len(key) + 1 + found.start()
                changed = line[:start] + repr(number) + line[start + len(found[0]):]
                # a size of 0 says in which direction a vent looks; any other number there is refused
                refused = key.strip() == "size" and float(found[0]) == 0.0
                name = f"{path.name}:{i + 1}:{start} {found[0]} {step:+}"
                yield Edit(name, f"equipment/{path.name}", "".join([*lines[:i], changed, *lines[i + 1:]]),
                           refused or name in REFUSED)


def omissions() -> Iterator[Edit]:
    """Every bore, cut-out, vent field, cable, gap and joint of the script left out, and every table of the sheets."""
    text = (PARTS / "desk.py").read_text(encoding="utf-8")
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call) and isinstance(node.value.func, ast.Attribute):
            yield Edit(f"without {ast.unparse(node.value)[:60]}", "desk.py", _replaced(text, node, "pass"))
            for call in node.value.args if node.value.func.attr == "join" and len(node.value.args) > 1 else ():
                others = [ast.unparse(other) for other in node.value.args if other is not call]
                yield Edit(f"without {ast.unparse(call)[:60]}", "desk.py",
                           _replaced(text, node, f"d.join({', '.join(others)})"))
        if isinstance(node, ast.keyword) and node.arg == "features" and isinstance(node.value, ast.Tuple):
            for feature in node.value.elts:
                kept = "".join(f"{ast.unparse(other)}, " for other in node.value.elts if other is not feature)
                yield Edit(f"without {ast.unparse(feature)[:60]}", "desk.py", _replaced(text, node.value, f"({kept})"))
    for sheet in sorted((PARTS / "equipment").glob("*.toml")):
        yield from _sheet_omissions(sheet)


def _replaced(text: str, node: ast.expr | ast.stmt, by: str) -> str:
    lines = text.splitlines(keepends=True)
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    before = "".join(lines[:node.lineno - 1]) + lines[node.lineno - 1][:node.col_offset]
    after = lines[node.end_lineno - 1][node.end_col_offset:] + "".join(lines[node.end_lineno:])
    return before + by + after


def _sheet_omissions(path: Path) -> Iterator[Edit]:
    text = path.read_text(encoding="utf-8")
    starts = [found.start() for found in re.finditer(r"^\[\[", text, re.M)] + [len(text)]
    for start, end in pairwise(starts):
        left = text[:start] + text[end:]
        name = f"{path.name} without {text[start:end].split(chr(10))[0]} at {start}"
        yield Edit(name, f"equipment/{path.name}", left, refused="[[body]]" not in left or name in REFUSED)
