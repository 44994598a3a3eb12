"""Dowels of one joint 24.9, 25, 200 and 200.1 apart (a joinery school: 25 to 32 least, 200 most)."""

from __future__ import annotations

from tests.desks.case import Case, Found
from tests.desks.doweled import corner, on_rail

FAILING = Case(lambda: corner(positions=(20, 40)), (Found(("end", "front"), 20, (111, 22, 30), severity="warn"),))
PASSING = Case(corner)
AT_THRESHOLD = Case(lambda: corner(positions=(15, 40)))
JUST_OVER = Case(lambda: corner(positions=(15, 39.9)), (Found(("end", "front"), 24.9, severity="warn"),))
FAR = Case(lambda: on_rail((50, 30), (250, 30)))
TOO_FAR = Case(lambda: on_rail((50, 30), (250.1, 30)), (Found(("block", "rail"), 200.1, (150.05, 22, 30), severity="warn"),))
# two rows: each dowel has a neighbour near by, the two pairs are 201 apart
TWO_PAIRS = Case(lambda: on_rail((40, 15), (40, 45), (241, 15), (241, 45)),
                 (Found(("block", "rail"), 201, severity="warn"),))
A_STEP_BETWEEN = Case(lambda: on_rail((40, 15), (40, 45), (140, 30), (241, 15), (241, 45)))
ASKEW = Case(lambda: on_rail((40, 20), (60, 35)))  # 15 and 20: exactly 25
ONE_ALONE = Case(lambda: corner(count=1))
