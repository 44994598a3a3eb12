"""Templates as they come out of the printer: measured at 600 dpi, corrected or not, on one sheet or several."""

from __future__ import annotations

import numpy as np
import pytest

from deskmodel import Bevel, CutOut, Desk, Hole, Member, Notch, Plate, Pocket, circle, polygon, rectangle
from deskmodel.drawing import Drawing, Path, pdf_bytes
from deskmodel.drawing.paper import body_of
from deskmodel.drawing.template_pages import BAR, template_pages
from deskmodel.drawing.template_shapes import Template, templates
from deskmodel.errors import InputFault
from deskmodel.workshop import PrintScale, read_workshop
from tests.cli.commands import ROOT
from tests.desks.build import frozen
from tests.desks.small import HOSTILE_NAMES
from tests.drawing.test_pdf import DPI, scanned
from tests.drawing.test_views import check_paper, texts
from tests.planted.harness import edited_desk

MM = 25.4 / DPI
EXACT = 0.1  # mm, what is asked for


def of(*parts: object) -> tuple[Template, ...]:
    d = Desk("one")
    for i, part in enumerate(parts):
        d.place(part, at=(0, 100 * i, 0))
    return templates(frozen(d))


def pages(made: tuple[Template, ...], paper: PrintScale | None = None) -> tuple[Drawing, ...]:
    return template_pages(made, paper, "duty desk", "revision 0123456789ab", False)


def lines(dark: np.ndarray, axis: int, low: float, high: float) -> list[float]:
    """Middles of dark lines across a strip: axis 0: x of upright lines seen between y ``low`` and ``high``; axis 1: y of
    level ones between two x. mm from the lower left corner."""
    h = len(dark)
    across, along = slice(round(h - high / MM), round(h - low / MM)), slice(round(low / MM), round(high / MM))
    strip = dark[across, :] if axis == 0 else dark[:, along]
    there = (strip > 100).mean(axis=axis) > 0.9
    edges = np.flatnonzero(np.diff(np.concatenate([[0], there.astype(int), [0]])))
    found = [(a + b) / 2 * MM for a, b in zip(edges[::2], edges[1::2], strict=True)]
    return found if axis == 0 else sorted(h * MM - y for y in found)


NOTCH = Member("rail", (22, 60), 184, "ash", (Notch("under edge", 32, 120, 48),))


def test_a_notch_measured_at_600_dpi() -> None:
    """Under edge and both sides laid flat: the notch, 120 long, 48 up either side, over 22 of edge."""
    page, = pages(of(NOTCH))
    x0, y0, _, _ = body_of("A4")
    dark = scanned(pdf_bytes([page], "t", "r"))
    foot = y0 + 12.0
    # across the sides, 30 from the arris: both ends of the notch and of the window, 15 beyond
    upright = lines(dark, 0, foot + 60 + 22 + 28, foot + 60 + 22 + 32)
    left = x0 + 1.0
    for expected in (0.0, 15.0, 135.0, 150.0):
        assert min(abs(x - left - expected) for x in upright) < EXACT
    # along a strip in the middle: the floor of the notch on both sides; the arrises are cut away there
    level = lines(dark, 1, left + 72, left + 74)
    for expected in (60 - 48, 60 + 22 + 48):
        assert min(abs(y - foot - expected) for y in level) < EXACT


@pytest.mark.parametrize("bar", [None, (99.6, 100.2), (101.0, 98.7)])
def test_bars_and_shapes_are_corrected_by_the_measured_bar(bar: tuple[float, float] | None) -> None:
    """A printer that makes 99.6 of 100 makes 100 of what is drawn 100 · 100 / 99.6 long."""
    paper = None if bar is None else PrintScale(bar, "measured")
    page, = pages(of(NOTCH), paper)
    dark = scanned(pdf_bytes([page], "t", "r"))
    _, y0, x1, _ = body_of("A4")
    kx, ky = (1.0, 1.0) if bar is None else (100 / bar[0], 100 / bar[1])
    ticks = lines(dark, 0, y0 + 1.2, y0 + 2.8)
    assert ticks[-1] - ticks[0] == pytest.approx(BAR * kx, abs=EXACT)
    upright = [y for y in lines(dark, 1, x1 - 5.2, x1 - 3.6) if y > y0 + 1]  # not the strip below the body
    assert upright[-1] - upright[0] == pytest.approx(BAR * ky, abs=EXACT)
    wide = lines(dark, 0, y0 + 12.0 + (60 + 22 + 28) * ky, y0 + 12.0 + (60 + 22 + 32) * ky)
    assert wide[-1] - wide[0] == pytest.approx(150 * kx, abs=EXACT)
    told = " ".join(text.text for text in texts(page))
    assert ("Not corrected" in told) == (bar is None)
    if bar is not None:
        assert f"{bar[0]:g} along" in told
        assert f"{bar[1]:g} across" in told


