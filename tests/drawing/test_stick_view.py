"""Story sticks as they come out of the printer, measured at 600 dpi, and everything on the paper without overlap."""

from __future__ import annotations

import re

import numpy as np
import pytest

from deskmodel.drawing import Drawing, Path, Text, pdf_bytes
from deskmodel.drawing.stick_view import BAND, stick_pages, stick_plate
from deskmodel.plans import StickMark, StorySticks
from tests.drawing.test_pdf import DPI, scanned
from tests.drawing.test_views import check_paper, texts

MM = 25.4 / DPI
PAPERS = ("A4 landscape", "A3 landscape", "A4")


def sticks(name: str = "front", count: int = 1, length: float = 1480.0) -> StorySticks:
    """The front of a desk: ends and cross members on its back side, a few bores close together in its face edge."""
    members = tuple(f"{name} {i}" if count > 1 else name for i in range(count))
    marks = [StickMark(at, "back side", "far end", 22.0, tuple(f"{name}, {what}" for _ in members), "J2", "2 × Ø 8, 16 deep")
             for at, what in ((0.0, "left end"), (252.0, "cross AB"), (458.25, "cross BC"), (1000.0, "cross CD"))
             if at < length]
    marks.append(StickMark(length, "back side", "datum end", 22.0, tuple("right end" for _ in members), "J2", "2 × Ø 8"))
    marks += [StickMark(at, "face edge", None, None, tuple("bore" for _ in members), "", "1 × Ø 20, through")
              for at in (20.0, 24.0, 31.0, 35.5) if at < length]
    return StorySticks(members, "ash 22 × 60 × 1480", length, tuple(marks), tuple("face side front" for _ in members))


def pages(made: StorySticks, paper: str = "A4 landscape", unreleased: bool = False) -> tuple[Drawing, ...]:
    return stick_pages(made, paper, "duty desk", "revision 0123456789ab", unreleased)


def upright_lines(page: Drawing, layer: str) -> list[tuple[float, float]]:
    """(x, lowest y) of the upright lines of a layer."""
    return [(record.outlines[0][0][0], min(y for _, y, _ in record.outlines[0])) for record in page.records
            if isinstance(record, Path) and record.layer == layer and len({x for x, _, _ in record.outlines[0]}) == 1]


@pytest.mark.parametrize("paper", PAPERS)
def test_marks_measured_on_paper(paper: str) -> None:
    """On the scan of each strip the lines lie from its join, or from the datum end, as the member's numbers say."""
    made = sticks()
    data = pdf_bytes(pages(made, paper), "t", "r")
    found: dict[str, set[float]] = {"back side": set(), "face edge": set()}
    for number, page in enumerate(pages(made, paper)):
        dark = None
        joins = [(text.text, text) for text in texts(page) if text.text.startswith("join ")]
        for x, y in upright_lines(page, "centre") + [(x, y) for x, y in upright_lines(page, "cut")]:
            dark = scanned(data, number) if dark is None else dark
            near = [(abs(text.at[0] - x), text) for text in texts(page) if abs(text.at[1] - (y - 2.0)) < 0.01
                    and (text.text.startswith("join ") or text.text in ("datum end", "far end"))]
            text = min(near, key=lambda each: each[0])[1].text
            origin = {"datum end": 0.0, "far end": made.length}.get(text)
            if origin is None:
                origin = float(re.findall(r"[\d.]+", text)[0])
            # a row of the scan just above the lower edge of the strip, below its lettering
            row = dark[len(dark) - 1 - round((y + 2.0 + 1.2) / MM)]
            columns = np.flatnonzero(row > 160)
            groups = np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1)
            lines = np.array([(group[0] + group[-1] + 1) / 2 * MM for group in groups if len(group)])
            face = next(text.text.split(",")[0] for text in texts(page)
                        if " of " in text.text and 0 < text.at[1] - (y + 2.0) < BAND and "page" not in text.text)
            for mark in made.on(face):
                at = x + mark.at - origin
                if 0 < np.abs(lines - at).min() < 0.1 or np.abs(lines - at).min() == 0:
                    found[face].add(mark.at)
        assert number == 0 or joins or dark is not None
    assert found == {place: {mark.at for mark in made.on(place)} for place in found}


def test_a_stick_printed_too_small_would_be_seen() -> None:
    """The check bars are as long as they say, in x and y, to 0.1 on paper."""
    page = pages(sticks())[1]
    data = pdf_bytes([page], "t", "r")
    dark = scanned(data)
    bars = [record for record in page.records if isinstance(record, Path) and record.layer == "visible"
            and len(record.outlines[0]) == 2]
    level = next(record.outlines[0] for record in bars if record.outlines[0][0][1] == record.outlines[0][1][1]
                 and record.outlines[0][1][0] - record.outlines[0][0][0] == pytest.approx(200))
    row = dark[len(dark) - 1 - round((level[0][1] + 1.6) / MM)]  # the ticks at its ends
    ticks = np.flatnonzero(row > 100)
    assert (ticks[-1] - ticks[0]) * MM == pytest.approx(200 + 0.25, abs=0.15)
    upright = next(record.outlines[0] for record in bars if record.outlines[0][0][0] == record.outlines[0][1][0]
                   and record.outlines[0][1][1] - record.outlines[0][0][1] == pytest.approx(100))
    column = dark[:, round((upright[0][0] + 1.6) / MM)]
    high = len(dark) - 1 - round((upright[1][1] + 1) / MM)
    ticks = high + np.flatnonzero(column[high:len(dark) - 1 - round((upright[0][1] - 1) / MM)] > 100)
    assert (ticks[-1] - ticks[0]) * MM == pytest.approx(100 + 0.25, abs=0.15)


@pytest.mark.parametrize("name", ["front", "a very long name that somebody gave to a member and would not stop " * 2,
                                  "x" * 300, "<b>\n桌", ""])
@pytest.mark.parametrize("count", [1, 3, 9])
def test_everything_is_on_the_paper(name: str, count: int) -> None:
    for paper in PAPERS:
        for page in pages(sticks(name, count), paper, unreleased=True):
            check_paper(page)


@pytest.mark.parametrize("length", [40.0, 255.0, 3000.0])
def test_other_lengths(length: float) -> None:
    made = pages(sticks(length=length))
    for page in made:
        check_paper(page)
    told = [text.text for page in made for text in texts(page)]
    assert "datum end" in told
    assert "far end" in told


def test_the_figures_are_there_without_the_paper_stick() -> None:
    told = [text.text for text in texts(pages(sticks())[0])]
    for figure in ("0", "252", "458.25", "1000", "1480", "20", "35.5"):
        assert figure in told
    assert {"J2", "none", "far end", "(axis of the hole)"} <= set(told)


@pytest.mark.parametrize("place", ["back side", "face edge"])
def test_in_one_piece_for_the_laser(place: str) -> None:
    made = sticks()
    drawn = stick_plate(made, place, "r")
    check_paper(drawn)
    outline = next(record for record in drawn.records if isinstance(record, Path) and record.layer == "cut").outlines[0]
    xs = [x - outline[0][0] for x, _, _ in outline]
    assert max(xs) == made.length
    tips = {round(x, 6) for (x, (_, y, _)) in zip(xs, outline, strict=True) if y == pytest.approx(outline[0][1] + 4)}
    assert tips == {mark.at for mark in made.on(place) if 0 < mark.at < made.length}
    told = [record.text for record in drawn.records if isinstance(record, Text)]
    assert told == [f"{mark.at:g} {mark.jig}".strip() for mark in made.on(place)]
