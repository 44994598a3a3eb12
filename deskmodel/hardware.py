"""Hardware that joints add: dowels, threaded inserts, screws, stand-offs; sizes from the catalogue.

A piece of hardware stands on its axis: z along it, the origin where its docstring says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deskmodel.catalogue import DowelSize, InsertSize, ScrewSize, StandOffSize, WoodScrewSize
from deskmodel.features import Feature
from deskmodel.part import TurnedBlank

__all__ = ["Hardware", "HardwareKind", "dowel", "insert", "screw", "stand_off", "wood_screw"]

HardwareKind = Literal["dowel", "insert", "screw", "stand-off", "wood screw"]


@dataclass(frozen=True, slots=True)
class Hardware:
    """A bought turned part. ``designation`` is what the shop reads; ``source`` where the sizes come from."""

    name: str
    kind: HardwareKind
    designation: str
    blank: TurnedBlank
    material: str
    source: str
    features: tuple[Feature, ...] = ()


def dowel(name: str, size: DowelSize) -> Hardware:
    """A fluted dowel from z = 0 to its length, with 1 mm chamfers; the flutes are not drawn."""
    r, L, c = size.diameter / 2, size.length, size.chamfer
    half = ((0.0, 0.0), (r - c, 0.0), (r, c), (r, L - c), (r - c, L), (0.0, L))
    return Hardware(name, "dowel", f"dowel {size.diameter:g} × {size.length:g}", TurnedBlank(half), "beech", size.source)


def insert(name: str, size: InsertSize) -> Hardware:
    """A threaded insert from z = 0 (its mouth) down to its length along +z. Outside the thread's crests are drawn,
    inside the core of the metric thread."""
    outer, bore, L = size.outside / 2, size.bore / 2, size.length
    half = ((bore, 0.0), (outer, 0.0), (outer, L), (bore, L))
    return Hardware(name, "insert", f"insert {size.thread} × {size.length:g}", TurnedBlank(half), "brass", size.source)


def screw(name: str, size: ScrewSize) -> Hardware:
    """A machine screw along +z. Countersunk: the head's top at z = 0, its rim as wide as the real head, the cone below.
    Cylinder and button head: the underside on the face at z = 0, the head above it; of a button head the envelope, a
    cylinder. The shank is drawn at the thread's major diameter; sockets and recesses are not drawn."""
    r, L = size.diameter / 2, size.length
    half: tuple[tuple[float, float], ...]
    if size.countersunk:
        edge = (size.head - size.rim) / 2  # 90°: the cone loses in width twice what it loses in depth
        rim = ((size.rim / 2, 0.0), (size.rim / 2, edge)) if edge > 0 else ((size.head / 2, 0.0),)
        half = ((0.0, 0.0), *rim, (r, size.head_height), (r, L), (0.0, L))
    else:
        half = ((0.0, -size.head_height), (size.head / 2, -size.head_height), (size.head / 2, 0.0), (r, 0.0), (r, L),
                (0.0, L))
    return Hardware(name, "screw", size.designation, TurnedBlank(half), "steel", size.source)


def stand_off(name: str, size: StandOffSize, bore: float) -> Hardware:
    """A stand-off from z = 0 to its length, drawn round at the width across its corners, with a bore right through at the
    core of its thread."""
    outer, inner, L = size.corners / 2, bore / 2, size.length
    half = ((inner, 0.0), (outer, 0.0), (outer, L), (inner, L))
    return Hardware(name, "stand-off", f"stand-off {size.thread} × {size.length:g}", TurnedBlank(half), "brass", size.source)


def wood_screw(name: str, size: WoodScrewSize) -> Hardware:
    """A wood screw along +z, drawn at the crests of its thread over its whole length, with a pointed tip. Countersunk: the
    head's top at z = 0, its cone down to the shank; pan head: the underside at z = 0, its envelope (a cylinder) above."""
    r, L = size.diameter / 2, size.length
    shank = ((r, size.cone), (r, L - size.tip), (0.0, L))
    half: tuple[tuple[float, float], ...]
    if size.countersunk:
        half = ((0.0, 0.0), (size.head / 2, 0.0), *shank)
    else:
        half = ((0.0, -size.head_height), (size.head / 2, -size.head_height), (size.head / 2, 0.0), *shank)
    return Hardware(name, "wood screw", f"wood screw {size.designation.replace('x', ' × ')}", TurnedBlank(half), "steel",
                    size.source)
