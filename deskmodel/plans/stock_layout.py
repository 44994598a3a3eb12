"""The stock layout: which raw piece everything is cut from.

Members come from bars or from rough boards that are ripped (``lengths``), ply and veneer from sheets and leaves
(``guillotine``). A board serves a piece where it is as thick as the rough piece at least. Where all goods of a material that
come into question have a price, the layout is the cheapest; else the one that buys least wood. What is on hand costs
nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.plans.cut_list import CutRow, cut_list
from deskmodel.plans.guillotine import CutSheet, Nesting, Panel, PanelSpot, SheetKind, nest
from deskmodel.plans.lengths import Cutting, RawKind, Wanted, cut_lengths
from deskmodel.stock import ANY, Sheet, Stock, Timber
from deskmodel.workshop import Allowance, allowance_of, kerf_of

__all__ = ["PLANED_AWAY", "LaidPiece", "LaidRaw", "StockLayout", "StockPart", "stock_layout"]

PLANED_AWAY = 12.0
"""mm. Stock that is thicker than a rough piece by more is left for something else (common practice: it would be resawn)."""

SHOT = 2.0
"""mm of a strip of veneer that go when its edges are shot for a joint (common practice)."""


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """``part``: name of the member, plate or leaf; ``stave``: "2 of 4" where it is joined from several, else "". ``x`` along
    the raw piece from its end, ``y`` across from its edge, mm, as sold: raw ends and edges counted in. ``turned``: its
    length lies across."""

    part: str
    number: str
    stave: str
    x: float
    y: float
    length: float
    width: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class LaidRaw:
    """A raw piece and what is cut from it. ``strips``: (y, width) that a board is ripped to. ``margin``: off each end and
    off each edge. ``rest``: the share of its area that no piece lies on."""

    goods: Timber | Sheet
    strips: tuple[tuple[float, float], ...]
    pieces: tuple[LaidPiece, ...]
    margin: tuple[float, float]

    @property
    def rest(self) -> float:
        used = sum(piece.length * piece.width for piece in self.pieces)
        return 1.0 - used / (self.goods.length * self.goods.width)


@dataclass(frozen=True, slots=True)
class StockPart:
    """The layout of one material. ``aim``: "price" or "wood" (m³ of timber, m² of sheets), in whose ``unit`` ``used`` and
    ``bound`` are; ``proved``: no layout needs less. ``missing``: (part, how many rough pieces, rough size) without a raw
    piece. ``how``: where the bound comes from."""

    material: str
    raws: tuple[LaidRaw, ...]
    aim: str
    unit: str
    used: float
    bound: float
    proved: bool
    missing: tuple[tuple[str, int, str], ...]
    how: str


@dataclass(frozen=True, slots=True)
class StockLayout:
    parts: tuple[StockPart, ...]
    kerf: float
    allowance: Allowance
    assumed: bool

    @property
    def raws(self) -> Iterator[LaidRaw]:
        return (raw for part in self.parts for raw in part.raws)


@dataclass(frozen=True, slots=True)
class _Blank:
    """A rough piece. ``name`` is unique: the part, and the stave."""

    name: str
    part: str
    number: str
    stave: str
    length: float
    width: float
    thickness: float
    grain: bool


def stock_layout(model: DeskModel, stock: Stock, *, listed: int = 3000, nodes: int = 5000) -> StockLayout:
    """``listed``, ``nodes``: how far the search for lengths goes, see ``cut_lengths``."""
    allowance, kerf = allowance_of(model.workshop), kerf_of(model.workshop)
    rows = cut_list(model).rows
    parts: list[StockPart] = []
    for name in sorted({row.piece.part.material for row in rows}):
        own = [row for row in rows if row.piece.part.material == name]
        if material(name).kind == "timber":
            timber = [each for each in stock.timber if each.material in (name, ANY["timber"])]
            parts.append(_timber(name, own, timber, allowance, kerf, (listed, nodes)))
        else:
            parts += _sheets(name, own, stock, allowance, kerf)
    return StockLayout(tuple(parts), kerf, allowance, bool(stock.assumed))


def _timber(name: str, rows: Sequence[CutRow], timber: Sequence[Timber], allowance: Allowance, kerf: float,
            effort: tuple[int, int]) -> StockPart:
    usable = [(each, each.length - 2 * allowance.end, each.width - (2 * allowance.edge if each.kind == "board" else 0.0))
              for each in timber]
    widest = max((width for each, _, width in usable if each.kind == "board"), default=math.inf)
    blanks = [blank for row in rows for blank in _blanks(row, widest, kerf)]
    # one demand for each rough size: its pieces may be changed for one another
    sizes = sorted({(b.length, b.width, b.thickness) for b in blanks}, reverse=True)
    of_size = {size: [b for b in blanks if (b.length, b.width, b.thickness) == size] for size in sizes}
    wanted = [Wanted(str(i), size[0], len(of_size[size]), size[1]) for i, size in enumerate(sizes)]
    able = [[each for each, _, width in usable if _holds(each, size, width)] for size in sizes]
    for i, size in enumerate(sizes):
        able[i] = _not_too_stout(_not_too_thick(able[i], size[2]), size)
    used = [(each, length, width, frozenset(str(i) for i in range(len(sizes)) if each in able[i]))
            for each, length, width in usable]
    priced = all(each.price is not None or each.on_hand for each, _, _, takes in used if takes)
    raws = [RawKind(str(number), length, _cost(each, priced), width if each.kind == "board" else None, each.count, takes)
            for number, (each, length, width, takes) in enumerate(used) if takes]
    cutting = cut_lengths(wanted, raws, kerf, listed=effort[0], nodes=effort[1])
    laid = list(_laid_timber(cutting, {str(i): each for i, (each, *_) in enumerate(used)}, sizes, of_size, allowance))
    unit, scale = ("price", 0.01) if priced else ("m³", 1e-9)
    missing = tuple((b.part, 1, f"{b.length:g} × {b.width:g} × {b.thickness:g}")
                    for i, count in cutting.missing for b in of_size[sizes[int(i)]][:count])
    return StockPart(name, tuple(laid), "price" if priced else "wood", unit, cutting.cost * scale, cutting.bound * scale,
                     cutting.proved, missing, cutting.why)


def _cost(each: Timber, priced: bool) -> int:
    if each.on_hand:
        return 0
    return round((each.price or 0.0) * 100) if priced else round(each.length * each.width * each.thickness)


def _not_too_thick(able: Sequence[Timber], thickness: float) -> list[Timber]:
    """Without boards of which more would be planed away than anybody does, unless there are no others."""
    boards = [each.thickness for each in able if each.kind == "board"]
    most = max(thickness + PLANED_AWAY, min(boards, default=0.0))
    return [each for each in able if each.kind == "bar" or each.thickness <= most + 1e-6]


def _not_too_stout(able: Sequence[Timber], size: tuple[float, float, float]) -> list[Timber]:
    """The same for bars, whichever way the piece lies in them."""
    def over(each: Timber) -> float:
        sides = zip(sorted(size[1:]), sorted((each.width, each.thickness)), strict=True)
        return max(large - small for small, large in sides)

    close = [each for each in able if each.kind == "board" or over(each) <= PLANED_AWAY + 1e-6]
    return close or list(able)


def _holds(each: Timber, size: tuple[float, float, float], width: float) -> bool:
    """A bar holds a section lying either way; a board holds what is no thicker, ripped to its width."""
    if each.kind == "board":
        return size[2] <= each.thickness + 1e-6 and size[1] <= width + 1e-6
    section = sorted((each.width, each.thickness))
    return all(small <= large + 1e-6 for small, large in zip(sorted(size[1:]), section, strict=True))


def _blanks(row: CutRow, widest: float, kerf: float) -> Iterator[_Blank]:
    """The rough pieces of a row: of each part one, or as many staves as a panel wider than the widest board takes."""
    length, *section = row.rough
    thickness, width = sorted(section)
    if row.piece.number[0] != "M":
        width, thickness = row.rough[1], row.rough[2]
    for name in row.piece.names:
        yield from _staves(name, row, length, width, thickness, widest, kerf)


def _staves(name: str, row: CutRow, length: float, width: float, thickness: float, widest: float, kerf: float) -> Iterator[
        _Blank]:
    """Panels and leaves wider than what there is are joined from equal strips; each joint costs a kerf for its edges."""
    grain = row.grain != "either way"
    if width <= widest + 1e-6 or row.piece.number[0] == "M":
        yield _Blank(name, name, row.piece.number, "", length, width, thickness, grain)
        return
    count = math.ceil(width / (widest - kerf)) if widest > kerf else 1
    each = math.ceil(width / count + kerf - 1e-6)
    for i in range(1, count + 1):
        yield _Blank(f"{name} {i}", name, row.piece.number, f"{i} of {count}", length, each, thickness, grain)


def _laid_timber(cutting: Cutting, goods: dict[str, Timber], sizes: Sequence[tuple[float, float, float]],
                 of_size: dict[tuple[float, float, float], list[_Blank]], allowance: Allowance) -> Iterator[LaidRaw]:
    waiting = {str(i): list(of_size[size]) for i, size in enumerate(sizes)}
    for raw in cutting.raws:
        each = goods[raw.raw]
        edge = allowance.edge if each.kind == "board" else 0.0
        laid = []
        for piece in raw.pieces:
            blank = waiting[piece.name].pop(0)
            width = piece.width if each.kind == "board" else each.width
            laid.append(LaidPiece(blank.part, blank.number, blank.stave, allowance.end + piece.x, edge + piece.y,
            piece.length,
                                  width))
        yield LaidRaw(each, tuple((edge + y, width) for y, width in raw.strips), tuple(laid), (allowance.end, edge))


def _sheets(name: str, rows: Sequence[CutRow], stock: Stock, allowance: Allowance, kerf: float) -> Iterator[StockPart]:
    """A layout for each thickness. Veneer is cut with a knife: no kerf, and no margin but what stands out over the plate."""
    kind = material(name).kind
    veneer = kind == "veneer"
    for thickness in sorted({row.rough[2] for row in rows}, reverse=True):
        goods = [each for each in stock.sheets if each.material in (name, ANY.get(kind)) and each.kind == (
            "leaf" if veneer else "sheet") and (each.thickness is None or abs(each.thickness - thickness) < 1e-6)]
        off, cut = (0.0, 0.0) if veneer else (allowance.sheet, kerf)
        widest = max((each.width - 2 * off for each in goods), default=math.inf) if veneer else math.inf
        blanks = {b.name: b for row in rows if row.rough[2] == thickness for each in row.piece.names
                  for b in _staves(each, row, row.rough[0], row.rough[1], thickness, widest, SHOT)}
        priced = all(each.price is not None or each.on_hand for each in goods)
        kinds = [SheetKind(str(i), each.length - 2 * off, each.width - 2 * off, 0 if each.on_hand else
                           round((each.price or 0) * 100) if priced else round(each.length * each.width), each.count)
                 for i, each in enumerate(goods) if min(each.length, each.width) > 2 * off]
        turns = not any(each.grain for each in goods)
        panels = [Panel(b.name, b.length, b.width, turns and not b.grain) for b in blanks.values()]
        nesting = _better(nest(panels, kinds, cut), panels, kinds, cut)
        yield _nested(f"{name} {thickness:g} mm", nesting, goods, blanks, off, priced)


def _better(nesting: Nesting, panels: Sequence[Panel], kinds: Sequence[SheetKind], kerf: float) -> Nesting:
    """Where nothing may be turned, strips ripped right through are tried as well: theirs is a proof, if of strips only."""
    if nesting.proved or nesting.missing or any(panel.turns for panel in panels):
        return nesting
    found = cut_lengths([Wanted(p.name, p.length, 1, p.width) for p in panels],
                        [RawKind(k.name, k.length, k.cost, k.width, k.count) for k in kinds], kerf, nodes=500)
    if found.missing or found.cost >= nesting.cost:
        return nesting
    sheets = tuple(CutSheet(raw.raw, tuple(PanelSpot(p.name, p.x, p.y, p.length, p.width, False) for p in raw.pieces))
                   for raw in found.raws)
    return Nesting(sheets, found.cost, nesting.bound, ())


def _nested(name: str, nesting: Nesting, goods: Sequence[Sheet], blanks: dict[str, _Blank], off: float,
            priced: bool) -> StockPart:
    laid = tuple(LaidRaw(goods[int(sheet.sheet)], (), tuple(
        LaidPiece(blanks[spot.name].part, blanks[spot.name].number, blanks[spot.name].stave, off + spot.x, off + spot.y,
                  spot.length, spot.width, spot.turned) for spot in sheet.spots), (off, off)) for sheet in nesting.sheets)
    unit, scale = ("price", 0.01) if priced else ("m²", 1e-6)
    missing = tuple((blanks[each].part, 1, f"{blanks[each].length:g} × {blanks[each].width:g}") for each in nesting.missing)
    return StockPart(name, laid, "price" if priced else "wood", unit, nesting.cost * scale, nesting.bound * scale,
                     nesting.proved, missing, "the bound is one of area")
