"""The line of a key in a TOML text, from a parser that keeps positions. Only loaded to complain."""

from __future__ import annotations

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

__all__ = ["line_of"]

_KEYS = {"bare_key", "quoted_key", "dotted_key"}


def line_of(text: str, path: tuple[str | int, ...]) -> int | None:
    """The line (from 1) of the key at ``path``: names, and numbers from 0 for the entries of a list of tables; of the
    innermost table that exists where the key does not."""
    root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
    found: int | None = None
    seen: dict[tuple[str, ...], int] = {}
    for node in root.children:
        if node.type == "pair":
            found = _in_pair(node, path) or found
        elif node.type in {"table", "table_array_element"}:
            name = _key(node)
            here: tuple[str | int, ...] = name
            if node.type == "table_array_element":
                seen[name] = seen.get(name, -1) + 1
                here = (*name, seen[name])
            if path[: len(name)] == name and (len(path) <= len(name) or path[: len(here)] == here):
                found = found or node.start_point[0] + 1
                for child in node.children:
                    if child.type == "pair" and (line := _in_pair(child, path[len(here):])):
                        return line
                if path == name:
                    return found
    return found


def _in_pair(pair: Node, path: tuple[str | int, ...]) -> int | None:
    """The line of what ``path`` leads to within ``key = value``, None where it does not lead there."""
    name = _key(pair)
    if not path or path[: min(len(name), len(path))] != name[: len(path)]:
        return None
    rest = path[len(name):]
    value = pair.children[-1]
    if rest and value.type == "array" and isinstance(rest[0], int):
        tables = [child for child in value.children if child.type == "inline_table"]
        if rest[0] < len(tables):
            value, rest = tables[rest[0]], rest[1:]
    if value.type == "inline_table":
        for child in value.children:
            if child.type == "pair" and (line := _in_pair(child, rest)):
                return line
        return value.start_point[0] + 1
    return pair.start_point[0] + 1


def _key(node: Node) -> tuple[str, ...]:
    """The names of a key: one, or several with dots between."""
    for child in node.children:
        if child.type in _KEYS:
            return tuple(_names(child))
    return ()


def _names(key: Node) -> list[str]:
    names: list[str] = []
    while key.type == "dotted_key":  # a.b.c is (a.b).c; a loop, for a key may be as long as the file
        inner = [child for child in key.children if child.type in _KEYS]
        if len(inner) < 2:
            return []
        names += _names(inner[1])
        key = inner[0]
    names += [key.text.decode().strip("\"'")] if key.text is not None else []
    return names[::-1]
