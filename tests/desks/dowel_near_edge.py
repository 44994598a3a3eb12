"""Dowels of 8 mm beside edges: 12 from the edge of a face, 16 from an end; in the middle of a narrow end, and off it."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, FaceDowels, Hole
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.doweled import corner, on_rail


def flush(x: float) -> Desk:
    """The end stands at the very end of the rail: its dowels cannot be 16 from it."""
    d = Desk("flush")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    d.cut(end, Hole("datum end", (x, 30), 8, 20, 118, name="by hand", purpose="dowel"))
    return d


def on_ply(x: float) -> Desk:
    d = Desk("ply")
    board = plate(d, "board", 200, 100, (0, 0, 0), 18, "birch ply")
    strip = rail(d, "strip", 200, (0, 0, 18), section=(100, 40))
    d.join(FaceDowels(strip, board, "6x30", at=((x, 50), (100, 50))))
    return d


FAILING = Case(lambda: corner(count=1, positions=(9,)), (Found(("end", "front"), 9, (111, 22, 51), severity="warn"),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(positions=(12, 45)))
JUST_OVER = Case(lambda: corner(positions=(15, 48.01)), (Found(("end", "front"), 11.99, (111, 22, 12), severity="warn"),))
FROM_THE_END = Case(lambda: on_rail((15.9, 30), (150, 30)),
                    (Found(("block", "rail"), 15.9, (15.9, 22, 30), severity="warn"),))
AT_THE_END = Case(lambda: on_rail((16, 30), (150, 30)))
IN_A_CORNER = Case(lambda: flush(11))
OFF_THE_MIDDLE = Case(lambda: flush(14.1), (Found(("end",), 7.9, severity="warn"),))  # 22 - 14.1, of one diameter
IN_HALF_OF_THE_END = Case(lambda: corner(thick=16))
IN_PLY = Case(lambda: on_ply(8.9), (Found(("strip", "board"), 8.9, severity="warn"),))
AT_THE_EDGE_OF_PLY = Case(lambda: on_ply(12))  # 9 of the ply's edge would do; 12 of the strip's end
