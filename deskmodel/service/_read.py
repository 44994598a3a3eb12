"""Reading a service profile, ``service.toml`` beside the desk script: what the cutting service has and asks. Every value is
checked; a fault names file, line, key, value and what is allowed. A section that is left out is that of
``deskmodel/catalogue/service.toml``, assumed: what is said because of it is a warning.

    source = "price list 2025-03"   # where the values come from; "invented" says so

    [laser]
    kerf = 0.2                    # width of the cut
    tolerance = 1                 # class of ISO 9013: 1, 2
    bed = [3000, 1500]            # the largest sheet it takes
    margin = 10                   # border of a sheet that stays unused
    cuts = ["metal"]              # kinds of material that are sent there: metal, ply, plastic
    offers = ["countersink"]      # besides cutting and bending: countersink, counterbore, blind hole, pocket; [] none

    [limits]                      # least sizes, in thicknesses of the sheet
    hole = 1                      # diameter of a hole, width of a slot
    least_hole = 1                # mm, whatever the thickness
    web = 2                       # between two cuts
    edge = 1.5                    # from a cut to the plate's edge
    bend = 2                      # from a cut to a bend line, the bend's radius on top
    flange = 4                    # a flange, outside

    sheet = [                     # before the first [section]; or as [[sheet]] tables
        # film: none, one side, both sides; brushed: along the sheet's length, on one side;
        # hole, web, edge: least sizes of this sheet in mm, in place of [limits]
        { material = "steel", thickness = 1.5, size = [2500, 1250], film = "none", brushed = false, hole = 1.2 },
    ]
    bend = [                      # k: where the neutral fibre runs; v: width of the die; flange: the least, outside
        { material = "steel", thickness = 1.5, radius = 1.5, k = 0.45, v = 12, flange = 8.5, longest = 2000 },
    ]

Optional: of a sheet film, brushed, hole, web, edge; of a bend v, flange, longest; a ``source`` of its own for each.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any, TypeVar, cast, get_args

from deskmodel.component._file import read_table
from deskmodel.component._table import Table
from deskmodel.materials import material_names
from deskmodel.service._profile import (
    CUT_KINDS,
    FILMS,
    LIMITS,
    OPERATIONS,
    Laser,
    Limits,
    Service,
    ServiceBend,
    ServiceSection,
    Sheet,
)

__all__ = ["DEFAULT", "NAME", "default_service", "read_service", "service_beside"]

NAME = "service.toml"
DEFAULT = files("deskmodel") / "catalogue" / NAME
"""The profile of a service that has stated nothing."""

_SECTIONS: tuple[ServiceSection, ...] = get_args(ServiceSection)

T = TypeVar("T")


@cache
def default_service() -> Service:
    """The defaults, all of them assumed."""
    with as_file(DEFAULT) as path:
        made = _read(path, None)
    return Service(made.source, made.laser, made.limits, made.sheets, made.bends, _SECTIONS)


def read_service(path: Path | str) -> Service:
    """The service of a profile. InputFault where the file is at fault."""
    return _read(Path(path), default_service())


def service_beside(script: Path | str) -> Service:
    """The service of the profile beside a desk script; the defaults where there is none."""
    path = Path(script).parent / NAME
    return read_service(path) if path.exists() else default_service()


def _read(path: Path, other: Service | None) -> Service:
    table = read_table(path, "service profile")
    source = table.text("source")
    stated = [section for section in _SECTIONS if table.has(section)]
    laser = _single(table, "laser", source, _laser)
    limits = _single(table, "limits", source, _limits)
    sheets = tuple(_entry(each, source, _sheet) for each in table.one_or_more("sheet"))
    bends = tuple(_entry(each, source, _bend) for each in table.one_or_more("bend"))
    table.finish()
    if other is not None:
        laser, limits = laser or other.laser, limits or other.limits
        sheets = sheets if "sheet" in stated else other.sheets
        bends = bends if "bend" in stated else other.bends
    assert laser is not None  # the defaults have both
    assert limits is not None
    return Service(source, laser, limits, sheets, bends, tuple(section for section in _SECTIONS if section not in stated))


def _single(table: Table, section: ServiceSection, source: str, read: Callable[[Table, str], T]) -> T | None:
    entries = table.one_or_more(section)
    if len(entries) > 1 or (table.has(section) and not entries):
        raise table.fault(section, f"{len(entries)} of them", f"one [{section}]")
    return _entry(entries[0], source, read) if entries else None


def _entry(entry: Table, source: str, read: Callable[[Table, str], T]) -> T:
    made = read(entry, entry.text("source") if entry.has("source") else source)
    entry.finish()
    return made


def _size(entry: Table, section: str, key: str) -> float:
    low, high = LIMITS[f"{section} {key}"]
    return entry.number(key, low=low, high=high, unit="thicknesses" if section == "limits" and key != "least_hole" else "mm")


def _perhaps(entry: Table, section: str, key: str) -> float | None:
    return _size(entry, section, key) if entry.optional(key) else None


def _pair(entry: Table, section: str, key: str) -> tuple[float, float]:
    low, high = LIMITS[f"{section} {key}"]
    first, second = entry.vector(key, 2, low=low, high=high)
    return first, second


def _laser(entry: Table, source: str) -> Laser:
    tolerance = entry.number("tolerance", low=1, high=2, unit="ISO 9013 classes")
    if tolerance not in (1, 2):
        raise entry.fault("tolerance", f"{tolerance:g}", "1, 2")
    cuts, offers = entry.words("cuts", CUT_KINDS), entry.words("offers", OPERATIONS)
    kerf, margin = (_size(entry, "laser", key) for key in ("kerf", "margin"))
    return Laser(kerf, int(tolerance), _pair(entry, "laser", "bed"), margin, cast(Any, cuts), cast(Any, offers), source)


def _limits(entry: Table, source: str) -> Limits:
    hole, least, web, edge, bend, flange = (_size(entry, "limits", key)
                                            for key in ("hole", "least_hole", "web", "edge", "bend", "flange"))
    return Limits(hole, least, web, edge, bend, flange, source)


def _material(entry: Table) -> str:
    return entry.choice("material", material_names())


def _sheet(entry: Table, source: str) -> Sheet:
    thickness, size = _size(entry, "sheet", "thickness"), _pair(entry, "sheet", "size")
    film = cast(Any, entry.choice("film", FILMS, "none"))
    return Sheet(_material(entry), thickness, size, source, film, entry.flag("brushed"),
                 *(_perhaps(entry, "sheet", key) for key in ("hole", "web", "edge")))


def _bend(entry: Table, source: str) -> ServiceBend:
    thickness, radius, k = (_size(entry, "bend", key) for key in ("thickness", "radius", "k"))
    return ServiceBend(_material(entry), thickness, radius, k, source,
                       *(_perhaps(entry, "bend", key) for key in ("v", "flange", "longest")))
