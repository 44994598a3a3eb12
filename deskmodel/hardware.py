"""Hardware that joints add: dowels, threaded inserts, screws, stand-offs; sizes from the catalogue.

A piece of hardware stands on its axis: z along it, the origin where its docstring says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deskmodel.catalogue import DowelSize, HingeSize, InsertSize, NutSize, ScrewSize, StandOffSize, WoodScrewSize
from deskmodel.features import Feature, Prism
from deskmodel.frames import Pose
from deskmodel.part import Bodies, TurnedBlank
from deskmodel.profiles import circle, rectangle

__all__ = ["Hardware", "HardwareKind", "dowel", "hinge_leaf", "insert", "nut", "screw", "stand_off",
           "wood_screw"]

_KNUCKLE_GAP = 0.2  # mm between two thirds of a knuckle
_ROOT = 0.3  # mm that a leaf stays off the other one's share of the knuckle

HardwareKind = Literal["dowel", "insert", "screw", "stand-off", "nut", "wood screw", "hinge"]


@dataclass(frozen=True, slots=True)
class Hardware:
    """A bought part: turned, or a leaf of a hinge.

    ``designation`` is what the shop reads; ``source`` where the sizes come from."""

    name: str
    kind: HardwareKind
    designation: str
    blank: TurnedBlank | Bodies
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


def nut(name: str, size: NutSize, bore: float) -> Hardware:
    """A nut from z = 0, where it bears, to its height, drawn round at the width across its corners, with a bore at the core
    of its thread."""
    outer, inner, m = size.widest / 2, bore / 2, size.height
    half = ((inner, 0.0), (outer, 0.0), (outer, m), (inner, m))
    return Hardware(name, "nut", f"ISO 4032 {size.thread}", TurnedBlank(half), "steel", size.source)


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


def hinge_leaf(name: str, size: HingeSize, width: float, *, moving: bool) -> Hardware:
    """A leaf of a butt hinge and its share of the knuckle, the pin's axis along z from 0 to its length. The moving leaf
    reaches ``width`` along +x and has the middle third of the knuckle, the fixed one along -x and the ends; both lie at
    the knuckle's lower side, y from -knuckle / 2 up to their thickness. The pin is drawn as part of the knuckle."""
    radius, sense = size.knuckle / 2, 1.0 if moving else -1.0
    third, half_gap, root = size.length / 3, _KNUCKLE_GAP / 2, radius + _ROOT
    own = [(third + half_gap, 2 * third - half_gap)] if moving else [(0.0, third - half_gap),
                                                                     (2 * third + half_gap, size.length)]

    def flat(start: float, stop: float, low: float, high: float) -> Prism:
        left = min(sense * start, sense * stop)
        return Prism(rectangle(stop - start, size.leaf, (left, -radius)), Pose(origin=(0.0, 0.0, low)), high - low)

    bodies = [flat(root, width, 0.0, size.length)]
    for low, high in own:
        bodies += [flat(0.0, root + 1.0, low, high), Prism(circle(size.knuckle), Pose(origin=(0.0, 0.0, low)), high - low)]
    return Hardware(name, "hinge", f"butt hinge {size.designation}, {'moving' if moving else 'fixed'} leaf {width:g} wide",
                    Bodies(tuple(bodies)), "steel", size.source)
