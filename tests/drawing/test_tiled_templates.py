"""Templates that take several sheets, put together as the bench does it: printed at 600 dpi, laid upon each other by the red
crosses that are found in the print, and measured across the joins."""

from __future__ import annotations

import numpy as np
import pypdfium2
import pytest
from scipy import ndimage

from deskmodel import CutOut, Desk, Hole, Plate, circle, rectangle
from deskmodel.component import read_sheet
from deskmodel.drawing import Drawing, Path, pdf_bytes
from deskmodel.drawing.paper import body_of
from deskmodel.drawing.template_pages import template_pages
from deskmodel.drawing.template_shapes import Template, templates
from deskmodel.workshop import PrintScale
from tests.desks.build import frozen
from tests.drawing.test_pdf import DPI, scanned
from tests.drawing.test_templates import EXACT, MM, lines
from tests.drawing.test_views import check_paper, texts

PANEL = """
name = "instrument panel"
source = "invented"
mass = 0.6
body = [
    {box = [300, 260, 3], at = [0, 0, 0]},
    {cylinder = [60, 4], at = [60, 200, 3]},
    {box = [80, 40, 4], at = [200, 30, 3]},
    {cylinder = [120, 6], at = [150, 130, 3]},
    {cylinder = [12, 10], at = [280, 240, 3]},
]
"""
Place = tuple[float, float]


@pytest.fixture(scope="module")
def panel(tmp_path_factory: pytest.TempPathFactory) -> Template:
    """300 × 260, leaning back by 30°."""
    path = tmp_path_factory.mktemp("sheet") / "panel.toml"
    path.write_text(PANEL)
    d = Desk("one")
    d.place(read_sheet(path), at=(0, 0, 0), turn=60)
    made, = templates(frozen(d))
    assert made.size == (300.0, 260.0)
    return made


def pages(made: Template, paper: PrintScale | None = None) -> tuple[Drawing, ...]:
    return template_pages((made,), paper, "duty desk", "revision 0123456789ab", False)


def crosses(data: bytes, page: int) -> list[Place]:
    """Middles of what is printed red, mm from the lower left corner of the sheet."""
    shown = np.asarray(pypdfium2.PdfDocument(data)[page].render(scale=DPI / 72, rev_byteorder=True).to_numpy()).astype(int)
    red = (shown[..., 0] > 120) & (shown[..., 1] < 110) & (shown[..., 2] < 110)
    found = []
    for box in ndimage.find_objects(ndimage.label(red, np.ones((3, 3)))[0]):
        rows, columns = box
        if columns.stop - columns.start > 4 / MM and rows.stop - rows.start > 4 / MM:  # arms of 6, whatever lies over them
            found.append(((columns.start + columns.stop) / 2 * MM, (len(red) - (rows.start + rows.stop) / 2) * MM))
    return found


def shift(one: list[Place], next_: list[Place], axis: int) -> np.ndarray:
    """How the next sheet is moved to lie on the first: its two foremost crosses onto the first's two farthest."""
    far = sorted(sorted(one, key=lambda p: -p[axis])[:2], key=lambda p: p[1 - axis])
    near = sorted(sorted(next_, key=lambda p: p[axis])[:2], key=lambda p: p[1 - axis])
    moves = np.array(far) - np.array(near)
    assert np.abs(moves[0] - moves[1]).max() < EXACT, "the crosses do not meet"
    return moves.mean(axis=0)


