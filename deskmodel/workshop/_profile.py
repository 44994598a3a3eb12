"""The workshop profile as data. mm and degrees throughout; each tool says where its values come from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Literal, get_args

from deskmodel._numbers import check_text, number, told
from deskmodel.errors import InputFault

__all__ = ["LIMITS", "SAME_DIAMETER", "Allowance", "Bit", "BitKind", "Bush", "BushSeat", "Countersink", "HandDrill",
           "Planer", "PrintScale", "Printer", "Saw", "Section", "Workshop"]

BitKind = Literal["twist", "brad-point", "Forstner"]
BushSeat = Literal["press", "slide"]
Section = Literal["bit", "countersink", "saw", "planer", "printer", "bush", "hand_drill", "allowance"]

SAME_DIAMETER = 0.05
"""mm. A bit this near to a hole's diameter is its bit: sets go in steps of 0.1 (common practice)."""

LIMITS: dict[str, tuple[float, float]] = {
    "bit diameter": (0.5, 100), "bit length": (3, 600), "bit point": (60, 180),
    "countersink diameter": (2, 80), "countersink angle": (30, 150),
    "saw kerf": (0.2, 8), "saw angle": (-60, 60),
    "planer width": (50, 1000), "planer thinnest": (0.5, 50),
    "printer bed": (50, 2000), "printer nozzle": (0.1, 2), "printer seat": (0, 1), "printer wall": (0.2, 20),
    "bush bore": (1, 60), "bush outside": (2, 100), "bush length": (3, 150),
    "hand_drill diameter": (20, 200), "hand_drill length": (50, 500),
    "allowance length": (0, 200), "allowance width": (0, 30), "allowance thickness": (0, 20), "allowance end": (0, 200),
    "paper bar": (90, 110),
    "allowance edge": (0, 60), "allowance sheet": (0, 60), "allowance veneer": (0, 60),
}
"""From and to, mm or degrees. A value beyond is a slip of the decimal point."""


def _settle(tool: Any, section: str, *names: str) -> None:
    """Each of these fields a float within its limits; InputFault else."""
    for name in names:
        low, high = LIMITS[f"{section} {name}"]
        unit = "degrees" if name in ("point", "angle") else "mm"
        object.__setattr__(tool, name, number(f"{section} {name}", getattr(tool, name), low, high, unit))


def _one_of(what: str, value: Any, allowed: tuple[str, ...]) -> None:
    if not isinstance(value, str) or value not in allowed:
        raise InputFault(f"{what} {told(value)}", allowed=", ".join(allowed))


@dataclass(frozen=True, slots=True)
class Bit:
    """``length``: what can go into the wood, from the tip to where chips no longer come out or the chuck begins.
    ``point``: full angle of the cone from the rim to the tip; of brad-point and Forstner bits the one that encloses their
    centre point, 180 for a bit without any."""

    diameter: float
    kind: BitKind
    length: float
    point: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "bit", "diameter", "length", "point")
        _one_of("bit kind", self.kind, get_args(BitKind))

    @property
    def tip(self) -> float:
        """mm from the full diameter to the tip."""
        return self.diameter / 2 / math.tan(math.radians(self.point / 2))

    @property
    def text(self) -> str:
        return f"{self.kind} bit {self.diameter:g}"


@dataclass(frozen=True, slots=True)
class Countersink:
    """``diameter``: the widest it cuts; ``angle``: full angle of its cone."""

    diameter: float
    angle: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "countersink", "diameter", "angle")

    @property
    def text(self) -> str:
        return f"countersink {self.diameter:g}, {self.angle:g}°"


@dataclass(frozen=True, slots=True)
class Saw:
    """``kerf`` of its blade; ``angle``: least and greatest tilt of the blade."""

    kerf: float
    angle: tuple[float, float]
    source: str

    def __post_init__(self) -> None:
        _settle(self, "saw", "kerf")
        low, high = LIMITS["saw angle"]
        if not isinstance(self.angle, tuple | list) or len(self.angle) != 2:
            raise InputFault(f"saw angle {told(self.angle)}", allowed="(least, greatest) in degrees")
        least, greatest = (number("saw angle", each, low, high, "degrees") for each in self.angle)
        if least > greatest:
            raise InputFault(f"saw angle from {least:g} to {greatest:g}", allowed="(least, greatest) in degrees")
        object.__setattr__(self, "angle", (least, greatest))


@dataclass(frozen=True, slots=True)
class Planer:
    """``width`` it takes, and the ``thinnest`` that it planes to."""

    width: float
    thinnest: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "planer", "width", "thinnest")


