"""A plug's room of 60 in front of a box, a rail in it, before it, and just at its end; a cable's way; two plugs."""

from __future__ import annotations

from deskmodel import Component, Desk
from deskmodel.component._part import Port, box_prism
from tests.desks.build import rail
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
