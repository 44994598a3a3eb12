"""Drawings as one PDF (ISO 32000-1), a page each, in true size: a millimetre of a drawing is a millimetre of its page.

Lettering is embedded as the font that was measured. Viewers are asked not to scale when they print. Texts are texts and
nothing else: no links, no forms, no scripts. The same bytes for the same version of reportlab.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from deskmodel.drawing.records import Drawing
from deskmodel.errors import BuildFault

__all__ = ["drawable", "drawn", "pdf_bytes"]


def pdf_bytes(pages: Sequence[Drawing], title: str, remark: str) -> bytes:
    """``title`` and ``remark`` go into the file's own description. BuildFault where there is no page."""
    from deskmodel.drawing._pdf_canvas import written  # slow to import, and most runs write no PDF

    if not pages:
        raise BuildFault(f"the document {title!r} has no pages")
    return written(pages, title, remark)


def drawn(text: str, bold: bool = False) -> str:
    """The text as a reader finds it in the file: a sign that the font lacks is U+FFFD there."""
    from deskmodel.drawing import _pdf_canvas

    return _pdf_canvas.drawn(text, bold)


def drawable(text: str) -> str:
    """The text in signs that the font has, on one line; others spelled as numbers, so that no two names look alike."""
    if text.isascii() and text.isprintable():
        return text
    there = _in_both()
    return "".join(c if ord(c) in there and c.isprintable() else _spelled(ord(c)) for c in text)


@cache
def _in_both() -> frozenset[int]:
    """Code points that both the regular and the bold type draw."""
    from deskmodel.drawing._pdf_canvas import letters

    return letters(False) & letters(True)


def _spelled(code: int) -> str:
    if code < 256:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
