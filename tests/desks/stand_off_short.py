"""A board on stand-offs of 6.5 with pins below it: 2 mm of air to the plate (common practice); without pins 4.5 under it
(IPC-A-610, from memory, and the air); a Mini-ITX board, 6.35 (open templates)."""

from __future__ import annotations

from deskmodel import Component, Desk, Hole, StandOffMount, WoodScrewFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.equipment import BOARD_HOLES, equipment

BOX = ((170.0, 170.0, 1.6), (0.0, 0.0, 0.0))


def board(pins: float, form: str = "") -> Component:
    pin = (((100.0, 20.0, pins), (30.0, 60.0, -pins)),) if pins else ()
    plain = equipment("board", (BOX, *pin), BOARD_HOLES, 3.96)
    holes = tuple(Hole("bottom", h.at, h.diameter, name=h.name + form, purpose="screw")
                  for h in plain.features if isinstance(h, Hole))
    return Component("board", plain.sheet, plain.source, plain.bodies, plain.mass, features=holes)


def mounted(pins: float, height: float = 6.5, low: float = 0.0, form: str = "") -> Desk:
    d = Desk("mounted")
    p, c = plate(d, "plate", 200, 200, (0, 0, 0)), d.place(board(pins, form), at=(15, 15, 1.5 + height - pins - low))
    d.join(StandOffMount(c, p, height=height))
    return d


def over_heads(pins: float) -> Desk:
    """Pan heads 2.8 high (from memory) on the plate, under the pins."""
    d = mounted(pins)
    sled = rail(d, "sled", 100, (45, 65, -40), section=(40, 40))
    d.join(WoodScrewFixing("plate", sled, "4x30 pan", at=(20, 80)))
    return d


FAILING = Case(lambda: mounted(4.51), (Found(("board", "plate"), 1.99, (95, 85, 3.49), 0.001, "warn"),))
PASSING = Case(lambda: mounted(2))
AT_THRESHOLD = Case(lambda: mounted(4.5))
BARE = Case(lambda: mounted(0, low=2.1), (Found(("board", "plate"), 4.4, (100, 100, 5.9), 0.001, "warn"),))
BARE_AT_THRESHOLD = Case(lambda: mounted(0, low=2.0))
FORM = Case(lambda: mounted(0, 6, form=" of mini-itx"),
            (Found(("board", "plate"), 6.0, (100, 100, 7.5), severity="warn"),))
FORM_AT_THRESHOLD = Case(lambda: mounted(0, low=0.15, form=" of mini-itx"))
HEADS = Case(lambda: over_heads(2), (Found(("board", "plate"), 1.7, (65, 85, 4.3), severity="warn"),))
HEADS_AT_THRESHOLD = Case(lambda: over_heads(1.7))
