"""Single edits made from the text of a desk's folder: every length a little more and less, every piece left out."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from deskmodel.desk import Desk

__all__ = ["STEPS", "Edit", "dropped", "edits_of", "number_edits", "omissions", "skipped"]

STEPS = (0.5, -0.5, 3.0, -3.0)  # mm

_NO_LENGTH = {"mass": "kg", "heat": "W", "turn": "degrees"}  # keys of the sheets and arguments
_NUMBERING = {"enumerate", "range", "int", "zip"}


@dataclass(frozen=True)
class Edit:
    """``file`` (from the desk's folder) gets ``text``; or the finished desk loses ``drop``, (what, which of them, and of a
    feature the part). ``kind``: "number" or "omission"; ``about``: the text of the line."""

    name: str
    file: str
    text: str
    kind: str
    about: str
    drop: tuple[str, int, str] | None = None


def edits_of(root: Path, steps: Sequence[float] = STEPS) -> list[Edit]:
    """All of them, each name once."""
    made = [*number_edits(root, steps), *omissions(root)]
    seen: Counter[str] = Counter()
    unique = []
    for edit in made:
        seen[edit.name] += 1
        name = edit.name if seen[edit.name] == 1 else f"{edit.name} ({seen[edit.name]})"
        unique.append(replace(edit, name=name))
    return unique


def number_edits(root: Path, steps: Sequence[float] = STEPS) -> Iterator[Edit]:
    """Every length of the scripts and of the data sheets by each of ``steps``."""
    for script in sorted(root.glob("*.py")):
        for node, reason in _constants(script.read_text(encoding="utf-8")):
            if reason is None:
                yield from _script_edits(script, node, steps)
    for sheet in sorted((root / "equipment").glob("*.toml")):
        yield from _sheet_numbers(sheet, steps)


def skipped(root: Path) -> Counter[str]:
    """How many numbers of the scripts are no lengths, by the rule that says so."""
    return Counter(reason for script in root.glob("*.py") for _, reason in _constants(script.read_text(encoding="utf-8"))
                   if reason)


def _constants(text: str) -> Iterator[tuple[ast.Constant, str | None]]:
    """The numbers of a script, and why it is no length, None where it is one."""
    reasons: dict[ast.AST, str] = {}
    tree = ast.parse(text)
    for node in ast.walk(tree):
        inner: list[tuple[ast.AST, str]] = []
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult | ast.Div | ast.FloorDiv | ast.Mod):
            inner = [(node.left, "factor"), (node.right, "factor")]  # "2 * THICK" is two thicknesses
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
            inner = [(node.left, "power"), (node.right, "power")]
        elif isinstance(node, ast.Subscript):
            inner = [(node.slice, "index")]
        elif isinstance(node, ast.JoinedStr):
            inner = [(node, "part of a name")]
        elif isinstance(node, ast.keyword) and node.arg in _NO_LENGTH:
            inner = [(node.value, _NO_LENGTH[node.arg])]
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _NUMBERING:
            # the start of a numbering; what is numbered may be lengths
            inner = [(arg, "numbering") for arg in node.args if isinstance(arg, ast.Constant | ast.BinOp)]
        for top, reason in inner:
            for each in ast.walk(top):
                reasons.setdefault(each, reason)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
            yield node, reasons.get(node)


def _script_edits(script: Path, node: ast.Constant, steps: Sequence[float]) -> Iterator[Edit]:
    text = script.read_text(encoding="utf-8")
    about = text.splitlines()[node.lineno - 1].strip()
    for step in steps:
        assert isinstance(node.value, int | float)
        name = f"{script.name}:{node.lineno}:{node.col_offset} {node.value} {step:+g}"
        yield Edit(name, script.name, _replaced(text, node, _shown(node.value + step)), "number", about)


def _shown(value: float) -> str:
    rounded = round(value, 9)
    return repr(int(rounded)) if rounded == int(rounded) else repr(rounded)


def _sheet_numbers(path: Path, steps: Sequence[float]) -> Iterator[Edit]:
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    for i, line in enumerate(lines):
        key, equals, value = line.partition("=")
        value = value.split("#")[0]
        if not equals or key.strip() in _NO_LENGTH or '"' in value:
            continue
        for found in re.finditer(r"-?\d+(\.\d+)?", value):
            for step in steps:
                start = len(key) + 1 + found.start()
                changed = line[:start] + _shown(float(found[0]) + step) + line[start + len(found[0]):]
                yield Edit(f"{path.name}:{i + 1}:{start} {found[0]} {step:+g}", f"equipment/{path.name}",
                           "".join([*lines[:i], changed, *lines[i + 1:]]), "number", line.strip())


def omissions(root: Path) -> Iterator[Edit]:
    """Every statement that only does something (joints, bores, cuts, gaps, equipment), every joint of a statement with
    several, every feature of a tuple, every element of a table in the script; every table of the sheets."""
    for script in sorted(root.glob("*.py")):
        text = script.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)):
            for left, by in _without(node):
                what = ast.unparse(left).replace("\n", " ")[:70]
                name = f"{script.name}:{left.lineno} without {what}"
                yield Edit(name, script.name, _replaced(text, *by), "omission", what)
    for sheet in sorted((root / "equipment").glob("*.toml")):
        yield from _sheet_omissions(sheet)


Left = tuple[ast.expr | ast.stmt, tuple[ast.expr | ast.stmt, str]]


def _without(node: ast.AST) -> Iterator[Left]:
    """(what is left out, (what is replaced, by what))."""
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
        yield node, (node, "pass")
        call = node.value
        if isinstance(call.func, ast.Attribute) and call.func.attr == "join" and len(call.args) > 1:
            for arg in call.args:
                others = ", ".join(ast.unparse(other) for other in call.args if other is not arg)
                yield arg, (node, f"{ast.unparse(call.func)}({others})")
    elif isinstance(node, ast.Tuple | ast.List) and isinstance(node.ctx, ast.Load) and _is_table(node):
        for element in node.elts:
            others = ", ".join(ast.unparse(other) for other in node.elts if other is not element)
            yield element, (node, f"[{others}]" if isinstance(node, ast.List) else f"({others}{',' if others else ''})")
    elif isinstance(node, ast.For) and isinstance(node.iter, ast.Tuple) and not _is_table(node.iter):
        for element in node.iter.elts:
            others = ", ".join(ast.unparse(other) for other in node.iter.elts if other is not element)
            yield element, (node.iter, f"({others},)")
    elif isinstance(node, ast.Dict) and node.keys:
        for key in node.keys:
            pairs = zip(node.keys, node.values, strict=True)
            others = ", ".join(f"{ast.unparse(k)}: {ast.unparse(v)}" for k, v in pairs if k is not None and k is not key)
            if key is not None:
                yield key, (node, f"{{{others}}}")


def _is_table(node: ast.Tuple | ast.List) -> bool:
    """Features, or rows: calls, tuples or names of parts, not the numbers of a point."""
    return bool(node.elts) and (all(isinstance(each, ast.Call | ast.Starred) for each in node.elts)
                                or (len(node.elts) > 1 and all(isinstance(each, ast.Tuple) for each in node.elts)))


def _replaced(text: str, node: ast.expr | ast.stmt, by: str) -> str:
    lines = text.encode().splitlines(keepends=True)  # columns count bytes
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    before = b"".join(lines[:node.lineno - 1]) + lines[node.lineno - 1][:node.col_offset]
    after = lines[node.end_lineno - 1][node.end_col_offset:] + b"".join(lines[node.end_lineno:])
    return (before + by.encode() + after).decode()


def dropped(desk: Desk) -> Iterator[Edit]:
    """What loops and functions of the script have made, one by one: joints, features of parts, gaps, cables, bays."""
    for i, (joint, _) in enumerate(desk.joints):
        yield _drop(f"joint {joint.title}, {i}", "joint", i)
    for name, placed in desk.parts.items():
        for i, feature in enumerate(placed.part.features):
            yield _drop(f"{type(feature).__name__} {feature.name!r} of {name}", "feature", i, name)
    for i, gap in enumerate(desk.gaps):
        yield _drop(f"gap of {gap.a} and {gap.b}", "gap", i)
    for i, room in enumerate(desk.keep_outs):
        yield _drop(f"keep-out {room.name}", "keep-out", i)
    for i, bay in enumerate(desk.bays):
        yield _drop(f"bay {bay.name}", "bay", i)


def _drop(name: str, what: str, i: int, part: str = "") -> Edit:
    return Edit(f"without {name}", "desk.py", "", "omission", name, (what, i, part))


def _sheet_omissions(path: Path) -> Iterator[Edit]:
    text = path.read_text(encoding="utf-8")
    starts = [found.start() for found in re.finditer(r"^\[", text, re.M)] + [len(text)]
    for start, end in pairwise(starts):
        head = " ".join(text[start:end].split("\n")[:2])
        yield Edit(f"{path.name}:{text.count(chr(10), 0, start) + 1} without {head}", f"equipment/{path.name}",
                   text[:start] + text[end:], "omission", head)
