"""The line of a key in a TOML text, from a parser that keeps positions. Only loaded to complain."""

from __future__ import annotations

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

__all__ = ["line_of"]


def line_of(text: str, path: tuple[str | int, ...]) -> int | None:
    """The line (from 1) of the key at ``path``; of the innermost table that exists where the key does not."""
    root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
    found: int | None = None
    seen: dict[str, int] = {}
    for node in root.children:
        if node.type == "pair" and len(path) == 1 and _key(node) == path[0]:
            return node.start_point[0] + 1
        if node.type == "table_array_element":
            name = _key(node)
            number = seen.get(name, -1) + 1
            seen[name] = number
            if path[:1] == (name,) and (len(path) == 1 or path[1] == number):
                found = found or node.start_point[0] + 1
                for child in node.children:
                    if child.type == "pair" and len(path) > 2 and _key(child) == path[2]:
                        return child.start_point[0] + 1
        if node.type == "table" and _key(node) == path[0]:
            found = found or node.start_point[0] + 1
    return found


def _key(node: Node) -> str:
    for child in node.children:
        if child.type in {"bare_key", "quoted_key", "dotted_key"} and child.text is not None:
            return child.text.decode().strip("\"'")
    return ""