@dataclass(frozen=True, slots=True)
class Printer:
    """``bed``: x, y, z that it prints; ``seat``: allowance on each side between a printed seat and what goes into it;
    ``wall``: the thinnest wall that is to carry anything."""

    bed: tuple[float, float, float]
    nozzle: float
    seat: float
    wall: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "printer", "nozzle", "seat", "wall")
        low, high = LIMITS["printer bed"]
        if not isinstance(self.bed, tuple | list) or len(self.bed) != 3:
            raise InputFault(f"printer bed {told(self.bed)}", allowed="(x, y, z) in mm")
        object.__setattr__(self, "bed", tuple(number("printer bed", each, low, high, "mm") for each in self.bed))


@dataclass(frozen=True, slots=True)
class Bush:
    """A drill bush: ``bore`` as measured, ``outside`` diameter, ``length`` in which it guides; pressed into its jig or slid
    in."""

    bore: float
    outside: float
    length: float
    seat: BushSeat
    source: str

    def __post_init__(self) -> None:
        _settle(self, "bush", "bore", "outside", "length")
        _one_of("bush seat", self.seat, get_args(BushSeat))
        if self.outside <= self.bore:
            raise InputFault(f"a bush {self.outside:g} outside with a bore of {self.bore:g}",
                             allowed="outside over its bore")

    @property
    def text(self) -> str:
        return f"bush {self.bore:g} × {self.outside:g} × {self.length:g}"


@dataclass(frozen=True, slots=True)
class HandDrill:
    """Room that its body takes: ``diameter`` about the axis of the chuck, ``length`` from the chuck's mouth backwards."""

    diameter: float
    length: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "hand_drill", "diameter", "length")


@dataclass(frozen=True, slots=True)
class Allowance:
    """What is cut too large, and what is lost. ``length``, ``width``, ``thickness``: by how much a member's rough size is
    over its finished size; ``end``: off each raw end of a bar or board, its saw cut included; ``edge``: off each raw edge of
    a board, likewise; ``sheet``: off each edge of a sheet; ``veneer``: by how much a leaf stands out over its plate on each
    side, to be trimmed."""

    length: float
    width: float
    thickness: float
    end: float
    edge: float
    sheet: float
    veneer: float
    source: str

    def __post_init__(self) -> None:
        _settle(self, "allowance", "length", "width", "thickness", "end", "edge", "sheet", "veneer")


@dataclass(frozen=True, slots=True)
class PrintScale:
    """How large the shop's paper printer prints: what the check bars of 100 along and across a page measure on paper, mm."""

    bar: tuple[float, float]
    source: str

    def __post_init__(self) -> None:
        low, high = LIMITS["paper bar"]
        if not isinstance(self.bar, tuple | list) or len(self.bar) != 2:
            raise InputFault(f"paper bar {told(self.bar)}", allowed="(along x, along y) in mm")
        object.__setattr__(self, "bar", tuple(number("paper bar", each, low, high, "mm") for each in self.bar))


@dataclass(frozen=True, slots=True)
class Workshop:
    """What a shop has. ``assumed``: the sections that it did not state itself: theirs are the defaults, and what a check
    says because of them is no fact of this shop. ``saw`` and the other single tools: None where the shop has none.
    ``paper``: None where nobody has measured."""

    source: str
    bits: tuple[Bit, ...]
    countersinks: tuple[Countersink, ...]
    bushes: tuple[Bush, ...]
    saw: Saw | None = None
    planer: Planer | None = None
    printer: Printer | None = None
    hand_drill: HandDrill | None = None
    allowance: Allowance | None = None
    paper: PrintScale | None = None
    assumed: tuple[Section, ...] = ()

    def __post_init__(self) -> None:
        check_text("source of a workshop", self.source)
        for what, kind in (("bits", Bit), ("countersinks", Countersink), ("bushes", Bush)):
            given = getattr(self, what)
            if not isinstance(given, tuple | list) or not all(isinstance(each, kind) for each in given):
                raise InputFault(f"{what} {told(given)}", allowed=f"a tuple of {kind.__name__}(…)")
            object.__setattr__(self, what, tuple(sorted(set(given), key=_order)))  # what lies in which drawer shapes nothing
        object.__setattr__(self, "assumed", tuple(sorted(self.assumed)))

    def bits_of(self, diameter: float) -> list[Bit]:
        """The bits for a hole of that diameter, from the shortest."""
        same = [bit for bit in self.bits if abs(bit.diameter - diameter) <= SAME_DIAMETER + 1e-9]
        return sorted(same, key=lambda bit: (bit.length, *_order(bit)))

    def bushes_of(self, diameter: float) -> list[Bush]:
        """The bushes that guide a bit of that diameter, from the shortest."""
        same = [bush for bush in self.bushes if -1e-9 <= bush.bore - diameter <= 2 * SAME_DIAMETER + 1e-9]
        return sorted(same, key=lambda bush: (bush.length, *_order(bush)))


def _order(tool: Any) -> tuple[Any, ...]:
    return tuple(getattr(tool, name) for name in type(tool).__slots__)
