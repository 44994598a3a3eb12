"""Pictures of the stock layout: a raw piece with its ends, its strips and its pieces, each by number, name and length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing.dimensions import figure, polyline, rectangle_path
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import Colour, Drawing, Record, Text, moved
from deskmodel.plans.stock_layout import LaidPiece, LaidRaw, StockPart

__all__ = ["bound_text", "layout_picture", "raw_figure", "raw_title"]

_WOOD: Colour = (240, 226, 196)
_LOST: Colour = (214, 214, 214)
_TEXT = 2.2
_LEAST = 5.0  # mm of paper across the narrowest piece: a line of lettering with room round it
_TALLEST = 150.0


def raw_title(number: int, raw: LaidRaw, scale: tuple[float, float]) -> str:
    same = abs(scale[0] - scale[1]) < 1e-6
    drawn = f"1 : {scale[0]:.3g}" if same else f"1 : {scale[0]:.3g} along, 1 : {scale[1]:.3g} across"
    return f"{number}: {raw.goods.text}{' (on hand)' if raw.goods.on_hand else ''}, drawn {drawn}"


def bound_text(part: StockPart, currency: str) -> str:
    """What the layout needs, and how much less any other could need at most."""
    unit = currency or "currency" if part.aim == "price" else part.unit
    used = f"{part.used:.2f} {unit}" if part.aim == "price" else f"{part.used:.4g} {unit}"
    told = f"bought: {used}" if part.aim == "price" else f"{used} bought"
    if part.missing:
        return f"{told}; some pieces have no stock, so nothing is proved"
    if part.proved:
        return f"{told}; no layout needs less ({part.how})"
    least = f"{part.bound:.2f} {unit}" if part.aim == "price" else f"{part.bound:.4g} {unit}"
    return f"{told}; not proved to be the least: no layout needs less than {least} ({part.how})"


def raw_figure(raw: LaidRaw, part: StockPart, room: float) -> tuple[tuple[Record, ...], tuple[float, float],
                                                                    tuple[float, float]]:
    """(records, size in mm of paper, (1 : along, 1 : across)); the lower left corner at (0, 0). All raw pieces of a part are
    drawn at one scale along, at which the longest is ``room`` mm of paper."""
    goods = raw.goods
    along = max(each.goods.length for each in part.raws) / room
    wide = goods.length / along
    narrowest = min((piece.width for piece in raw.pieces), default=goods.width)
    across = max(min(along, narrowest / _LEAST), goods.width / _TALLEST)
    records: list[Record] = [rectangle_path("visible", 0.0, 0.0, wide, goods.width / across, _LOST)]
    x0, y0 = raw.margin[0] / along, raw.margin[1] / across
    records.append(rectangle_path("thin", x0, y0, wide - x0, goods.width / across - y0, (255, 255, 255)))
    for y, width in raw.strips:
        for edge in (y, y + width):
            records.append(polyline("rule", (x0, edge / across), (wide - x0, edge / across)))
    for piece in raw.pieces:
        records += _piece(piece, along, across)
    return tuple(records), (wide, goods.width / across), (along, across)


def _piece(piece: LaidPiece, along: float, across: float) -> Iterator[Record]:
    x, y = piece.x / along, piece.y / across
    wide, high = piece.length / along, piece.width / across
    yield rectangle_path("thin", x, y, x + wide, y + high, _WOOD)
    name = drawable(plain(f"{piece.part}{f' ({piece.stave})' if piece.stave else ''}"))
    size = figure(piece.length)
    lines = [f"{piece.number} {name}", f"{size} × {figure(piece.width)}"] if high >= 2 * _LEAST else [
        f"{piece.number} {name} {size}"]
    short = [piece.number]
    for texts in (lines, [f"{piece.number} {size}"], short):
        if max(width_of(text, _TEXT) for text in texts) <= wide - 1.5:
            yield from _lettered(texts, x + wide / 2, y + high / 2)
            return
    if len(lines) > 1 and wide > width_of(piece.number, _TEXT) + 1.5:
        yield from _lettered([clipped(lines[0], wide - 1.5, _TEXT), clipped(lines[1], wide - 1.5, _TEXT)], x + wide / 2,
                             y + high / 2)
    elif width_of(piece.number, _TEXT) <= high - 1.0 and wide >= _TEXT + 1.0:
        yield Text(piece.number, (x + wide / 2 + _TEXT / 2, y + high / 2), _TEXT, "middle", 90)


def _lettered(texts: Sequence[str], x: float, y: float) -> Iterator[Record]:
    step = 1.6 * _TEXT
    for i, text in enumerate(texts):
        yield Text(text, (x, y - _TEXT / 2 + step * (len(texts) - 1) / 2 - step * i), _TEXT, "middle")


def layout_picture(name: str, part: StockPart, currency: str, remark: str) -> Drawing:
    """All raw pieces of one material on one sheet as large as it takes."""
    wide, margin, gap = 240.0, 8.0, 7.0
    figures = [raw_figure(raw, part, wide) for raw in part.raws]
    height = 2 * margin + 12.0 + sum(size[1] + gap for _, size, _ in figures)
    width = wide + 2 * margin
    records: list[Record] = [
        Text(clipped(drawable(plain(f"{name}: {part.material}")), wide, 3.5, True), (margin, height - margin - 3.5), 3.5,
             bold=True),
        Text(clipped(drawable(bound_text(part, currency)), wide, 2.5), (margin, height - margin - 8.5), 2.5)]
    y = height - margin - 12.0
    for i, (drawn, size, scale) in enumerate(figures, 1):
        y -= size[1] + gap
        title = clipped(drawable(raw_title(i, part.raws[i - 1], scale)), wide, 2.2)
        records.append(Text(title, (margin, y + size[1] + 1.2), 2.2))
        records += [moved(record, (margin, y)) for record in drawn]
    return Drawing((width, height), plain(f"{name}: stock layout, {part.material}"), remark, tuple(records))

