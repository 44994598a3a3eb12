"""Outlines of letters against a general-purpose font library (fontTools), and stencil letters from them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.ttLib import TTFont

from deskmodel.drawing.lettering import CAP, font_file, width_of
from deskmodel.drawing.outlines import advance, letter
from deskmodel.errors import BuildFault
from deskmodel.jigs._stencil import Line, line_width, lines_fitting, stencil
from deskmodel.profiles import check_outline

SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789abcdefghijklmnopqrstuvwxyzØ.×éÄ%&@-"


def area(points: tuple[tuple[float, float], ...]) -> float:
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True)) / 2


@pytest.mark.parametrize("bold", [True, False])
def test_areas_and_widths_as_the_library_reads_them(bold: bool) -> None:
    font = TTFont(font_file(bold))
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    scale = 6 / CAP / font["head"].unitsPerEm
    for sign in SIGNS:
        pen = AreaPen(glyphs)
        glyphs[names[ord(sign)]].draw(pen)
        found = sum(area(contour) for contour in letter(sign, 6, bold))
        assert found == pytest.approx(pen.value * scale**2, rel=0.015), sign  # chords of curves
        assert advance(sign, 6, bold) == pytest.approx(glyphs[names[ord(sign)]].width * scale)


def test_widths_as_they_are_measured_for_drawings() -> None:
    for text in ("FACE SIDE", "J1 Ø8", "26 DEEP"):
        assert line_width(text, 6) == pytest.approx(width_of(text, 6, True), rel=0.01)


def test_a_sign_that_the_font_lacks() -> None:
    with pytest.raises(BuildFault, match="no sign"):
        letter("\U0001fa91", 6)


@pytest.mark.parametrize("sign", SIGNS)
def test_stencil_letters_are_simple_outlines(sign: str) -> None:
    """Without holes, not crossing, and together the letter less its bars."""
    pieces = stencil(Line(sign, 6, (0, 0)), 0.8)
    assert pieces
    for piece in pieces:
        check_outline(sign, piece)
    whole = -sum(area(contour) for contour in letter(sign, 6))
    cut = sum(piece.area for piece in pieces)
    counters = sum(area(contour) > 0 for contour in letter(sign, 6))
    if counters == 0:
        assert cut == pytest.approx(whole, rel=0.02)
    else:  # each bar crosses two strokes, each 0.8 wide and 1 to 2.5 high
        assert 0.6 * whole < cut < whole - 0.8


def test_lines_fit_their_box() -> None:
    for width in (30, 47, 60, 90):
        lines = lines_fitting(["FACE SIDE", "J1 Ø8", "26 DEEP", "STOP 46", "abcd1234"], (3, 3, width, 40), 0.4)
        assert lines
        for line in lines:
            assert line.height >= 6
            assert line.at[0] >= 3 - 1e-9
            assert line.at[0] + line_width(line.text, line.height) <= width + 1e-9
            assert line.at[1] >= 3 - 1e-9
            assert line.at[1] + line.height <= 40 + 1e-9
        starts = [line.at[1] for line in lines]
        assert all(a - b >= 1.3 * lines[0].height for a, b in pairwise(starts))


def test_strokes_are_two_nozzles_wide() -> None:
    """The bars of an E and the stem of an I, the thinnest and the thickest strokes there are in them, from their corners."""
    for nozzle in (0.4, 0.6, 0.8, 1.0):
        line, = lines_fitting(["EI"], (0, 0, 300, 60), nozzle)
        e, i = stencil(line, 2 * nozzle)
        heights = sorted({round(y, 3) for _, y, _ in e.vertices})
        assert len(heights) == 6  # three bars
        assert min(top - low for low, top in zip(heights[::2], heights[1::2], strict=True)) >= 2 * nozzle
        assert i.bounds[2] - i.bounds[0] >= 2 * nozzle
