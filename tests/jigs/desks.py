"""Small desks whose jigs differ: thicknesses, dowels, patterns, faces, hands. Frozen models by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from deskmodel import Desk, DowelJoint, FaceDowels, Hole, Member, ThroughDowels
from deskmodel.model import DeskModel
from deskmodel.workshop import Bit, default_workshop
from tests.desks.build import frozen, rail

__all__ = ["DESKS", "desk"]


def corner(thick: float = 22, dowel: str = "8x40", high: float = 60, positions: tuple[float, ...] | None = None) -> Desk:
    """An end into the back side of a rail, and into the face side of another one."""
    d = Desk("corner")
    section = (thick, high)
    front, back = (rail(d, name, 300, (0, y, 0), section=section) for name, y in (("front", 0), ("back", 200 + thick)))
    end = rail(d, "end", 200, (100, thick, 0), "y", section=section)
    d.join(DowelJoint(end, front, dowel, positions=positions), DowelJoint(end, back, dowel, positions=positions))
    return d


def several() -> Desk:
    """Two patterns of ends, dowels of 6, 8 and 10, members that enter towards both ends, one at the very end."""
    d = Desk("several")
    front, back = rail(d, "front", 600, (0, 0, 0)), rail(d, "back", 600, (0, 222, 0))
    first, second = rail(d, "first", 200, (0, 22, 0), "y"), rail(d, "second", 200, (578, 22, 0), "-y")
    thick = rail(d, "thick", 200, (200, 22, 0), "y", section=(40, 60))
    thin = rail(d, "thin", 200, (400, 22, 0), "-y", section=(18, 60))
    d.join(DowelJoint(first, front), DowelJoint(first, back, positions=(12, 40)), DowelJoint(second, front),
           DowelJoint(second, back), DowelJoint(thick, front, "10x40", depths=(28, 14)),
           DowelJoint(thick, back, "10x40", count=1, depths=(28, 14)),
           DowelJoint(thin, front, "6x30"), DowelJoint(thin, back, "6x30"))
    return d


def lying() -> Desk:
    """A rail that enters on its side: its holes lie along the member it meets; once not midway between its edges."""
    d = Desk("lying")
    leg = rail(d, "leg", 400, (0, 0, 0), section=(40, 90))
    for name, x, positions in (("even", 100, None), ("uneven", 220, (14, 40)), ("turned", 340, (14, 40))):
        flat = d.place(Member(name, (60, 22), 200, "ash"), at=(x, 40, 30), along="y" if name != "turned" else "-y")
        d.join(DowelJoint(flat, leg, positions=positions))
    return d


def faces() -> Desk:
    """Dowels between faces and between edges, and right through a member."""
    d = Desk("faces")
    low, upper = rail(d, "low", 300, (0, 0, 0)), rail(d, "upper", 300, (0, 0, 60))
    block = rail(d, "block", 300, (0, 22, 0), section=(80, 60))
    d.join(FaceDowels(upper, low, "8x40", at=((60, 11), (240, 9))), FaceDowels(block, low, "8x40", at=((50, 30), (250, 30))))
    middle = rail(d, "middle", 300, (0, 400, 0))
    ahead, behind = rail(d, "ahead", 200, (100, 200, 0), "y"), rail(d, "behind", 200, (100, 422, 0), "y")
    d.join(ThroughDowels(ahead, middle, behind, "8x60"))
    return d


def close() -> Desk:
    """Dowels nearer to each other than their bushes, and a thick block in which the drill's body passes the fences."""
    d = Desk("close")
    front = rail(d, "front", 400, (0, 0, 0), section=(40, 120))
    end = rail(d, "end", 200, (50, 40, 0), "y", section=(30, 120))
    post = rail(d, "post", 200, (200, 40, 0), "y", section=(120, 120))
    d.join(DowelJoint(end, front, count=3, positions=(20, 33, 100)))
    for u, v in ((60, 50), (60, 70)):
        d.cut(post, Hole("datum end", (u, v), 8, 26, 118, name=f"end {v}", purpose="dowel"))
        d.cut(front, Hole("back side", (200 + 120 - u, v), 8, 20, 118, name=f"face {v}", purpose="dowel"))
    return d


def slanting() -> Desk:
    """Holes by hand that no face jig serves for both ends of the same member: a jig for each hand."""
    d = Desk("slanting")
    front, back = (rail(d, name, 300, (0, y, 0), section=(40, 90)) for name, y in (("front", 0), ("back", 240)))
    post = rail(d, "post", 200, (100, 40, 0), "y", section=(60, 90))
    for u, z in ((14, 20), (30, 70)):
        for end, other, face in (("datum end", front, "back side"), ("far end", back, "face side")):
            d.cut(post, Hole(end, (u, z), 8, 21, 118, name=f"{end} {z}", purpose="dowel"))
            d.cut(other, Hole(face, (100 + 60 - u, z), 8, 21, 118, name=f"{face} {z}", purpose="dowel"))
    return d


def slim() -> Desk:
    """A member thinner than a bush with its walls: sight edges in notches."""
    d = Desk("slim")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (100, 22, 0), "y", section=(12, 60))
    d.join(DowelJoint(end, front, "6x30"))
    return d


def hands() -> Desk:
    """A shop whose bits of 8 do not reach over fences on both sides."""
    d = corner()
    short = tuple(Bit(8, "twist", 55, 118, "test") if bit.diameter == 8 else bit for bit in default_workshop().bits)
    d.workshop = replace(default_workshop(), bits=short)
    return d


DESKS: dict[str, Callable[[], Desk]] = {
    "22": corner, "18, dowels of 6": lambda: corner(18, "6x30"), "27, dowels of 10": lambda: corner(27, "10x50"),
    "off the middle": lambda: corner(positions=(14, 38)), "one low rail": lambda: corner(24, high=30, positions=(12, 24)),
    "120 high": lambda: corner(22, high=120), "several": several, "lying": lying, "faces": faces, "close": close,
    "slanting": slanting, "slim": slim, "hands": hands,
}


def desk(name: str) -> DeskModel:
    return frozen(DESKS[name]())
