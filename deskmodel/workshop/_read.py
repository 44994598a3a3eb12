"""Reading a workshop profile, ``workshop.toml`` beside the desk script. Every value is checked; a fault names file, line,
key, value and what is allowed. A section that is left out is that of ``deskmodel/catalogue/workshop.toml``.

    source = "measured 2025-03"   # where the values come from; "invented" says so

    bit = [                       # kind: twist, brad-point, Forstner
        # length: what can go into the wood, from the tip; point: full angle of the cone from rim to tip, degrees
        { diameter = 8, kind = "brad-point", length = 75, point = 118 },
    ]
    countersink = [{ diameter = 10.4, angle = 90 }]       # the widest it cuts; full angle
    bush = [{ bore = 8.02, outside = 12, length = 16, seat = "press" }]   # bore as measured; seat: press, slide

    [saw]
    kerf = 2.4
    angle = [0, 47]               # least and greatest tilt of the blade, degrees

    [planer]
    width = 260
    thinnest = 5                  # it planes down to this

    [printer]
    bed = [220, 220, 250]         # x, y, z
    nozzle = 0.4
    seat = 0.1                    # allowance on each side of a printed seat
    wall = 3                      # the thinnest that carries anything

    [hand_drill]
    diameter = 70                 # of its body, about the axis of the chuck
    length = 220                  # of its body, from the chuck's mouth

    [allowance]                   # what is cut too large, and what is lost
    length = 20                   # a rough member is longer, wider, thicker than the planed one by
    width = 4
    thickness = 3
    end = 15                      # off each raw end of a bar or board, its saw cut included
    edge = 5                      # off each raw edge of a board
    sheet = 8                     # off each edge of a sheet
    veneer = 10                   # a leaf stands out over its plate on each side by

    [paper]
    bar = [99.7, 100.2]           # what the check bars of 100 along and across a page measure; templates are corrected

A tool may have a ``source`` of its own. ``bit = []`` says that there is none; ``[[bit]]`` tables do as well.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Literal, TypeVar, cast, get_args

from deskmodel.component._file import read_table
from deskmodel.component._table import Table
from deskmodel.workshop._profile import (
    LIMITS,
    Allowance,
    Bit,
    BitKind,
    Bush,
    BushSeat,
    Countersink,
    HandDrill,
    Planer,
    Printer,
    PrintScale,
    Saw,
    Section,
    Workshop,
)

__all__ = ["DEFAULT", "NAME", "allowance_of", "default_workshop", "kerf_of", "read_workshop", "workshop_beside"]

NAME = "workshop.toml"
DEFAULT = files("deskmodel") / "catalogue" / NAME
"""The profile of a shop that has stated none."""

T = TypeVar("T")


@cache
def default_workshop() -> Workshop:
    """The defaults, all of them assumed."""
    with as_file(DEFAULT) as path:
        profile = _read(path)
    return Workshop(profile.source, profile.bits, profile.countersinks, profile.bushes, profile.saw, profile.planer,
                    profile.printer, profile.hand_drill, profile.allowance, None, get_args(Section))


def read_workshop(path: Path | str) -> Workshop:
    """The workshop of a profile. InputFault where the file is at fault."""
    return _read(Path(path))


def workshop_beside(script: Path | str) -> Workshop:
    """The workshop of the profile beside a desk script; the defaults where there is none."""
    path = Path(script).parent / NAME
    return _read(path) if path.exists() else default_workshop()


def allowance_of(workshop: Workshop) -> Allowance:
    """Its allowances, the default ones where it has none."""
    found = workshop.allowance or default_workshop().allowance
    assert found is not None
    return found


def kerf_of(workshop: Workshop) -> float:
    """mm that its saw takes, that of the default saw where it has none."""
    saw = workshop.saw or default_workshop().saw
    assert saw is not None
    return saw.kerf


def _read(path: Path) -> Workshop:
    table = read_table(path, "workshop profile")
    source = table.text("source")
    stated = [section for section in get_args(Section) if table.has(section)]
    bits = _several(table, "bit", source, _bit)
    countersinks = _several(table, "countersink", source, _countersink)
    bushes = _several(table, "bush", source, _bush)
    saw = _single(table, "saw", source, _saw)
    planer = _single(table, "planer", source, _planer)
    printer = _single(table, "printer", source, _printer)
    hand_drill = _single(table, "hand_drill", source, _hand_drill)
    allowance = _single(table, "allowance", source, _allowance)
    paper = _single(table, "paper", source, _paper)
    table.finish()
    assumed: tuple[Section, ...] = tuple(section for section in get_args(Section) if section not in stated)
    if not assumed:
        return Workshop(source, bits, countersinks, bushes, saw, planer, printer, hand_drill, allowance, paper)
    other = default_workshop()
    return Workshop(source, bits if "bit" in stated else other.bits,
                    countersinks if "countersink" in stated else other.countersinks,
                    bushes if "bush" in stated else other.bushes, saw or other.saw, planer or other.planer,
                    printer or other.printer, hand_drill or other.hand_drill, allowance or other.allowance, paper, assumed)


def _several(table: Table, section: Section, source: str, read: Callable[[Table, str], T]) -> tuple[T, ...]:
    return tuple(_tool(entry, source, read) for entry in table.one_or_more(section))


def _single(table: Table, section: Section | Literal["paper"], source: str, read: Callable[[Table, str], T]) -> T | None:
    entries = table.one_or_more(section)
    if len(entries) > 1 or (table.has(section) and not entries):
        raise table.fault(section, f"{len(entries)} of them", f"one [{section}]")
    return _tool(entries[0], source, read) if entries else None


def _tool(entry: Table, source: str, read: Callable[[Table, str], T]) -> T:
    made = read(entry, entry.text("source") if entry.has("source") else source)
    entry.finish()
    return made


def _size(entry: Table, section: Section, key: str) -> float:
    low, high = LIMITS[f"{section} {key}"]
    return entry.number(key, low=low, high=high)


def _bit(entry: Table, source: str) -> Bit:
    kind = cast(BitKind, entry.choice("kind", get_args(BitKind)))
    return Bit(_size(entry, "bit", "diameter"), kind, _size(entry, "bit", "length"), _size(entry, "bit", "point"), source)


def _countersink(entry: Table, source: str) -> Countersink:
    return Countersink(_size(entry, "countersink", "diameter"), _size(entry, "countersink", "angle"), source)


def _bush(entry: Table, source: str) -> Bush:
    bore, outside = _size(entry, "bush", "bore"), _size(entry, "bush", "outside")
    if outside <= bore:
        raise entry.fault("outside", f"{outside:g}", f"over its bore, {bore:g}")
    seat = cast(BushSeat, entry.choice("seat", get_args(BushSeat)))
    return Bush(bore, outside, _size(entry, "bush", "length"), seat, source)


def _saw(entry: Table, source: str) -> Saw:
    low, high = LIMITS["saw angle"]
    least, greatest = entry.vector("angle", 2, low=low, high=high)
    if least > greatest:
        raise entry.fault("angle", f"[{least:g}, {greatest:g}]", "[least, greatest]")
    return Saw(_size(entry, "saw", "kerf"), (least, greatest), source)


def _planer(entry: Table, source: str) -> Planer:
    return Planer(_size(entry, "planer", "width"), _size(entry, "planer", "thinnest"), source)


def _printer(entry: Table, source: str) -> Printer:
    low, high = LIMITS["printer bed"]
    x, y, z = entry.vector("bed", 3, low=low, high=high)
    nozzle, seat, wall = (_size(entry, "printer", key) for key in ("nozzle", "seat", "wall"))
    return Printer((x, y, z), nozzle, seat, wall, source)


def _paper(entry: Table, source: str) -> PrintScale:
    low, high = LIMITS["paper bar"]
    x, y = entry.vector("bar", 2, low=low, high=high)
    return PrintScale((x, y), source)


def _hand_drill(entry: Table, source: str) -> HandDrill:
    return HandDrill(_size(entry, "hand_drill", "diameter"), _size(entry, "hand_drill", "length"), source)


def _allowance(entry: Table, source: str) -> Allowance:
    length, width, thickness, end, edge, sheet, veneer = (
        _size(entry, "allowance", key) for key in ("length", "width", "thickness", "end", "edge", "sheet", "veneer"))
    return Allowance(length, width, thickness, end, edge, sheet, veneer, source)
