"""What ``pdf`` does, with the library that does it: a module of its own because importing that takes a sixth of a second."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from functools import cache
from typing import Any

from PIL import Image
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import FILL_EVEN_ODD, Canvas

from deskmodel._edges import arc_circle
from deskmodel.drawing.lettering import CAP, MISSING, font_file, width_of
from deskmodel.drawing.records import LAYERS, Colour, Drawing, LayerName, Outline, Path, Picture, Point, Text
from deskmodel.profiles import Profile

__all__ = ["drawn", "letters", "written"]

rl_config.useA85 = 0  # streams as they are: as text they are a quarter larger, and the library is slow to make it

_UNIT = 72 / 25.4  # points in a millimetre
_ROUND = 1  # line join
_LOG_10 = math.log(10.0)
_SWEEP = math.radians(45)  # of an arc for one Bézier curve: off by less than a millionth of the radius
_NAMES = {False: "deskmodel-regular", True: "deskmodel-bold"}


def written(pages: Sequence[Drawing], title: str, remark: str) -> bytes:
    """``pages``: at least one."""
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=_points(pages[0].size), pageCompression=1, invariant=1, initialFontName=_font(False))
    canvas.setTitle(_writable(title))
    canvas.setSubject(_writable(remark))
    canvas.setAuthor("")
    canvas.setCreator("deskmodel")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize(_points(page.size))
        canvas.setLineJoin(_ROUND)
        pen: LayerName | None = None  # each page begins with a pen that nobody has set
        for record in page.records:
            if isinstance(record, Path):
                pen = _path(canvas, record, pen)
            elif isinstance(record, Text):
                _text(canvas, record)
            else:
                _picture(canvas, record)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@cache
def letters(bold: bool) -> frozenset[int]:
    """Code points that the font draws. None beyond 0xFFFF: the library writes them so that readers lose them."""
    return frozenset(code for code in pdfmetrics.getFont(_font(bold)).face.charToGlyph if code <= 0xFFFF)


def drawn(text: str, bold: bool) -> str:
    """The text as it is drawn: a sign that the font lacks is MISSING."""
    there = letters(bold)
    return "".join(c if ord(c) in there else MISSING for c in text)


@cache
def _font(bold: bool) -> str:
    name = _NAMES[bold]
    pdfmetrics.registerFont(TTFont(name, str(font_file(bold))))
    return name


def _writable(text: str) -> str:
    """Without lone surrogates, which no encoding holds."""
    return text.encode("utf-8", "backslashreplace").decode()


def _points(mm: Point) -> Point:
    return mm[0] * _UNIT, mm[1] * _UNIT


def _colour(colour: Colour) -> tuple[float, float, float]:
    r, g, b = colour
    return r / 255, g / 255, b / 255


def _path(canvas: Any, path: Path, pen: LayerName | None) -> LayerName | None:
    """``pen``: the layer whose lines the pen draws, before and after."""
    layer = LAYERS[path.layer]
    filled = path.fill is not None and path.closed
    if not filled and not layer.width:
        return pen
    line = _Line()
    for outline in path.outlines:
        _outline(line, outline, path.closed)
    if filled and path.fill is not None:
        canvas.setFillColorRGB(*_colour(path.fill))
    if layer.width and path.layer != pen:
        pen = path.layer
        canvas.setStrokeColorRGB(*_colour(layer.colour))
        canvas.setLineWidth(layer.width * _UNIT)
        canvas.setDash([dash * _UNIT for dash in layer.dashes], 0)
    canvas.drawPath(line, stroke=int(layer.width > 0), fill=int(filled), fillMode=FILL_EVEN_ODD)
    return pen


class _Line:
    """What the library's own path is, whose way to write numbers takes five times as long."""

    def __init__(self) -> None:
        self._code = ["n"]

    def getCode(self) -> str:  # noqa: N802  # the library asks for it
        return " ".join(self._code)

    def add(self, operator: str, *points: Point) -> None:
        self._code += (_number(value) for point in points for value in point)
        self._code.append(operator)


def _number(value: float) -> str:
    """Six digits, and no more of them behind the point; without what need not be written (ISO 32000-1, 7.3.3)."""
    size = abs(value)
    if size <= 1e-7:
        return "0"
    digits = 6 if size <= 1 else max(0, 6 - int(math.log(size) / _LOG_10))
    text = f"{value:.{digits}f}"
    if digits:
        text = text.rstrip("0").rstrip(".")
    return text[1:] if text[0] == "0" and len(text) > 1 else text


def _outline(line: _Line, outline: Outline, closed: bool) -> None:
    line.add("m", _points(outline[0][:2]))
    if not any(bulge for _, _, bulge in outline):
        for x, y, _ in (*outline[1:], outline[0]) if closed else outline[1:]:
            line.add("l", _points((x, y)))
        if closed:
            line.add("h")
        return
    edges = list(Profile(outline).edges())
    for edge in edges if closed else edges[:-1]:
        if not edge[2]:
            line.add("l", _points(edge[1]))
            continue
        (cx, cy), r, start, sweep = arc_circle(edge)
        n = math.ceil(abs(sweep) / _SWEEP)
        step = sweep / n
        handle = 4 / 3 * math.tan(step / 4) * r
        for i in range(n):
            a, b = start + i * step, start + (i + 1) * step
            (ca, sa), (cb, sb) = (math.cos(a), math.sin(a)), (math.cos(b), math.sin(b))
            end = edge[1] if i == n - 1 else (cx + r * cb, cy + r * sb)
            line.add("c", _points((cx + r * ca - handle * sa, cy + r * sa + handle * ca)),
                     _points((cx + r * cb + handle * sb, cy + r * sb - handle * cb)), _points(end))
    if closed:
        line.add("h")


def _text(canvas: Any, text: Text) -> None:
    """As wide as it was measured: the scale evens out what hinting and kerning make of single letters."""
    shown = drawn(text.text, text.bold)
    if not shown.strip():
        return
    name, size = _font(text.bold), text.height / CAP * _UNIT
    wide = width_of(text.text, text.height, text.bold) * _UNIT
    own = pdfmetrics.stringWidth(shown, name, size)
    back = {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    x, y = _points(text.at)
    pen = canvas.beginText()
    if text.turn:
        pen.setTextTransform(0, 1, -1, 0, x, y - back)
    else:
        pen.setTextOrigin(x - back, y)
    pen.setFont(name, size)
    pen.setHorizScale(100 * wide / own)
    pen.setFillColorRGB(*_colour(text.colour))
    pen.textOut(shown)
    canvas.drawText(pen)


def _picture(canvas: Any, picture: Picture) -> None:
    with Image.open(io.BytesIO(picture.data)) as given:
        pixels = given.convert("RGB")
    canvas.drawImage(ImageReader(pixels), *_points(picture.at), *_points(picture.size))
