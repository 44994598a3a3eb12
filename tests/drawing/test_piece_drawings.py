"""Drawings of pieces: nothing off the paper, no lettering over other lettering, every figure there, and the right one."""

from __future__ import annotations

import math

import pytest

from deskmodel import (
    Bevel,
    CutOut,
    Desk,
    Flange,
    Groove,
    Hole,
    Member,
    Notch,
    Plate,
    Slot,
    VentField,
    circle,
    polygon,
    rectangle,
)
from deskmodel.drawing import Drawing, Path
from deskmodel.drawing._strokes import Stroke
from deskmodel.drawing.breaks import broken, mirrored
from deskmodel.drawing.part_views import member_views
from deskmodel.drawing.piece_drawing import Made, piece_drawing
from deskmodel.drawing.plate_views import plate_views
from deskmodel.drawing.title_block import projection_symbol
from deskmodel.part import Member as AnyMember
from deskmodel.plans import drilling_schedule
from deskmodel.plans.pieces import pieces
from tests.cli.commands import ROOT
from tests.desks.build import frozen
from tests.desks.small import HOSTILE_NAMES
from tests.drawing.test_views import check_paper, texts
from tests.planted.harness import edited_desk

MADE = Made("duty desk", "revision 0123456789ab", False)
SMALLEST = 2.0  # mm, the height of capitals that everybody can read at the bench


def drawn(part: object, made: Made = MADE) -> tuple[Drawing, ...]:
    d = Desk("one")
    d.place(part, at=(0, 0, 0))
    return piece_drawing(pieces(frozen(d))[0], made)


def check(sheets: tuple[Drawing, ...]) -> None:
    for i, sheet in enumerate(sheets, 1):
        check_paper(sheet)
        assert all(text.height >= SMALLEST for text in texts(sheet))
        assert any(text.text.startswith(f"{i} of {len(sheets)}") for text in texts(sheet))


def words(sheets: tuple[Drawing, ...]) -> list[str]:
    return [text.text for sheet in sheets for text in texts(sheet)]


RAIL = Member("rail", (22, 60), 184, "ash", (
    *(Hole(end, (11, z), 8, 26, 118, purpose="dowel") for end in ("datum end", "far end") for z in (15, 45)),
    Hole("under edge", (92, 11), 6.3, 13, 118, counterbore=(8.5, 1.2), stage="spot inserts"),
    Notch("under edge", 32, 20, 30), Groove("face edge", 6, 12, 1.9)))
PARTS: dict[str, Member | Plate] = {
    "rail": RAIL,
    "block": Member("block", (80, 60), 80, "ash"),
    "peg": Member("peg", (5, 5), 12, "ash", (Hole("face side", (6, 2.5), 1, 3),)),
    "long": Member("long", (22, 60), 2600, "ash", tuple(Hole("back side", (x, 30), 8, 12) for x in (20, 700, 1300, 2580))),
    "crowded": Member("crowded", (22, 60), 400, "ash", tuple(
        Hole(face, (10 + 19 * i, 8 + 7 * (i % 3)), 4, 8) for face in ("face side", "back side") for i in range(20))),
    "bevelled": Member("bevelled", (22, 60), 300, "ash", (Bevel(("face side", "face edge"), 20), Slot(
        "back side", (150, 30), 40, 8, 10))),
    "mitred": Member("mitred", (22, 60), 1500, "ash", (Bevel(("face side", "far end"), 22),)),
    "sheet": Plate("sheet", rectangle(700, 400, (5, 5)), 1.5, "steel", (
        VentField((100, 100), 20, 10), Hole("bottom", (20, 20), 4.5, countersink=(8.96, 90)), CutOut(circle(40, (500, 200))),
        CutOut(polygon(((300, 300), (380, 300), (380, 340), (340, 340), (340, 380), (300, 380)))))),
    "full sheet": Plate("full sheet", rectangle(1400, 690), 1.5, "steel", tuple(
        Hole("top", (15 + 17.3 * i, 12 + (31 * i) % 660), 4.5) for i in range(79))),
    "disc": Plate("disc", circle(120), 6, "birch ply"),
    "angle": Plate("angle", rectangle(52, 40), 1.5, "steel", (Hole("back flange inside", (12, 20), 4),),
                   flanges=(Flange("back", 40, towards="bottom"), Flange("front", 12, angle=60))),
    "tiny": Plate("tiny", rectangle(6, 4), 0.5, "steel", (Hole("top", (2, 2), 1),)),
    "glass": Plate("glass", rectangle(542, 334), 4, "glass"),
}


@pytest.mark.parametrize("name", PARTS)
def test_on_the_paper(name: str) -> None:
    check(drawn(PARTS[name]))
    check(drawn(PARTS[name], Made("d", "UNRELEASED revision 0123456789ab", True)))


