"""A plug's room of 60 in front of a box, a rail in it, before it, and just at its end; a cable's way; two plugs; what may
stand in the room without metal, 20 high, over a charger."""

from __future__ import annotations

from deskmodel import Component, Desk, InsertFixing, Plate, circle
from deskmodel.component._part import KeepOut, Port, box_prism
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def box(name: str, towards: str = "+x") -> Component:
    mouth = (100.0, 40.0, 20.0) if towards == "+x" else (0.0, 40.0, 20.0)
    return Component(name, "sheet.toml", "invented", (box_prism((100, 80, 40), (0, 0, 0)),), 1.0,
                     ports=(Port("mains", mouth, towards, (30, 22, 60)),))


def rail_at(x: float) -> Desk:
    d = Desk("plug")
    d.place(box("supply"), at=(0, 0, 0))
    rail(d, "rail", 200, (x, -60, 0), "y")
    return d


def cable(z: float) -> Desk:
    d = Desk("cable")
    rail(d, "rail", 200, (0, 0, 0))
    d.cable("lead", 6, [(100, -50, z), (100, 80, z)])
    return d


def plugs(apart: float) -> Desk:
    d = Desk("plugs")
    d.place(box("left"), at=(0, 0, 0))
    d.place(box("right", "-x"), at=(100 + apart, 0, 0))
    return d


FAILING = Case(lambda: rail_at(140), (Found(("supply", "rail"), 20.0),))
PASSING = Case(lambda: rail_at(200))
AT_THRESHOLD = Case(lambda: rail_at(160))
JUST_OVER = Case(lambda: rail_at(159.98), (Found(("supply", "rail"), 0.02),))
CABLE = Case(lambda: cable(60), (Found(("rail",), 3.0, within=0.1),))  # half of it sunk into the rail's edge
CABLE_PASSING = Case(lambda: cable(63))
PLUGS = Case(lambda: plugs(110), (Found(("left", "right"), 10.0),))  # 60 + 60 in 110
PLUGS_PASSING = Case(lambda: plugs(120))


def charger() -> Component:
    room = KeepOut("coil", "no-metal", "no-metal", box_prism((100, 80, 20), (0, 0, 30)))
    return Component("charger", "sheet.toml", "invented", (box_prism((100, 80, 30), (0, 0, 0)),), 0.2, keep_outs=(room,))


def lid(z: float, material: str = "aluminium") -> Desk:
    """A plate 1.5 thick over the charger, whose room ends at z = 50."""
    d = Desk("charger")
    d.place(charger(), at=(0, 0, 0))
    plate(d, "lid", 200, 180, (-50, -50, z), material=material)
    return d


def beside(part: Component | Plate, x: float) -> Desk:
    d = Desk("charger")
    d.place(charger(), at=(0, 0, 0))
    d.place(part, at=(x, 20, 35))
    return d


def screwed() -> Desk:
    """A rail of ash in the room, a ply plate screwed to its upper edge: inserts and screws reach into the room."""
    d = Desk("charger")
    d.place(charger(), at=(0, 0, 0))
    bar = rail(d, "bar", 100, (0, 20, 30), section=(40, 20))
    top = plate(d, "ply", 100, 40, (0, 20, 50), 6, "birch ply")
    d.join(InsertFixing(top, [bar], screw="ISO 7380 M4x12", insert="M4x8", at=(50,)))
    return d


NO_METAL = Case(lambda: lid(40), (Found(("charger", "lid"), 1.5),))
NO_METAL_PASSING = Case(lambda: lid(60))
NO_METAL_AT_THRESHOLD = Case(lambda: lid(50))
NO_METAL_JUST_OVER = Case(lambda: lid(49.98), (Found(("charger", "lid"), 0.02),))
PLY = Case(lambda: lid(40, "birch ply"))
GLASS = Case(lambda: lid(40, "glass"))
PLASTIC = Case(lambda: lid(40, "PETG"))
EQUIPMENT = Case(lambda: beside(box("amplifier"), 90), (Found(("charger", "amplifier"), 10.0),))
A_WINDOW = Case(lambda: beside(Plate("disc", circle(40), 4, "glass"), 30))
# rail and ply may stand there, the screw's shank (12 - 6 = 6 deep in the room) and the insert's 8 mm may not; widths: the
# shank Ø 4, the insert's wall (8 - 3.242) / 2
HARDWARE = Case(screwed, (Found(("charger", "ply fixing, insert 1")), Found(("charger", "ply fixing, screw 1"), 4.0)))
