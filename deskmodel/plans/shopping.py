"""The shopping list: everything that the desk is made of, each part once, by where it is bought.

Timber and sheets by the raw pieces of the stock layout, plates by area and length of cut, hardware by the pack, equipment
with the source of its data sheet, glue by glued area, filament by mass. Prices come from the stock list alone; what has none
there is unknown, and stays so: totals are of what is known, and say what is not in them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from deskmodel._edges import arc_size
from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.features import Bevel, CutOut, Feature, Hole, Prism
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel
from deskmodel.part import CustomShape, Plate
from deskmodel.plans._moments import closed_form
from deskmodel.plans.pieces import Piece, flat_of, pieces
from deskmodel.plans.stock_layout import StockLayout, StockPart
from deskmodel.profiles import Profile
from deskmodel.stock import Stock

__all__ = ["SECTIONS", "ShoppingLine", "ShoppingList", "cut_length", "shopping_list"]

SECTIONS = ("timber", "sheets and veneer", "plates cut to order", "hardware", "equipment", "printed parts", "glue")


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """``quantity`` of ``unit``; ``packs``: (how many, how much is in one) where it is sold by the pack. ``price`` of all of
    it, None where unknown. ``parts``: names of the parts that it becomes."""

    section: str
    item: str
    quantity: float
    unit: str
    detail: str = ""
    packs: tuple[int, float] | None = None
    price: float | None = None
    source: str = ""
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ShoppingList:
    lines: tuple[ShoppingLine, ...]
    currency: str
    stock: str = field(default="")

    @property
    def known(self) -> float:
        """The sum of the prices that are known."""
        return sum(line.price for line in self.lines if line.price is not None)

    @property
    def unknown(self) -> tuple[ShoppingLine, ...]:
        return tuple(line for line in self.lines if line.price is None)


def shopping_list(model: DeskModel, stock: Stock, layout: StockLayout, volumes: Mapping[str, float] | None = None,
                  more: Sequence[ShoppingLine] = ()) -> ShoppingList:
    """``volumes``: mm³ of parts that have no closed form, by name; ``more``: lines of what others add, such as the bushes
    and the filament of jigs."""
    known = dict(volumes or {})
    found = [*_raw(layout), *_ordered(model, stock), *_hardware(model, stock), *_equipment(model, stock),
             *_printed(model, stock, known), *_glue(model, stock), *more]
    order = {section: i for i, section in enumerate(SECTIONS)}
    lines = sorted(found, key=lambda line: order.get(line.section, len(order)))
    return ShoppingList(tuple(lines), stock.currency, stock.source)


def _raw(layout: StockLayout) -> Iterator[ShoppingLine]:
    told: set[str] = set()
    for part in layout.parts:
        section = SECTIONS[1] if part.sheets else SECTIONS[0]
        for goods in dict.fromkeys(raw.goods for raw in part.raws):
            raws = [raw for raw in part.raws if raw.goods == goods]
            names = [piece.part for raw in raws for piece in raw.pieces if piece.part not in told]
            told.update(names)
            rest = sum(raw.rest for raw in raws) / len(raws)
            price = 0.0 if goods.on_hand else None if goods.price is None else goods.price * len(raws)
            yield ShoppingLine(section, goods.text, len(raws), "piece" if len(raws) == 1 else "pieces",
                               f"{'on hand; ' if goods.on_hand else ''}{100 * rest:.0f} % is left over or lost", price=price,
                               source="stock layout", parts=tuple(dict.fromkeys(names)))
        yield from _missing(part, section, told)


def _missing(part: StockPart, section: str, told: set[str]) -> Iterator[ShoppingLine]:
    for name, count, size in part.missing:
        names = () if name in told else (name,)
        told.add(name)
        yield ShoppingLine(section, f"{part.material}, rough {size}", count, "piece", "nothing in the stock list holds it",
                           source="cut list", parts=names)


def _ordered(model: DeskModel, stock: Stock) -> Iterator[ShoppingLine]:
    for piece in pieces(model):
        if piece.number[0] != "P":
            continue
        part = piece.part
        assert isinstance(part, Plate)
        flat = flat_of(part)
        x0, y0, x1, y1 = flat.outline.bounds
        area, cut = (x1 - x0) * (y1 - y0) * 1e-6, cut_length(flat) * 1e-3
        n = len(piece.alike)
        yield ShoppingLine(
            SECTIONS[2], f"{piece.number} {part.material} {part.thickness:g} mm, "
            f"{round(x1 - x0, 2):g} × {round(y1 - y0, 2):g}"
            f"{', bent' if part.flanges else ''}", n, "plate" if n == 1 else "plates",
            f"{area:.3f} m² and {cut:.2f} m of cut each", price=_service(stock, piece, area, cut),
            source="drawing of the plate", parts=piece.names)


def _service(stock: Stock, piece: Piece, area: float, cut: float) -> float | None:
    part = piece.part
    assert isinstance(part, Plate)
    for each in stock.services:
        if each.material == part.material and abs(each.thickness - part.thickness) < 1e-6 and not part.flanges:
            return round(len(piece.alike) * (area * each.per_m2 + cut * each.per_m + each.each), 2)
    return None


def cut_length(part: Plate) -> float:
    """mm that are cut through: the outline and every opening and hole; where cuts meet it is a little too much."""
    total = _perimeter(part.outline)
    for feature in part.features:
        if _is_through(feature, part):
            total += sum(_perimeter(removal.profile) if isinstance(removal, Prism) else
                         math.pi * getattr(feature, "diameter", 0.0) for removal in feature.removals(part.blank))
    return total


def _is_through(feature: Feature, part: Plate) -> bool:
    if isinstance(feature, Bevel):
        return False
    if isinstance(feature, CutOut):
        return True
    depth = getattr(feature, "depth", None)
    return (isinstance(feature, Hole) and depth is None) or depth is None or depth >= part.thickness - 1e-6


def _perimeter(outline: Profile) -> float:
    total = 0.0
    for edge in outline.edges():
        (x0, y0), (x1, y1), bulge = edge
        radius, angle = arc_size(edge) if bulge else (0.0, 0.0)
        total += radius * angle if bulge else math.hypot(x1 - x0, y1 - y0)
    return total


def _hardware(model: DeskModel, stock: Stock) -> Iterator[ShoppingLine]:
    groups: dict[str, list[PlacedPart]] = {}
    for placed in model.parts:
        if isinstance(placed.part, Hardware):
            groups.setdefault(_sold_as(placed.part), []).append(placed)
    packs = {pack.item: pack for pack in stock.packs}
    for item in sorted(groups):
        first = groups[item][0].part
        assert isinstance(first, Hardware)
        count = len(groups[item]) // 2 if first.kind == "hinge" else len(groups[item])
        pack = packs.get(item)
        bought = None if pack is None else (math.ceil(count / pack.holds), float(pack.holds))
        price = None if pack is None or bought is None or pack.price is None else bought[0] * pack.price
        yield ShoppingLine(SECTIONS[3], item, count, "piece" if count == 1 else "pieces", first.material, bought,
                           price, first.source, tuple(placed.name for placed in groups[item]))


def _sold_as(part: Hardware) -> str:
    """A hinge is two leaves in the model and one thing in the shop."""
    return part.designation.partition(",")[0] if part.kind == "hinge" else part.designation


def _equipment(model: DeskModel, stock: Stock) -> Iterator[ShoppingLine]:
    prices = {each.item: each.price for each in stock.items}
    sheets: dict[tuple[str, str], list[PlacedPart]] = {}
    for placed in model.parts:
        if isinstance(placed.part, Component):
            sheets.setdefault((placed.part.sheet.removesuffix(".toml"), placed.part.source), []).append(placed)
    for (sheet, source), group in sorted(sheets.items()):
        price = prices.get(sheet)
        names = tuple(placed.name for placed in group)
        yield ShoppingLine(SECTIONS[4], sheet, len(group), "piece" if len(group) == 1 else "pieces", ", ".join(names),
                           price=None if price is None else price * len(group), source=f"data sheet: {source}", parts=names)


def _printed(model: DeskModel, stock: Stock, volumes: Mapping[str, float]) -> Iterator[ShoppingLine]:
    """By mass of the solid part: what the slicer leaves hollow or adds as support is not known here."""
    densities = {each.name: each.density for each in model.materials}
    groups: dict[tuple[str, bool], list[PlacedPart]] = {}
    for placed in model.parts:
        part = placed.part
        if isinstance(part, CustomShape) or (isinstance(part, Plate) and part.printed):
            groups.setdefault((part.material, part.printed), []).append(placed)
    for (material, printed), group in sorted(groups.items()):
        masses = [_kg(placed, densities.get(material), volumes) for placed in group]
        names = tuple(placed.name for placed in group)
        section, item = SECTIONS[5], f"{material} filament" if printed else f"{material}, for custom shapes"
        if any(mass is None for mass in masses):
            yield ShoppingLine(section, item, len(group), "parts", "volume unknown", parts=names, source="model")
            continue
        total = sum(mass for mass in masses if mass is not None)
        spool = next((each for each in stock.filaments if each.material == material), None) if printed else None
        packs = None if spool is None else (max(1, math.ceil(total / spool.holds)), spool.holds)
        price = None if spool is None or packs is None or spool.price is None else packs[0] * spool.price
        yield ShoppingLine(section, item, total, "kg", "printed solid, without supports" if printed else "", packs, price,
                           "model", names)


def _kg(placed: PlacedPart, density: float | None, volumes: Mapping[str, float]) -> float | None:
    part = placed.part
    assert isinstance(part, CustomShape | Plate)
    volume = volumes.get(placed.name)
    if volume is None and isinstance(part, Plate):
        moment = closed_form(part.blank, tuple(cut for f in part.features for cut in f.removals(part.blank)))
        volume = None if moment is None else moment[0]
    return None if volume is None or density is None else volume * 1e-9 * density


def _glue(model: DeskModel, stock: Stock) -> Iterator[ShoppingLine]:
    """Faces that meet, by kind of glue. What the dowels of a joint hold is glued too, end grain and all: PVAc."""
    areas: dict[str, float] = {}
    for joint in model.joints:
        veneer = joint.kind == "bond" and joint.glue is None
        dowelled = any(getattr(model.part(name).part, "kind", "") == "dowel" for name in joint.hardware)
        kind = joint.glue or ("for veneer" if veneer else "PVAc" if dowelled else None)
        if kind is not None:
            low, high = joint.region
            sides = sorted(b - a for a, b in zip(low, high, strict=True))
            areas[kind] = areas.get(kind, 0.0) + sides[1] * sides[2] * 1e-6
    for kind in sorted(areas):
        glue = next((each for each in stock.glues if each.kind == kind), None)
        area = areas[kind]
        detail = f"{area:.3f} m² to be glued, where the faces' boxes meet"
        if glue is None:
            yield ShoppingLine(SECTIONS[6], f"glue {kind}", area, "m²", "as its maker says", source="joints")
            continue
        mass = area * glue.spread
        packs = max(1, math.ceil(mass / glue.holds - 1e-9)), glue.holds
        yield ShoppingLine(SECTIONS[6], f"{kind} glue", mass, "kg", detail, packs,
                           None if glue.price is None else packs[0] * glue.price, "joints")