def test_every_drawing_of_the_duty_desk() -> None:
    model = edited_desk(ROOT / "parts")[0]
    schedule = drilling_schedule(model)
    for piece in pieces(model):
        sheets = piece_drawing(piece, MADE)
        check(sheets)
        told = words(sheets)
        assert piece.number in told
        assert f"{len(piece.names)}" in told
        if isinstance(piece.part, AnyMember):  # every row of the schedule is a row of the table, with the same figures
            there = [tuple(told[i:i + 3]) for i in range(len(told))]
            for row in schedule.of(piece.names[0]):
                assert (row.face, figure(row.x), figure(row.y)) in there


def figure(value: float) -> str:
    return f"{round(value, 2):g}"


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names(name: str) -> None:
    check(drawn(Member(name, (22, 60), 184, "ash", (Hole("face side", (20, 20), 8, name=name[:600]),)),
                Made(name, "revision 0123456789ab", True)))


def test_what_the_sheet_of_a_rail_says() -> None:
    told = words(drawn(RAIL))
    for text in ("rail", "member drawing", "ash 22 × 60 × 184", "ISO 2768-m", "1 : 1", "26, to the point 28.4",
                 "counterbore Ø 8.5, 1.2 deep", "face side", "under edge", "face edge", "datum end", "far end"):
        assert text in told, text
    assert "back side" not in told  # nothing is cut into it
    assert any("spotted through the plate" in text for text in told)


def test_figures_count_from_the_datums() -> None:
    part = Member("m", (22, 60), 100, "ash", (Hole("back side", (30, 45), 8, 12), Hole("far end", (5, 50), 8, 20)))
    views = {view.title: view for view in member_views(part)[0]}
    # 45 up is 15 from the face edge; on the back side the datum end lies to the right
    assert [o.value for o in views["back side"].xs] == [0, 30, 100]
    assert [o.at for o in views["back side"].xs] == [0, -30, -100]
    assert [(o.value, o.at) for o in views["back side"].ys] == [(0, 60), (15, 45), (60, 0)]
    assert [(o.value, o.at) for o in views["far end"].xs] == [(0, 0), (5, 5), (22, 22)]
    for view in views.values():  # what has a number is where a circle is seen
        circles = [s.centre for s in view.seen.visible if s.radius]
        assert all(any(math.dist(place, centre) < 1e-6 for centre in circles) for _, place in view.marks)


def test_figures_of_a_sheet_count_from_its_left_and_front_edge() -> None:
    views, kinds, _ = plate_views(PARTS["sheet"])  # type: ignore[arg-type]
    mark, = kinds[0].marks
    assert (mark.x, mark.y, mark.face) == (15, 15, "bottom")  # the outline begins at (5, 5)
    values = {o.value for o in (*views[0].xs, *views[0].xs_below)}
    assert {0, 15, 95, 247, 295, 375, 335, 495, 700} <= values  # first and last column of the vents: 95, 95 + 19 × 8


def test_breaks_leave_figures_and_lengths() -> None:
    strokes = [Stroke((0, 0), (1000, 0)), Stroke((500, 0), (500, 60)), Stroke((0, 60), (1000, 60))]
    ruled = broken(0, 1000, 2, strokes, 200)
    assert ruled is not None
    assert ruled(1000) <= 200
    assert len(ruled.cut) == 2
    # what is not cut out keeps its scale
    assert ruled(510) - ruled(490) == pytest.approx(10)
    assert ruled(1000) - ruled(990) == pytest.approx(5)
    back = mirrored(ruled, 1000)
    assert back(-500) == pytest.approx(ruled(1000) - ruled(500))
    pieces_of = ruled.pieces(strokes[0])
    assert len(pieces_of) == 3
    assert pieces_of[0][0][0] == 0
    assert pieces_of[-1][1][0] == pytest.approx(ruled(1000))
    assert broken(0, 1000, 2, strokes, 600) is None  # there is room enough
    assert broken(0, 1000, 2, strokes, 10) is None  # there never is


def test_first_angle() -> None:
    """The smaller end of the cone is to the left, and its rings to the right: seen from the left, drawn to the right, both
    rings are visible."""
    cone, large, small, *_ = projection_symbol(0, 0, 6)
    assert isinstance(cone, Path)
    assert isinstance(large, Path)
    assert isinstance(small, Path)
    heights = {x: abs(y) for x, y, _ in cone.outlines[0]}
    assert min(heights) == 0
    left = [y for x, y, _ in cone.outlines[0] if x == 0]
    right = [y for x, y, _ in cone.outlines[0] if x > 0]
    assert max(left) - min(left) < max(right) - min(right)
    assert min(x for x, _, _ in large.outlines[0]) > max(x for x, _, _ in cone.outlines[0])
    layout = {view.title: view.place for view in member_views(RAIL)[0]}
    assert layout["datum end"] == "right"
    assert layout["far end"] == "left"
    titles = [view.title for view in member_views(RAIL)[0] if view.place == "row"]
    assert titles.index("under edge") < titles.index("face side") < titles.index("face edge")


