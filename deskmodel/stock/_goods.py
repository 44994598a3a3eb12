"""What can be had, as data. mm; prices in the currency that the list states, None where unknown."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

__all__ = ["Filament", "Glue", "Pack", "Priced", "Service", "Sheet", "Stock", "StockSection", "Timber"]

StockSection = Literal["bar", "board", "sheet", "leaf", "pack", "service", "glue", "filament", "item"]


@dataclass(frozen=True, slots=True)
class Timber:
    """A bar, square-edged, or a rough board that is ripped. ``width`` and ``thickness`` as sold; ``count`` None: as many as
    wanted; ``price`` of one; ``on_hand``: there already, costs nothing."""

    kind: Literal["bar", "board"]
    material: str
    length: float
    width: float
    thickness: float
    count: int | None
    price: float | None
    on_hand: bool

    @property
    def text(self) -> str:
        rest = "offcut " if self.on_hand else ""
        return f"{rest}{self.kind} {self.material} {self.length:g} × {self.width:g} × {self.thickness:g}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet, or a leaf of veneer. ``length`` along the grain of its face; ``grain``: whether it has one that matters;
    ``thickness`` None: any."""

    kind: Literal["sheet", "leaf"]
    material: str
    thickness: float | None
    length: float
    width: float
    grain: bool
    count: int | None
    price: float | None
    on_hand: bool

    @property
    def text(self) -> str:
        rest = "offcut " if self.on_hand else ""
        thick = "" if self.thickness is None else f" × {self.thickness:g}"
        return f"{rest}{self.kind} {self.material} {self.length:g} × {self.width:g}{thick}"


@dataclass(frozen=True, slots=True)
class Pack:
    """``holds`` pieces of the hardware ``item``, named as the shopping list names it."""

    item: str
    holds: int
    price: float | None


@dataclass(frozen=True, slots=True)
class Service:
    """What a cutting service takes for a plate: for a square metre, for a metre of cut, for each plate."""

    material: str
    thickness: float
    per_m2: float
    per_m: float
    each: float


@dataclass(frozen=True, slots=True)
class Glue:
    """``spread`` kg for a square metre of joint, ``holds`` kg in a bottle or cartridge."""

    kind: str
    spread: float
    holds: float
    price: float | None


@dataclass(frozen=True, slots=True)
class Filament:
    """``holds`` kg on a spool."""

    material: str
    holds: float
    price: float | None


@dataclass(frozen=True, slots=True)
class Priced:
    """Anything else that the shopping list names, for one."""

    item: str
    price: float


@dataclass(frozen=True, slots=True)
class Stock:
    """What can be had. ``assumed``: the sections that the list does not state; theirs are common sizes, and no prices."""

    source: str
    currency: str
    timber: tuple[Timber, ...] = ()
    sheets: tuple[Sheet, ...] = ()
    packs: tuple[Pack, ...] = ()
    services: tuple[Service, ...] = ()
    glues: tuple[Glue, ...] = ()
    filaments: tuple[Filament, ...] = ()
    items: tuple[Priced, ...] = ()
    assumed: tuple[StockSection, ...] = ()

    @property
    def priced(self) -> bool:
        """Whether anything in it has a price, or costs nothing because it lies there."""
        raw = [(each.on_hand, each.price) for each in self.timber] + [(each.on_hand, each.price) for each in self.sheets]
        prices = [pack.price for pack in self.packs] + [glue.price for glue in self.glues]
        prices += [filament.price for filament in self.filaments] + [price for _, price in raw]
        return (any(on_hand for on_hand, _ in raw) or any(price is not None for price in prices) or bool(self.services)
                or bool(self.items))

    @property
    def digest(self) -> str:
        """Twelve hex digits that change with anything in the list. It shapes no part, so it is not in the revision."""
        return hashlib.sha256(repr(self).encode()).hexdigest()[:12]
