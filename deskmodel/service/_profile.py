"""The service profile as data. mm throughout; each entry says where its values come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal, get_args

from deskmodel._numbers import check_text, is_number, number, told
from deskmodel.errors import InputFault
from deskmodel.materials import material as material_named

__all__ = ["CUT_KINDS", "FILMS", "LIMITS", "OPERATIONS", "SAME_THICKNESS", "Laser", "Limit", "Limits", "Operation",
           "Service", "ServiceBend", "ServiceSection", "Sheet"]

ServiceSection = Literal["laser", "limits", "sheet", "bend"]
Operation = Literal["countersink", "counterbore", "blind hole", "pocket"]
OPERATIONS: tuple[str, ...] = get_args(Operation)
CutKind = Literal["metal", "ply", "plastic"]
CUT_KINDS: tuple[str, ...] = get_args(CutKind)
Film = Literal["none", "one side", "both sides"]
FILMS: tuple[str, ...] = get_args(Film)

_SINK = 4  # thicknesses
_SINK_SOURCE = "guidelines of sheet-metal services on countersinks"

SAME_THICKNESS = 0.01
"""mm. Sheets of thicknesses nearer than this are one."""

LIMITS: dict[str, tuple[float, float]] = {
    "laser kerf": (0.01, 8), "laser tolerance": (1, 2), "laser margin": (0, 100), "laser bed": (100, 10_000),
    "limits hole": (0, 10), "limits least_hole": (0, 50), "limits web": (0, 20), "limits edge": (0, 20),
    "limits bend": (0, 20), "limits flange": (0, 40),
    "sheet thickness": (0.1, 50), "sheet size": (50, 10_000), "sheet hole": (0.05, 100), "sheet web": (0.05, 100),
    "sheet edge": (0, 100),
    "bend thickness": (0.1, 50), "bend radius": (0.01, 200), "bend k": (0, 1), "bend v": (1, 500), "bend flange": (0.5, 500),
    "bend longest": (10, 10_000),
}
"""From and to. ``limits`` are in thicknesses of the sheet, ``least_hole`` and all others in mm."""


def _settle(entry: Any, section: str, *names: str) -> None:
    """Each of these fields a float within its limits, or None where that may be; InputFault else."""
    for name in names:
        value = getattr(entry, name)
        low, high = LIMITS[f"{section} {name}"]
        if value is not None:
            object.__setattr__(entry, name, number(f"{section} {name}", value, low, high, "mm"))


def _settle_size(entry: Any, section: str, name: str) -> None:
    value = getattr(entry, name)
    low, high = LIMITS[f"{section} {name}"]
    if not isinstance(value, tuple | list) or len(value) != 2:
        raise InputFault(f"{section} {name} {told(value)}", allowed="(length, width) in mm")
    object.__setattr__(entry, name, tuple(number(f"{section} {name}", each, low, high, "mm") for each in value))


def _settle_words(what: str, value: Any, allowed: tuple[str, ...]) -> tuple[str, ...]:
    if not isinstance(value, tuple | list) or not all(isinstance(each, str) and each in allowed for each in value):
        raise InputFault(f"{what} {told(value)}", allowed=f"a list of: {', '.join(allowed)}")
    return tuple(sorted(set(value), key=allowed.index))


@dataclass(frozen=True, slots=True)
class Laser:
    """``kerf``: width of its cut; ``tolerance``: class of ISO 9013; ``bed``: the largest sheet it takes; ``margin``: border
    of a sheet that stays unused; ``cuts``: kinds of material; ``offers``: what the service does to a plate besides cutting
    and bending."""

    kerf: float
    tolerance: int
    bed: tuple[float, float]
    margin: float
    cuts: tuple[CutKind, ...]
    offers: tuple[Operation, ...]
    source: str

    def __post_init__(self) -> None:
        _settle(self, "laser", "kerf", "margin")
        if not is_number(self.tolerance) or self.tolerance not in (1, 2):
            raise InputFault(f"laser tolerance {told(self.tolerance)}", allowed="1, 2: the class of ISO 9013")
        object.__setattr__(self, "tolerance", int(self.tolerance))
        _settle_size(self, "laser", "bed")
        object.__setattr__(self, "cuts", _settle_words("laser cuts", self.cuts, CUT_KINDS))
        object.__setattr__(self, "offers", _settle_words("laser offers", self.offers, OPERATIONS))


@dataclass(frozen=True, slots=True)
class Limits:
    """Least sizes in thicknesses of the sheet: a ``hole``'s diameter (never below ``least_hole`` mm), the ``web`` between
    two cuts, from a cut to the plate's ``edge``, from a cut to a ``bend`` line (the bend's radius on top), a
    ``flange`` outside."""

    hole: float
    least_hole: float
    web: float
    edge: float
    bend: float
    flange: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "limits", "hole", "least_hole", "web", "edge", "bend", "flange")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet that the service has. ``size`` (length, width); ``brushed``: along its length, on one side; ``film``:
    protective. ``hole``, ``web``, ``edge``: least sizes of this sheet in mm; None: by ``Limits``."""

    material: str
    thickness: float
    size: tuple[float, float]
    source: str
    film: Film = "none"
    brushed: bool = False
    hole: float | None = None
    web: float | None = None
    edge: float | None = None

    def __post_init__(self) -> None:
        material_named(self.material)
        _settle(self, "sheet", "thickness", "hole", "web", "edge")
        _settle_size(self, "sheet", "size")
        if not isinstance(self.film, str) or self.film not in FILMS:
            raise InputFault(f"sheet film {told(self.film)}", allowed=", ".join(FILMS))
        if not isinstance(self.brushed, bool):
            raise InputFault(f"sheet brushed {told(self.brushed)}", allowed="True or False")

    @property
    def text(self) -> str:
        return f"{self.material} {self.thickness:g}, {self.size[0]:g} × {self.size[1]:g}"


