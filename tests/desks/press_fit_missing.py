"""One insert fixing whose member is bored away round the insert: all of it, none of it, a third of its length.

A contact is there when half of its ring or more is: the insert is 10 long and stands from 1.2 to 11.2 below the face.
"""

from __future__ import annotations

from deskmodel import Desk, Hole, InsertFixing
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def bored(depth: float | None) -> Desk:
    d = Desk("fixing")
    r = rail(d, "rail", 200, (0, 0, 1.5))
    p = plate(d, "plate", 200, 22, (0, 0, 0))
    if depth is not None:
        d.cut(r, Hole("under edge", (100, 11), 14, depth))
    d.join(InsertFixing(p, r, at=(100,)))
    return d


FAILING = Case(lambda: bored(14), (Found(("plate fixing, insert 1", "rail"), 0.0, within=1.0),))
PASSING = Case(lambda: bored(None))
AT_THRESHOLD = Case(lambda: bored(1.2 + 3.0))  # 7 of 10 mm still grip
JUST_OVER = Case(lambda: bored(1.2 + 7.0), (Found(("plate fixing, insert 1", "rail"), 30.0, within=15.0),))
