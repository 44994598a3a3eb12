"""A plate that lies loose on a frame, one that is bonded, one held by way of another part, and two held by each other."""

from __future__ import annotations

from deskmodel import Bond, Cover, CoverScrews, Desk, DowelJoint, Hinge, Rest
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def frame(*joined: str) -> Desk:
    """``joined``: pairs "upper>lower" that rest on each other."""
    d = Desk("frame")
    front, end = rail(d, "front", 300, (0, 0, 0)), rail(d, "end", 200, (0, 22, 0), "y")
    d.join(DowelJoint(end, front))
    plate(d, "plate", 300, 222, (0, 0, 60))
    plate(d, "lid", 100, 100, (0, 0, 61.5))
    d.join(*(Rest(*pair.split(">")) for pair in joined))
    return d


def only_bonded() -> Desk:
    d = Desk("bonded")
    front = rail(d, "front", 300, (0, 0, 0))
    d.join(Bond(plate(d, "plate", 300, 22, (0, 0, 60.5)), front))
    return d


FAILING = Case(lambda: frame("lid>plate"), (Found(("plate",), None, (150, 111, 60.75)),
                                             Found(("lid",), None, (50, 50, 62.25))))
PASSING = Case(only_bonded)
AT_THRESHOLD = Case(lambda: frame("lid>plate", "plate>front"))  # the lid is held by way of the plate
JUST_OVER = Case(lambda: frame("plate>front"), (Found(("lid",), None, (50, 50, 62.25)),))


def covered(*on: str, hinge: str | None = None, screws: bool = False) -> Desk:
    """A frame 300 × 200; a cover over its bay, 10 mm on each member, that is told to rest on some of them."""
    d = Desk("covered")
    rails = {"front": rail(d, "front", 300, (0, 0, 0)), "back": rail(d, "back", 300, (0, 178, 0)),
             "left": rail(d, "left", 156, (0, 22, 0), "y"), "right": rail(d, "right", 156, (278, 22, 0), "y")}
    d.join(*(DowelJoint(rails[end], rails[side]) for end in ("left", "right") for side in ("front", "back")))
    cover = d.place(Cover("cover", (276, 176)), at=(12, 12, 60.5))
    if on:
        d.join(Rest(cover, [rails[name] for name in on], pad=0.5))
    if hinge:
        d.join(Hinge(cover, rails[hinge]))
    if screws:
        d.join(CoverScrews(cover, rails["front"], pad=0.5))
    return d


def on_a_broad_one(width: float) -> Desk:
    """A cover whose front edge lies in line with that of one member, ``width`` broad."""
    d = Desk("broad")
    broad = rail(d, "broad", 300, (0, 12, 0), section=(width, 60))
    d.join(Rest(d.place(Cover("cover", (276, 176), backing=1, set_back=87.5), at=(12, 12, 60)), broad))
    return d


# the cover's middle is at (12 + 138, 12 + 88); faces that it lies on: 10 mm along its edges (statics: equilibrium)
TIPS = (Found(("cover",), None, (150, 100, 60), severity="warn"),)
ONE_HINGE = Case(lambda: covered(hinge="back"), TIPS)
ONE_REST = Case(lambda: covered("left"), TIPS)
OPPOSITE = Case(lambda: covered("front", hinge="back"))
TWO_EDGES_AT_A_CORNER = Case(lambda: covered("front", "left"))  # their ends span a triangle, its long side past the middle
UP_TO_THE_MIDDLE = Case(lambda: on_a_broad_one(88.0))
SHORT_OF_THE_MIDDLE = Case(lambda: on_a_broad_one(87.9), TIPS)
SCREWED = Case(lambda: covered(screws=True))
