"""Reading a stock list, ``stock.toml`` beside the desk script: what can be bought and what lies there. Every value is
checked; a fault names file, line, key, value and what is allowed. A section that is left out is that of
``deskmodel/catalogue/stock.toml``: common sizes without prices. It shapes no part: the revision does not change with it.

    source = "price list of my timber yard, 2025-03"     # "invented" says so
    currency = "EUR"              # of all prices; a price that is left out stays unknown

    [[board]]                     # rough, ripped to strips; waney or random in width
    material = "ash"              # or "any timber"
    thickness = 27                # as sold: it is planed to what the desk wants
    length = 2500
    width = [140, 165, 180]       # one board of each; or one number, then with count
    price = 31.5                  # of one; or per_m3 = 2400
    on_hand = true                # yours already: taken first, costs nothing

    [[bar]]                       # square-edged
    material = "ash"
    section = [65, 25]            # as sold
    length = 2000
    count = 12                    # how many there are; left out: as many as wanted (of what is on hand: one)

    [[sheet]]                     # ply, plastic, also metal that you cut yourself
    material = "birch ply"        # or "any ply", "any plastic"
    thickness = 6                 # left out: of any thickness
    size = [2500, 1250]           # the first along the grain of its face
    grain = true                  # left out: pieces may be turned

    [[leaf]]                      # of veneer; its grain runs along the first, always
    material = "ash veneer"       # or "any veneer"
    size = [2500, 180]

    [[pack]]                      # hardware
    item = "dowel 8 × 40"         # as the shopping list names it
    holds = 100
    price = 6.9

    [[service]]                   # plates cut to order
    material = "steel"
    thickness = 1.5
    per_m2 = 38.0
    per_m = 1.2                   # of cut; left out: 0
    each = 4.0                    # for every plate; left out: 0

    [[glue]]
    kind = "PVAc"                 # or elastic, contact
    spread = 0.18                 # kg for a square metre of joint
    holds = 0.5                   # kg in a bottle
    price = 8.5

    [[filament]]
    material = "PETG"
    holds = 1                     # kg on a spool

    [[item]]                      # anything else that the shopping list names
    item = "network-switch"
    price = 49
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Literal, get_args

from deskmodel.component._file import read_table
from deskmodel.component._table import Table
from deskmodel.materials import material_names
from deskmodel.stock._goods import Filament, Glue, Pack, Priced, Service, Sheet, Stock, StockSection, Timber

__all__ = ["ANY", "DEFAULT", "NAME", "default_stock", "read_stock", "stock_beside"]

NAME = "stock.toml"
DEFAULT = files("deskmodel") / "catalogue" / NAME
"""The stock that is assumed where none is stated."""

ANY = {"timber": "any timber", "ply": "any ply", "plastic": "any plastic", "veneer": "any veneer"}
"""What a list may say for all materials of a kind."""

_GLUES = ("PVAc", "elastic", "contact")
_PRICE = 1_000_000.0
_COUNT = 1_000_000


@cache
def default_stock() -> Stock:
    """The common sizes, all of them assumed."""
    with as_file(DEFAULT) as path:
        return replace(_read(path), assumed=get_args(StockSection))


def read_stock(path: Path | str) -> Stock:
    """The stock of a list; sections that it leaves out are assumed. InputFault where the file is at fault."""
    stock = _read(Path(path))
    other = default_stock()
    assumed = set(stock.assumed)
    timber = [*stock.timber, *(each for each in other.timber if assumed >= {"bar", "board"})]
    sheets = [*stock.sheets, *(each for each in other.sheets if each.kind in assumed)]
    return replace(stock, timber=tuple(timber), sheets=tuple(sheets),
                   glues=other.glues if "glue" in assumed else stock.glues,
                   filaments=other.filaments if "filament" in assumed else stock.filaments)


def stock_beside(script: Path | str) -> Stock:
    """The stock of the list beside a desk script; the common sizes where there is none."""
    path = Path(script).parent / NAME
    return read_stock(path) if path.exists() else default_stock()


def _read(path: Path) -> Stock:
    table = read_table(path, "stock list")
    if not table.has("source"):  # else a section with a name like it would be taken for it
        raise table.fault("source", "missing", "a text of 1 to 300 characters")
    source = table.text("source")
    currency = table.text("currency") if table.has("currency") else ""
    assumed = tuple(section for section in get_args(StockSection) if not table.has(section))
    timber = [made for kind in ("bar", "board") for entry in table.one_or_more(kind)
              for made in _timber(entry, kind)]
    sheets = [_sheet(entry, kind) for kind in ("sheet", "leaf")
              for entry in table.one_or_more(kind)]
    packs = tuple(_pack(entry) for entry in table.one_or_more("pack"))
    services = tuple(_service(entry) for entry in table.one_or_more("service"))
    glues = tuple(_glue(entry) for entry in table.one_or_more("glue"))
    filaments = tuple(_filament(entry) for entry in table.one_or_more("filament"))
    items = tuple(_priced(entry) for entry in table.one_or_more("item"))
    stock = Stock(source, currency, tuple(timber), tuple(sheets), packs, services, glues, filaments, items, assumed)
    if not currency and any(price for price in _prices(stock)):
        raise table.fault("currency", "missing", 'a text, "EUR": there are prices in the list')
    table.finish()
    return stock


def _prices(stock: Stock) -> Iterator[float | None]:
    for goods in (stock.timber, stock.sheets, stock.packs, stock.glues, stock.filaments, stock.items):
        yield from (each.price for each in goods)
    yield from (each.per_m2 for each in stock.services)


def _timber(entry: Table, kind: Literal["bar", "board"]) -> Iterator[Timber]:
    material = _material(entry, ("timber",))
    length = entry.number("length", low=50, high=10_000)
    if kind == "bar":
        width, thickness = entry.vector("section", 2, low=3, high=1000)
        widths, several = [width], False
    else:
        thickness = entry.number("thickness", low=3, high=500)
        widths, several = _widths(entry)
    on_hand = entry.flag("on_hand")
    count = 1 if several else _count(entry, on_hand)
    per_m3 = _price(entry, "per_m3") if kind == "board" and entry.has("per_m3") else None
    price = _price(entry)
    if per_m3 is not None and price is not None:
        raise entry.fault("per_m3", f"{per_m3:g} beside a price", "one of the two")
    if on_hand and (price or per_m3):
        raise entry.fault("price" if price else "per_m3", f"{price or per_m3:g} for what is on hand", "no price")
    entry.finish()
    for width in widths:
        volume = length * width * thickness * 1e-9
        yield Timber(kind, material, length, width, thickness, count,
                     round(per_m3 * volume, 2) if per_m3 is not None else price, on_hand)


def _widths(entry: Table) -> tuple[list[float], bool]:
    """The widths of boards, and whether they are one board each."""
    widths = entry.numbers("width", low=10, high=2000)
    if len(widths) > 1 and entry.has("count"):
        raise entry.fault("count", "beside several widths", "one board of each width, without a count")
    return widths, len(widths) > 1


def _sheet(entry: Table, kind: Literal["sheet", "leaf"]) -> Sheet:
    leaf = kind == "leaf"
    material = _material(entry, ("veneer",) if leaf else ("ply", "plastic", "metal", "glass", "timber"))
    thickness = entry.number("thickness", low=0.1, high=100) if entry.has("thickness") else None
    length, width = entry.vector("size", 2, low=20, high=10_000)
    grain = True if leaf else entry.flag("grain")
    on_hand = entry.flag("on_hand")
    made = Sheet(kind, material, thickness, length, width, grain, _count(entry, on_hand), _price(entry), on_hand)
    if on_hand and made.price:
        raise entry.fault("price", f"{made.price:g} for what is on hand", "no price")
    entry.finish()
    return made


def _pack(entry: Table) -> Pack:
    pack = Pack(entry.text("item"), entry.whole("holds", low=1, high=_COUNT), _price(entry))
    entry.finish()
    return pack


def _service(entry: Table) -> Service:
    made = Service(_material(entry, ("metal", "glass", "ply", "plastic")), entry.number("thickness", low=0.1, high=100),
                   entry.number("per_m2", low=0, high=_PRICE, unit="currency"),
                   entry.number("per_m", low=0, high=_PRICE, default=0.0, unit="currency"),
                   entry.number("each", low=0, high=_PRICE, default=0.0, unit="currency"))
    entry.finish()
    return made


def _glue(entry: Table) -> Glue:
    made = Glue(entry.choice("kind", _GLUES), entry.number("spread", low=0.01, high=10, unit="kg/m²"),
                entry.number("holds", low=0.005, high=100, unit="kg"), _price(entry))
    entry.finish()
    return made


def _filament(entry: Table) -> Filament:
    made = Filament(_material(entry, ("plastic",)), entry.number("holds", low=0.05, high=50, unit="kg"), _price(entry))
    entry.finish()
    return made


def _priced(entry: Table) -> Priced:
    made = Priced(entry.text("item"), entry.number("price", low=0, high=_PRICE, unit="currency"))
    entry.finish()
    return made


def _material(entry: Table, kinds: tuple[str, ...]) -> str:
    allowed = (*(ANY[kind] for kind in kinds if kind in ANY), *material_names(kinds))
    return entry.choice("material", allowed)


def _count(entry: Table, on_hand: bool) -> int | None:
    if not entry.has("count"):
        return 1 if on_hand else None
    return entry.whole("count", low=1, high=_COUNT)


def _price(entry: Table, key: str = "price") -> float | None:
    return entry.number(key, low=0, high=_PRICE, unit="currency") if entry.has(key) else None
