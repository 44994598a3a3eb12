"""Documents of several pages: everything that was given is on them, in order, within the paper, and nothing overlaps."""

from __future__ import annotations

import pytest

from deskmodel.drawing import Drawing, Text
from deskmodel.drawing.dimensions import rectangle_path
from deskmodel.drawing.flow import (
    Block,
    Column,
    Figure,
    Heading,
    NewPage,
    Paragraph,
    Space,
    Table,
    document,
    lines_of,
)
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.paper import PAPERS, Head, body_of, framed
from deskmodel.errors import BuildFault
from tests.drawing.test_views import check_paper, texts

HEAD = Head("duty desk", "Cut list", "revision 0123456789ab")
COLUMNS = (Column("member", 2), Column("length × width × height", 1, "end"), Column("remark", 3))
LONG = "a remark that goes on and on, with an endlessword" + "x" * 90 + " in it; "


def in_body(page: Drawing) -> list[Text]:
    low = body_of("A4")[1]
    return [text for text in texts(page) if low - 2 < text.at[1] < body_of("A4")[3]]


def told(pages: tuple[Drawing, ...]) -> str:
    return "".join("".join(text.text.split()) for page in pages for text in in_body(page))


@pytest.mark.parametrize("unreleased", [False, True])
def test_a_long_document_in_order(unreleased: bool) -> None:
    rows = tuple((f"rail {i}", f"{i}.5 × 22 × 60", LONG * (i % 7)) for i in range(60))
    blocks: list[Block] = [Heading("All rails"), Paragraph(LONG * 9), Table(COLUMNS, rows, bold=frozenset({3})), Space(20),
                           Paragraph("Clamp it.", mark="1"), Paragraph("桌子 last", warning=True)]
    pages = document(blocks, "A4", Head("duty desk", "Cut list", "revision x", unreleased, "1 : 1"))
    assert len(pages) > 3
    for page in pages:
        check_paper(page)
        assert page.size == PAPERS["A4"]
        assert any("UNRELEASED" in text.text for text in texts(page)) == unreleased
    everything = told(pages)
    at = 0
    for row in rows:
        for cell in row[:2]:
            at = everything.index("".join(cell.split()), at)
    assert everything.startswith("Allrails")
    assert everything.endswith("\\u684c\\u5b50last")
    # the words, wherever lines break: every one of the text's signs is there as often as it was given
    given = "".join("".join((row[0], row[1], row[2])) for row in rows) + LONG * 9
    for sign in "xy;0":
        repeats = sum(title.count(sign) for title in ("length × width × height", "member", "remark")) * len(pages)
        assert everything.count(sign) - given.count(sign) <= repeats + 2
        assert everything.count(sign) >= given.count(sign)


def test_a_table_goes_on_under_its_heading() -> None:
    pages = document([Table(COLUMNS, tuple((f"rail {i}", "1", "") for i in range(130)))], "A4", HEAD)
    assert len(pages) > 1
    for page in pages:
        assert in_body(page)[0].text == "member"
    assert [text.text for page in pages for text in in_body(page) if text.text.startswith("rail")] == [
        f"rail {i}" for i in range(130)]


def test_a_row_longer_than_a_page() -> None:
    pages = document([Table(COLUMNS, (("one", "1", "word " * 3000), ("two", "2", "")))], "A4", HEAD)
    assert len(pages) > 2
    assert told(pages).count("word") == 3000
    for page in pages:
        check_paper(page)


@pytest.mark.parametrize("filler", [0, 30, 55, 56, 57, 58, 59, 60])
def test_a_heading_stays_with_what_it_heads(filler: int) -> None:
    pages = document([*(Paragraph(f"line {i}") for i in range(filler)), Heading("Figures"),
                      Figure((rectangle_path("cut", 0, 0, 100, 80),), (100, 80))], "A4", HEAD)
    page = next(page for page in pages if any(text.text == "Figures" for text in texts(page)))
    heading = next(text for text in texts(page) if text.text == "Figures")
    figure = next(record for record in page.records if not isinstance(record, Text) and record.layer == "cut")
    assert max(y for _, y, _ in figure.outlines[0]) < heading.at[1]
    for each in pages:
        check_paper(each)


def test_new_pages_and_figures_that_do_not_fit() -> None:
    assert len(document([Paragraph("a"), NewPage(), Paragraph("b"), NewPage(), NewPage()], "A4", HEAD)) == 2
    assert len(document([], "A3 landscape", HEAD)) == 1
    wide = body_of("A4")[2] - body_of("A4")[0]
    document([Figure((), (wide, 50))], "A4", HEAD)
    with pytest.raises(BuildFault, match="does not go onto a page"):
        document([Figure((), (wide + 1, 50))], "A4", HEAD)


@pytest.mark.parametrize("name", ["x" * 300, "a\nb\tc", "桌" * 80, "<script>", " padded ", ""])
@pytest.mark.parametrize("paper", PAPERS)
def test_any_name_in_the_strip(name: str, paper: str) -> None:
    for page in framed([[], [], []], paper, Head(name, name, "UNRELEASED revision 0123456789ab", True, "1 : 1")):
        check_paper(page)
    last = [text.text for text in texts(framed([[], []], paper, HEAD)[1])]
    assert {"page 2 of 2", "Cut list", "duty desk", "revision 0123456789ab", "lengths in mm"} <= set(last)
    scaled = [text.text for text in texts(framed([[]], paper, Head("d", "t", "r", False, "1 : 2"))[0])]
    assert "scale 1 : 2, print at 100 %" in scaled


@pytest.mark.parametrize("width", [3.0, 10.0, 80.0])
def test_lines_hold_every_word_and_are_no_wider(width: float) -> None:
    text = "Ein Wort undnochlaengereswortdasnichtpasst und – Ø 8 × 40 " * 3
    for bold in (False, True):
        lines = lines_of(text, width, 2.5, bold)
        assert "".join("".join(lines).split()) == "".join(text.split())
        assert all(width_of(line, 2.5, bold) <= width or len(line) == 1 for line in lines)
    assert lines_of("", 10, 2.5) == [""]
