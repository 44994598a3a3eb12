"""A drawing as SVG 1.1: text in, text out; everything that people named is escaped."""

from __future__ import annotations

import base64
import math
from collections.abc import Iterator
from xml.sax.saxutils import escape, quoteattr

from deskmodel._edges import arc_size
from deskmodel.drawing.lettering import CAP, FAMILY, width_of
from deskmodel.drawing.records import LAYERS, Drawing, Outline, Path, Picture, Text
from deskmodel.profiles import Profile

__all__ = ["svg_bytes", "svg_lines"]


def svg_bytes(drawing: Drawing) -> bytes:
    """UTF-8; a lone surrogate, which no text may hold, is escaped."""
    return "".join(line + "\n" for line in svg_lines(drawing)).encode("utf-8", "backslashreplace")


def svg_lines(drawing: Drawing) -> Iterator[str]:
    """One element a line, in the order in which they are drawn."""
    width, height = drawing.size
    yield '<?xml version="1.0" encoding="UTF-8"?>'
    yield (f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width)}mm" height="{_n(height)}mm" '
           f'viewBox="0 0 {_n(width)} {_n(height)}" font-family={quoteattr(FAMILY)}>')
    yield f"<title>{_text(drawing.title)}</title>"
    yield f"<desc>{_text(drawing.remark)}</desc>"
    yield f'<rect width="{_n(width)}" height="{_n(height)}" fill="#ffffff"/>'
    for record in drawing.records:
        if isinstance(record, Path):
            yield _path(record, height)
        elif isinstance(record, Text):
            yield _letters(record, height)
        else:
            yield _pixels(record, height)
    yield "</svg>"


def _path(path: Path, height: float) -> str:
    layer = LAYERS[path.layer]
    data = " ".join(_outline(outline, height, path.closed) for outline in path.outlines)
    style = f'fill="{_colour(path.fill)}"' if path.fill and path.closed else 'fill="none"'
    if path.fill and len(path.outlines) > 1:
        style += ' fill-rule="evenodd"'
    if layer.width:
        style += f' stroke="{_colour(layer.colour)}" stroke-width="{_n(layer.width)}" stroke-linejoin="round"'
        if layer.dashes:
            style += f' stroke-dasharray="{" ".join(map(_n, layer.dashes))}"'
    return f'<path class="{path.layer}" d="{data}" {style}/>'


def _outline(outline: Outline, height: float, closed: bool) -> str:
    """Arcs of any sweep below a full turn; y runs down here, so what bulges to the right is swept anticlockwise."""
    x, y, _ = outline[0]
    parts = [f"M{_n(x)} {_n(height - y)}"]
    edges = list(Profile(outline).edges())
    for edge in edges if closed else edges[:-1]:
        (x, y), bulge = edge[1], edge[2]
        if bulge:
            radius, angle = arc_size(edge)
            parts.append(f"A{_n(radius)} {_n(radius)} 0 {int(angle > math.pi)} {int(bulge < 0)} {_n(x)} {_n(height - y)}")
        else:
            parts.append(f"L{_n(x)} {_n(height - y)}")
    return "".join(parts) + ("Z" if closed else "")


def _letters(text: Text, height: float) -> str:
    x, y = text.at[0], height - text.at[1]
    turn = f' transform="rotate({-text.turn} {_n(x)} {_n(y)})"' if text.turn else ""
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    bold = ' font-weight="bold"' if text.bold else ""
    fill = f' fill="{_colour(text.colour)}"' if any(text.colour) else ""
    # another font is squeezed or stretched to the width that was measured, so nothing can run into its neighbour
    length = width_of(text.text, text.height, text.bold)
    return (f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(text.height / CAP)}" textLength="{_n(length)}" '
            f'lengthAdjust="spacingAndGlyphs"{anchor}{bold}{fill}{turn}>{_text(text.text)}</text>')


def _pixels(picture: Picture, height: float) -> str:
    (x, y), (wide, high) = picture.at, picture.size
    data = base64.b64encode(picture.data).decode()
    return (f'<image x="{_n(x)}" y="{_n(height - y - high)}" width="{_n(wide)}" height="{_n(high)}" '
            f'preserveAspectRatio="none" href="data:image/png;base64,{data}"/>')


def _text(text: str) -> str:
    """Escaped; signs that XML 1.0 forbids are shown as their number."""
    allowed = (c if c in "\t\n\r" or 0x20 <= ord(c) <= 0xD7FF or 0xE000 <= ord(c) <= 0xFFFD or ord(c) >= 0x10000
               else f"\\u{ord(c):04x}" for c in text)
    return escape("".join(allowed))


def _colour(colour: tuple[int, int, int]) -> str:
    return "#{:02x}{:02x}{:02x}".format(*colour)


def _n(value: float) -> str:
    """A thousandth of a millimetre is enough on paper; no -0."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")
