"""Bores and pilots beside a dowel hole: 3 mm of wood between, less, and across it; and what is one stepped hole."""

from __future__ import annotations

import math

from deskmodel import Desk, DowelJoint, Hole, VentField
from deskmodel.features import Feature
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found
from tests.desks.doweled import corner

POINT = 4 / math.tan(math.radians(59))


def one(*cuts: tuple[str, Feature]) -> Desk:
    """One dowel at x 111, z 30: in the end from y 22 to 48 and its point to 50.403, in the front from y 22 to 6."""
    return corner(*cuts, count=1)


def bore(y: float, z: float = 30) -> tuple[str, Feature]:
    """Ø 20 through the end along x, its centre at y, z of the desk."""
    return "end", Hole("face side", (y - 22, z), 20, purpose="cable", name="bore")


def two_joints(apart: float) -> Desk:
    """Two ends that are not one joint, one dowel each in the same face."""
    d = Desk("two")
    front = rail(d, "front", 300, (0, 0, 0))
    for name, x in (("one", 100), ("two", 100 + apart)):
        end = rail(d, name, 200, (x, 22, 0), "y")
        d.join(DowelJoint(end, front, count=1))
    return d


def in_metal(*holes: Feature) -> Desk:
    d = Desk("metal")
    d.cut(plate(d, "plate", 200, 100, (0, 0, 0)), Hole("top", (50, 50), 4.5, name="screw hole", purpose="screw"), *holes)
    return d


FAILING = Case(lambda: one(bore(40)), (Found(("end",), 0, (111, 30, 30)),))
PASSING = Case(lambda: one(bore(90)))
AT_THRESHOLD = Case(lambda: one(bore(48 + POINT + 13)))  # from the point to the bore: 3
JUST_OVER = Case(lambda: one(bore(48 + POINT + 12.99)), (Found(("end",), 2.99, within=1e-6, severity="warn"),))
BESIDE = Case(lambda: one(bore(35, 46.5)), (Found(("end",), 2.5, (111, 35, 35), severity="warn"),))  # 16.5 - 10 - 4
AT_BESIDE = Case(lambda: one(bore(35, 47)))
PILOT_ACROSS = Case(lambda: one(("front", Hole("under edge", (111, 11), 6, 40, 118, purpose="insert", name="pilot"))),
                    (Found(("front",), 0, (111, 14, 30)),))
# square to each other and 4 + 3 + 2 from axis to axis
PILOT_PAST = Case(lambda: one(("front", Hole("under edge", (120, 11), 6, 40, 118, purpose="insert", name="pilot"))),
                  (Found(("front",), 2, (116, 11, 30), severity="warn"),))
# the pilot's point, 3 / tan 59 = 1.803, ends 2 below the dowel hole's lowest line, z 26
PILOT_BELOW = Case(lambda: one(("front", Hole("under edge", (111, 11), 6, 24 - 3 / math.tan(math.radians(59)), 118,
                                              purpose="insert", name="pilot"))),
                   (Found(("front",), 2, (111, 11, 25), severity="warn"),))
STEPPED = Case(lambda: one(("end", Hole("face side", (100, 30), 5, purpose="screw", name="clearance")),
                           ("end", Hole("face side", (100, 30), 12, 6, name="counterbore"))))
STEPPED_BEHIND = Case(lambda: one(("end", Hole("face side", (100, 30), 5, purpose="screw", name="clearance")),
                                  ("end", Hole("back side", (100, 30), 12, 6, name="counterbore"))))
BORES_ONLY = Case(lambda: one(bore(90), ("end", Hole("face side", (70, 30), 12, purpose="cable", name="second bore"))))
TWO_JOINTS = Case(lambda: two_joints(22))
IN_METAL = Case(lambda: in_metal(Hole("top", (55, 50), 4.5, name="other", purpose="screw")))  # 0.5: a web, not judged here
IN_METAL_MEETING = Case(lambda: in_metal(Hole("top", (54, 50), 4.5, name="other", purpose="screw")),
                        (Found(("plate",), 0, (52, 50, 0.75)),))
VENT = Case(lambda: in_metal(VentField((53, 50), 4, 4)), (Found(("plate",), 0),))