def test_a_large_panel_is_tiled_and_its_marks_meet() -> None:
    """A board with a shape of 195 × 195 needs two sheets of A4; a cross lies on the same place of the template on both."""
    board = Plate("board", rectangle(400, 400), 9, "birch ply", (CutOut(rectangle(195, 195, (100, 100))),))
    made, = of(board)
    sheets = pages((made,))
    assert len(sheets) == 2
    crosses = [sorted(_middles(sheet)) for sheet in sheets]
    assert len(crosses[0]) == len(crosses[1]) == 2
    columns = abs(crosses[0][0][0] - crosses[1][0][0]) > 1
    moved = {(round(b[0] - a[0], 6), round(b[1] - a[1], 6)) for a, b in zip(*crosses, strict=True)}
    assert len(moved) == 1  # one shift lays both crosses upon each other
    (dx, dy), = moved
    assert (dx < -50 and dy == 0) if columns else (dx == 0 and dy < -50)
    # the two sheets overlap by 10 and together they are as large as the window, 195 and 15 all round
    assert max(abs(dx), abs(dy)) * 2 + 10 == pytest.approx(225 + 0, abs=0.01)


def _middles(sheet: Drawing) -> list[tuple[float, float]]:
    red = [r.outlines[0] for r in sheet.records if isinstance(r, Path) and r.layer == "warning" and not r.closed]
    return [((a[0] + b[0]) / 2, a[1]) for a, b in red if abs(a[1] - b[1]) < 1e-9]


def strokes(template: Template) -> list[tuple[float, float]]:
    return [p for s in template.visible if not s.radius for p in (s.a, s.b)]


def test_faces_fold_at_their_arrises() -> None:
    made, = of(NOTCH)
    assert [area.name for area in made.faces] == ["face side", "under edge", "back side"]
    assert made.folds == (82.0, 60.0)
    assert made.size == (150.0, 142.0)
    bevel, = of(Member("rail", (22, 60), 184, "ash", (Bevel(("face side", "face edge"), 20),)))
    assert [area.name for area in bevel.faces] == ["face edge", "face side"]
    # the slope meets the face side 20 below the arris, the face edge 20 behind it
    levels = {round(y, 3) for _, y in strokes(bevel)}
    assert {40.0, 80.0} <= levels


def test_what_is_larger_or_not_cut_by_hand_has_none() -> None:
    assert of(Member("rail", (22, 60), 900, "ash", (Notch("under edge", 100, 201, 10),))) == ()
    assert of(Member("rail", (22, 60), 900, "ash", (Hole("face side", (50, 30), 20),))) == ()
    assert of(Plate("p", rectangle(100, 100), 1.5, "steel", (CutOut(circle(30, (50, 50))),))) == ()
    made, = of(Member("rail", (22, 60), 900, "ash", (Notch("under edge", 100, 200, 10),)))
    assert made.references == ((15.0, "100 from the datum end"), (215.0, "300 from the datum end"))


def test_on_the_paper() -> None:
    made = templates(edited_desk(ROOT / "parts")[0])
    assert {"control strip", "M18, rail B2", "M17, bevelled rail"} <= {template.group for template in made}
    odd = of(Member("m", (22, 60), 100, "ash", (Pocket("face side", polygon(((10, 10), (60, 12), (30, 40))), 5),)),
             Plate("disc", circle(150), 9, "birch ply", (CutOut(circle(40)),)))
    for group in (made, odd):
        for paper in (None, PrintScale((99.6, 100.2), "m")):
            for page in pages(group, paper):
                check_paper(page)
                assert all(text.height >= 2.0 for text in texts(page))


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names(name: str) -> None:
    for page in pages(of(Member(name, (22, 60), 184, "ash", (Notch("under edge", 32, 120, 48, name=name[:600]),)))):
        check_paper(page)


def test_the_profile_tells_the_measured_bar(tmp_path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "workshop.toml"
    path.write_text('source = "t"\n[paper]\nbar = [99.6, 100.2]\n')
    profile = read_workshop(path)
    assert profile.paper is not None
    assert profile.paper.bar == (99.6, 100.2)
    path.write_text('source = "t"\n[paper]\nbar = [80, 100]\n')
    with pytest.raises(InputFault, match="bar"):
        read_workshop(path)


