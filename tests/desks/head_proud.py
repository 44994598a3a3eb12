"""Button heads of ISO 7380-1 M4, 2.2 high, under a mat on a pad; on the desk's top, with 0.2 allowed (common practice)."""

from __future__ import annotations

from deskmodel import Cover, CoverScrews, Desk, InsertFixing, Rest
from tests.desks.build import plate, rail
from tests.desks.case import Case, Found


def under_a_mat(pad: float, screw: str = "ISO 7380 M4x12", x: float = 80) -> Desk:
    """The mat lies below the plate, on tape, over the screw at x 100."""
    d = Desk("mat")
    r, p = rail(d, "rail", 200, (0, 0, 1.5)), plate(d, "plate", 200, 60, (0, 0, 0))
    mat = plate(d, "mat", 40, 22, (x, 0, -4 - pad), 4, "birch ply")
    d.join(InsertFixing(p, r, screw, at=(100,)), Rest(mat, p, held="tape", pad=pad))
    return d


def on_top(screw: str, level: float = 60) -> Desk:
    d = Desk("top")
    r, p = rail(d, "rail", 200, (0, 0, 0)), plate(d, "plate", 200, 22, (0, 0, 60))
    other, higher = rail(d, "other", 200, (0, 100, level - 60)), plate(d, "higher", 200, 22, (0, 100, level))
    d.join(InsertFixing(p, r, screw, at=(60, 140)), InsertFixing(higher, other, at=(60, 140)))
    return d


def cover() -> Desk:
    """Screws that open a cover are meant to be reached."""
    d = Desk("cover")
    rails = [rail(d, name, 200, (0, y, 0)) for name, y in (("front", 0), ("back", 100))]
    c = d.place(Cover("cover", (200, 122), 1.5, "aluminium", set_back=30), at=(0, 0, 60.5))
    d.join(CoverScrews(c, rails, at=(60, 140)))
    return d


FAILING = Case(lambda: under_a_mat(2.0), (Found(("plate", "mat"), 2.2, (100, 11, 0)),))
PASSING = Case(lambda: under_a_mat(0, "ISO 10642 M4x12"))
AT_THRESHOLD = Case(lambda: under_a_mat(2.191))  # from 0.01 on the two overlap
JUST_OVER = Case(lambda: under_a_mat(2.19), (Found(("plate", "mat"), 2.2, (100, 11, 0)),))
BESIDE = Case(lambda: under_a_mat(0, x=104))  # the head is 3.8 wide from its middle
ON_ITS_RIM = Case(lambda: under_a_mat(0, x=103.5), (Found(("plate", "mat"), 2.2, (100, 11, 0)),))
TOP = Case(lambda: on_top("ISO 7380 M4x12"), (Found(("plate", "rail"), 2.2, (60, 11, 61.5), severity="warn"),))
TOP_FLUSH = Case(lambda: on_top("ISO 10642 M4x12"))
BELOW_THE_TOP = Case(lambda: on_top("ISO 7380 M4x12", 70))
COVER = Case(cover)
