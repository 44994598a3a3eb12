"""How wide a text is: lettering by one font with Latin, Greek and Cyrillic letters, the same on every machine.

The font (DejaVu Sans) comes with matplotlib, which the kernel's own libraries bring along; nothing else of it is used.
Signs that it lacks are drawn as a box in PNG and PDF; the SVG holds the text itself.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from PIL import ImageFont

from deskmodel.errors import BuildFault

__all__ = ["CAP", "FAMILY", "MISSING", "clipped", "font", "font_file", "plain", "width_of", "wrapped"]

CAP = 0.729
"""Height of a capital letter as a share of the font's size (DejaVu Sans)."""

FAMILY = "DejaVu Sans, Verdana, sans-serif"
"""For writers that name a font: the one that was measured, then one that is about as wide."""

MISSING = "\ufffd"
"""For a sign that the font lacks, where the format wants one that is there."""

_MEASURED = 200  # pixels; the size at which widths are measured
_LONGEST = 300


@cache
def font_file(bold: bool) -> Path:
    """The font's TTF. find_spec does not import matplotlib: that would take half a second."""
    found = find_spec("matplotlib")
    for folder in (found.submodule_search_locations if found else None) or ():
        path = Path(folder) / "mpl-data" / "fonts" / "ttf" / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")
        if path.is_file():
            return path
    raise BuildFault("the font DejaVu Sans, which comes with matplotlib, is missing from this installation")


@cache
def font(size: int, bold: bool = False) -> ImageFont.FreeTypeFont:
    """``size`` in pixels. The basic layout: the same places with and without optional libraries."""
    return ImageFont.truetype(str(font_file(bold)), size, layout_engine=ImageFont.Layout.BASIC)


@cache
def width_of(text: str, height: float, bold: bool = False) -> float:
    """mm, for capitals ``height`` mm high."""
    return float(font(_MEASURED, bold).getlength(text)) / _MEASURED * height / CAP


def plain(text: str) -> str:
    """A name as one line of signs that can be drawn: what would move the pen is shown, not obeyed."""
    shown = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" if ord(c) < 256 else f"\\u{ord(c):04x}"
                    for c in text[:_LONGEST])
    return shown.strip()


def clipped(text: str, width: float, height: float, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than ``width`` mm."""
    if width_of(text, height, bold) <= width:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if width_of(text[:middle].rstrip() + "…", height, bold) <= width:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…" if low else ""


def wrapped(text: str, width: float, height: float, most: int) -> list[str] | None:
    """The text in at most ``most`` lines of at most ``width`` mm, broken at spaces; None where it does not go."""
    lines: list[str] = []
    for word in text.split():
        if lines and width_of(f"{lines[-1]} {word}", height) <= width:
            lines[-1] += f" {word}"
        elif width_of(word, height) <= width and len(lines) < most:
            lines.append(word)
        else:
            return None
    return lines
