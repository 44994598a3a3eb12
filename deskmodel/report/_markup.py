"""HTML that is escaped by the way it is made: texts become text, whatever stands in them.

What comes out is well-formed XML too, so that a strict parser may read it.
"""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence

__all__ = ["Markup", "element", "join", "row", "shown", "table"]


class Markup(str):
    """Finished HTML; any other text is escaped where it meets this."""

    __slots__ = ()


def shown(text: str) -> str:
    """A name as data: what would move the cursor, start a new line or turn the reading is shown, not obeyed."""
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" if ord(c) < 256 else f"\\u{ord(c):04x}" for c in text)


def escaped(child: str) -> str:
    return child if isinstance(child, Markup) else html.escape(shown(child), quote=True)


def join(children: Iterable[str]) -> Markup:
    return Markup("".join(escaped(child) for child in children))


def element(tag: str, *children: str, **attributes: str | None) -> Markup:
    """``class_`` is written class, other underscores as hyphens; an attribute of None is left out."""
    said = "".join(f' {name.rstrip("_").replace("_", "-")}="{html.escape(shown(value), quote=True)}"'
                   for name, value in attributes.items() if value is not None)
    return Markup(f"<{tag}{said}>{join(children)}</{tag}>")


def row(cells: Sequence[str], tag: str = "td", **attributes: str | None) -> Markup:
    return element("tr", *(element(tag, cell) for cell in cells), **attributes)


def table(head: Sequence[str], rows: Sequence[Markup], class_: str) -> Markup:
    """``rows``: each a ``row``."""
    return element("table", element("thead", row(head, "th")), element("tbody", *rows), class_=class_)