@dataclass(frozen=True, slots=True)
class ServiceBend:
    """How a sheet is bent: inside ``radius`` and ``k`` that come of it, width ``v`` of the die, least ``flange`` outside,
    ``longest`` bend; None: not stated."""

    material: str
    thickness: float
    radius: float
    k: float
    source: str
    v: float | None = None
    flange: float | None = None
    longest: float | None = None

    def __post_init__(self) -> None:
        material_named(self.material)
        _settle(self, "bend", "thickness", "radius", "k", "v", "flange", "longest")


@dataclass(frozen=True, slots=True)
class Limit:
    """A least size, mm; ``stated``: by the service itself, a fact of it; else assumed."""

    value: float
    stated: bool
    source: str


@dataclass(frozen=True, slots=True)
class Service:
    """What a cutting service has and asks. ``assumed``: the sections that it did not state itself; what a check says because
    of them is no fact of this service."""

    source: str
    laser: Laser
    limits: Limits
    sheets: tuple[Sheet, ...] = ()
    bends: tuple[ServiceBend, ...] = ()
    assumed: tuple[ServiceSection, ...] = ()

    def __post_init__(self) -> None:
        check_text("source of a service", self.source)
        for what, kind in (("sheets", Sheet), ("bends", ServiceBend)):
            given = getattr(self, what)
            if not isinstance(given, tuple | list) or not all(isinstance(each, kind) for each in given):
                raise InputFault(f"{what} {told(given)}", allowed=f"a tuple of {kind.__name__}(…)")
            object.__setattr__(self, what, tuple(sorted(set(given), key=repr)))  # their order in the file shapes nothing
        object.__setattr__(self, "assumed", tuple(sorted(self.assumed)))

    def states(self, section: ServiceSection) -> bool:
        return section not in self.assumed

    def sheets_of(self, material: str, thickness: float) -> list[Sheet]:
        """From the largest."""
        found: list[Sheet] = _same(self.sheets, material, thickness)
        return sorted(found, key=lambda sheet: (-sheet.size[0] * sheet.size[1], repr(sheet)))

    def bends_of(self, material: str, thickness: float) -> list[ServiceBend]:
        """From the tightest."""
        return sorted(_same(self.bends, material, thickness), key=lambda bend: (bend.radius, repr(bend)))

    def bend_of(self, material: str, thickness: float, radius: float) -> ServiceBend | None:
        """The bend whose radius is nearest; None: none stated for that sheet."""
        return min(self.bends_of(material, thickness), key=lambda bend: abs(bend.radius - radius), default=None)

    def least_hole(self, material: str, thickness: float) -> Limit:
        by_rule = max(self.limits.hole * thickness, self.limits.least_hole)
        return self._limit("hole", material, thickness, by_rule)

    def least_web(self, material: str, thickness: float) -> Limit:
        return self._limit("web", material, thickness, self.limits.web * thickness)

    def least_edge(self, material: str, thickness: float) -> Limit:
        return self._limit("edge", material, thickness, self.limits.edge * thickness)

    def least_to_bend(self, thickness: float, radius: float) -> Limit:
        return Limit(self.limits.bend * thickness + radius, self.states("limits"), self.limits.source)

    def sink_to_edge(self, thickness: float) -> Limit:
        """From the middle of a countersink to the plate's edge; a guideline, no service states it here."""
        return Limit(_SINK * thickness, False, f"{_SINK_SOURCE}, {_SINK} t from an edge")

    def sink_to_bend(self, thickness: float, radius: float) -> Limit:
        """The same to a bend line."""
        return Limit(_SINK * thickness + radius, False, f"{_SINK_SOURCE}, {_SINK} t + R from a bend")

    def least_flange(self, material: str, thickness: float, radius: float) -> Limit:
        """Stated with the bend; else 0.7 of the die's width (common press-brake rule, from memory); else by ``Limits``."""
        bend = self.bend_of(material, thickness, radius)
        if bend is not None and bend.flange is not None:
            return Limit(bend.flange, self.states("bend"), bend.source)
        if bend is not None and bend.v is not None:
            return Limit(0.7 * bend.v, False, "0.7 of the die's width V (from memory)")
        return Limit(self.limits.flange * thickness, self.states("limits"), self.limits.source)

    def _limit(self, name: str, material: str, thickness: float, by_rule: float) -> Limit:
        stated = [(value, sheet.source) for sheet in self.sheets_of(material, thickness)
                  if (value := getattr(sheet, name)) is not None]
        if stated:
            value, source = max(stated)  # of several sizes of one sheet the strictest
            return Limit(value, self.states("sheet"), source)
        return Limit(by_rule, self.states("limits"), self.limits.source)


def _same(entries: Iterable[Any], material: str, thickness: float) -> list[Any]:
    return [each for each in entries if each.material == material and abs(each.thickness - thickness) <= SAME_THICKNESS]
