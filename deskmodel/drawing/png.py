"""A drawing as PNG: drawn finer and averaged, so that lines and lettering are smooth. The same bytes for the same
version of Pillow."""

from __future__ import annotations

import io
import math
from itertools import pairwise

from PIL import Image, ImageDraw
from PIL.PngImagePlugin import PngInfo

from deskmodel.drawing.lettering import CAP, font
from deskmodel.drawing.records import LAYERS, Drawing, Layer, Outline, Path, Picture, Point, Text
from deskmodel.profiles import Profile

__all__ = ["PIXELS", "picture_size", "png_bytes"]

PIXELS = 6.0
"""For each mm of paper: capitals 2.5 mm high get 15 pixels."""

_FINER = 3
_STEP = math.radians(6)  # arcs as chords


def picture_size(drawing: Drawing) -> tuple[int, int]:
    """(width, height) in pixels."""
    return math.ceil(drawing.size[0] * PIXELS), math.ceil(drawing.size[1] * PIXELS)


def png_bytes(drawing: Drawing) -> bytes:
    width, height = picture_size(drawing)
    image = Image.new("RGB", (width * _FINER, height * _FINER), (255, 255, 255))
    canvas = _Canvas(image, height * _FINER)
    for record in drawing.records:
        if isinstance(record, Path):
            canvas.path(record)
        elif isinstance(record, Text):
            canvas.text(record)
        else:
            canvas.picture(record)
    remark = PngInfo()
    remark.add_itxt("Title", drawing.title.encode("utf-8", "backslashreplace").decode())
    remark.add_itxt("Comment", drawing.remark.encode("utf-8", "backslashreplace").decode())
    out = io.BytesIO()
    image.reduce(_FINER).save(out, "PNG", pnginfo=remark, optimize=False, compress_level=9)
    return out.getvalue()


class _Canvas:
    """Draws on a picture of ``height`` pixels; mm of paper in."""

    def __init__(self, image: Image.Image, height: int) -> None:
        self._image = image
        self._draw = ImageDraw.Draw(image)
        self._scale = PIXELS * _FINER
        self._height = height

    def path(self, path: Path) -> None:
        loops = [self._points(outline, path.closed) for outline in path.outlines]
        if path.fill and path.closed:
            self._fill(loops, path.fill)
        layer = LAYERS[path.layer]
        if layer.width:
            for loop in loops:
                self._line([*loop, loop[0]] if path.closed else loop, layer)

    def text(self, text: Text) -> None:
        """Upright lettering is drawn in place; turned lettering on a slip of its own, which is turned."""
        letters = font(round(text.height / CAP * self._scale), text.bold)
        x, y = self._place(text.at)
        if not text.turn:
            self._draw.text((x, y), text.text, font=letters, fill=text.colour, anchor=f"{_SIDE[text.anchor]}s")
            return
        ascent, descent = letters.getmetrics()
        long = math.ceil(letters.getlength(text.text)) + 2
        slip = Image.new("L", (long, ascent + descent), 0)
        ImageDraw.Draw(slip).text((1, ascent), text.text, font=letters, fill=255, anchor="ls")
        slip = slip.transpose(Image.Transpose.ROTATE_90)
        back = {"start": long - 1, "middle": long / 2, "end": 1}[text.anchor]
        self._image.paste(text.colour, (round(x - ascent), round(y - back)), slip)

    def picture(self, picture: Picture) -> None:
        x, y = self._place((picture.at[0], picture.at[1] + picture.size[1]))
        size = tuple(max(1, round(each * self._scale)) for each in picture.size)
        with Image.open(io.BytesIO(picture.data)) as given:
            self._image.paste(given.convert("RGB").resize((size[0], size[1]), Image.Resampling.BOX), (round(x), round(y)))

    def _place(self, p: Point) -> Point:
        return p[0] * self._scale, self._height - p[1] * self._scale

    def _points(self, outline: Outline, closed: bool) -> list[Point]:
        points = Profile(outline).points(_STEP)
        if not closed and outline[-1][:2] in points:  # without the edge back to the start
            points = points[:points.index(outline[-1][:2]) + 1]
        return [self._place(p) for p in points]

    def _fill(self, loops: list[list[Point]], colour: tuple[int, int, int]) -> None:
        if len(loops) == 1:
            self._draw.polygon(loops[0], fill=colour)
            return
        x0, y0 = (math.floor(min(p[i] for p in loops[0])) for i in (0, 1))
        x1, y1 = (math.ceil(max(p[i] for p in loops[0])) + 1 for i in (0, 1))
        mask = Image.new("L", (x1 - x0, y1 - y0), 0)
        for loop, inside in zip(loops, (255, *[0] * len(loops)), strict=False):
            ImageDraw.Draw(mask).polygon([(x - x0, y - y0) for x, y in loop], fill=inside)
        self._image.paste(colour, (x0, y0), mask)

    def _line(self, points: list[Point], layer: Layer) -> None:
        width = max(1, round(layer.width * self._scale))
        for stretch in _dashed(points, [d * self._scale for d in layer.dashes]):
            self._draw.line(stretch, fill=layer.colour, width=width, joint="curve")
            if width > 2 and not layer.dashes:  # round ends: corners of outlines are closed
                for x, y in (stretch[0], stretch[-1]):
                    r = (width - 1) / 2
                    self._draw.ellipse((x - r, y - r, x + r, y + r), fill=layer.colour)


_SIDE = {"start": "l", "middle": "m", "end": "r"}


def _dashed(points: list[Point], dashes: list[float]) -> list[list[Point]]:
    """The line in pieces as long as its line type says, along all its bends."""
    if not dashes:
        return [points]
    pieces: list[list[Point]] = []
    which, left = 0, dashes[0]
    piece = [points[0]]
    for a, b in pairwise(points):
        length, done = math.dist(a, b), 0.0
        while length - done > 1e-9:
            step = min(left, length - done)
            done += step
            left -= step
            at = (a[0] + (b[0] - a[0]) * done / length, a[1] + (b[1] - a[1]) * done / length)
            if which % 2 == 0:
                piece.append(at)
            if left <= 1e-9:
                if which % 2 == 0 and len(piece) > 1:
                    pieces.append(piece)
                which = (which + 1) % len(dashes)
                left, piece = dashes[which], [at]
    if which % 2 == 0 and len(piece) > 1:
        pieces.append(piece)
    return pieces