@pytest.mark.parametrize("bar", [None, (99.6, 100.2), (101.0, 98.7)])
def test_a_panel_of_300_by_260_is_that_large_across_its_joins(bar: Place | None, panel: Template) -> None:
    """Corrected: a printer that makes 99.6 of 100 makes 300 of what is drawn 300 · 100 / 99.6 wide."""
    sheets = pages(panel, None if bar is None else PrintScale(bar, "measured"))
    assert len(sheets) == 4
    data = pdf_bytes(list(sheets), "t", "r")
    kx, ky = (1.0, 1.0) if bar is None else (100 / bar[0], 100 / bar[1])
    dark = [scanned(data, i) for i in range(4)]
    red = [crosses(data, i) for i in range(4)]
    assert all(len(each) == 4 for each in red)
    right, up = shift(red[0], red[1], 0), shift(red[0], red[2], 1)
    assert np.abs(shift(red[1], red[3], 1) - up).max() < EXACT  # and so the fourth lies on both its neighbours
    assert np.abs(shift(red[2], red[3], 0) - right).max() < EXACT
    x0, y0, x1, _ = body_of("A4")
    foot = y0 + 12.0
    left_edge = lines(dark[0], 0, foot + 20, foot + 24)[0]
    # sheet 2 ends with the upright check bar; the panel's right edge is the last line before that
    right_edge = [x for x in lines(dark[1], 0, foot + 90, foot + 94) if x < x1 - 8][-1]
    assert right_edge + right[0] - left_edge == pytest.approx(300 * kx, abs=EXACT)
    bottom = next(y for y in lines(dark[0], 1, x0 + 20, x0 + 24) if y > foot - 1)
    top = [y for y in lines(dark[2], 1, x0 + 20, x0 + 24) if y < foot + 150][-1]
    assert top + up[1] - bottom == pytest.approx(260 * ky, abs=EXACT)
    # the hole in the far corner, 280 and 240 from the lower left one, is on the sheet that was laid last
    move = right + up
    mine = 280 * kx + left_edge - move[0], 240 * ky + bottom - move[1]
    upright = lines(dark[3], 0, mine[1] - 6.5, mine[1] + 6.5)
    level = lines(dark[3], 1, mine[0] - 6.5, mine[0] + 6.5)
    assert min(abs(x - mine[0]) for x in upright) < EXACT
    assert min(abs(y - mine[1]) for y in level) < EXACT


def test_nothing_of_a_template_leaves_its_sheet(panel: Template) -> None:
    """The lines through the middle of the large dial end where the sheet's stretch of the template does."""
    for paper in (None, PrintScale((91.0, 91.0), "m"), PrintScale((109.0, 109.0), "m")):
        for page in pages(panel, paper):
            check_paper(page)
            wide, high = page.size
            for record in page.records:
                if isinstance(record, Path):
                    for x, y, _ in (p for outline in record.outlines for p in outline):
                        assert 5 <= x <= wide - 5
                        assert 5 <= y <= high - 5


def test_each_sheet_says_where_it_lies(panel: Template) -> None:
    told = [" ".join(text.text for text in texts(page)) for page in pages(panel)]
    for i, text in enumerate(told):
        assert f"sheet {i + 1} of 4" in text
        assert f"number {i % 2 + 1} of 2 from the left, number {i // 2 + 1} of 2 from below" in text


@pytest.mark.parametrize(("turn", "face"), [(90, "top"), (-90, "bottom")])
def test_a_plate_that_looks_to_the_front_is_a_panel(turn: int, face: str) -> None:
    """As it is seen from the chair: what is to the right in the desk is to the right on paper, whichever face it is."""
    d = Desk("one")
    d.place(Plate("panel", rectangle(300, 260, (10, 20)), 2, "aluminium", (
        CutOut(circle(50, (60, 90))), Hole("top", (250, 240), 6))), at=(0, 0, 0), turn=turn)
    model = frozen(d)
    made, = templates(model)
    assert made.size == (300.0, 260.0)
    assert [area.name for area in made.faces] == [face]
    pose = model.part("panel").pose
    for (u, _), size, _ in made.centres:
        own = (60.0, 90.0, 0.0) if size == 50 else (250.0, 240.0, 0.0)
        assert u == pytest.approx(pose.apply(own)[0])  # its lowest corner stands at 0
    rings = {(round(s.centre[0], 6), round(s.centre[1], 6)) for s in made.visible if s.radius}
    assert rings == {(round(p[0], 6), round(p[1], 6)) for p, _, _ in made.centres}


def test_an_arc_that_passes_through_a_window_is_drawn_there() -> None:
    """A large round opening beside a small slot: its edge is within 15 of it, its middle is not."""
    board = Plate("board", rectangle(600, 400), 9, "birch ply", (
        CutOut(circle(300, (250, 200)), name="well"), CutOut(rectangle(20, 20, (412, 190)), name="window")))
    d = Desk("one")
    d.place(board, at=(0, 0, 0))
    window, = (each for each in templates(frozen(d)) if each.title == "window")
    assert any(s.radius == pytest.approx(150) for s in window.visible)
    page, = pages(window)
    check_paper(page)
    dark = scanned(pdf_bytes([page], "t", "r"))
    # the window begins at 412 − 15 = 397 and 190 − 15 = 175; the opening reaches 250 + 150 = 400 at y = 200
    x0, y0, _, _ = body_of("A4")
    foot = y0 + 12.0
    assert min(abs(x - x0 - 1 - 3) for x in lines(dark, 0, foot + 24.5, foot + 25.5)) < EXACT
