"""Records to SVG and PNG: what the formats say must be there is there, and the same bytes come out every time."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image

from deskmodel.drawing import LAYERS, Drawing, Path, Record, Text, picture_size, png_bytes, svg_bytes
from deskmodel.drawing.dimensions import figure, height_dimension, ruler, spread, width_dimension
from deskmodel.drawing.lettering import clipped, plain, width_of, wrapped
from deskmodel.drawing.png import PIXELS
from deskmodel.profiles import circle, obround

NS = "{http://www.w3.org/2000/svg}"
HOSTILE = ["<script>alert(1)</script>", "a & b", "it's \"quoted\"", "]]>", "a\nb\tc", "\x00\x1b[31m", "桌子", "\ud800",
           "&#0;"]


def drawing(*records: Record, title: str = "t") -> Drawing:
    return Drawing((60, 40), title, "revision x", records)


def pixels(made: Drawing) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(png_bytes(made))).convert("RGB")).astype(int)


@pytest.mark.parametrize("name", HOSTILE)
def test_any_text_is_harmless_and_comes_back(name: str) -> None:
    data = svg_bytes(drawing(Text(plain(name), (5, 5), 3), title=name))
    root = ElementTree.fromstring(data)
    assert [element.tag for element in root] == [f"{NS}title", f"{NS}desc", f"{NS}rect", f"{NS}text"]
    assert root[3].text == plain(name)
    assert len(png_bytes(drawing(Text(plain(name), (5, 5), 3), title=name))) > 100


def test_plain_is_one_line_of_signs() -> None:
    assert plain(" a\nb\x1b\u202e ") == "a\\x0ab\\x1b\\u202e"
    assert plain("Tür – Ø 8 ½") == "Tür – Ø 8 ½"


def test_arcs_in_svg_run_as_the_outline_does() -> None:
    """SVG 1.1, 8.3.8: rx ry rotation large-arc sweep; y down, so an anticlockwise arc has sweep 0."""
    root = ElementTree.fromstring(svg_bytes(drawing(Path("cut", (circle(20, (30, 20)).vertices,)))))
    assert root[3].get("d") == "M40 20A10 10 0 0 0 20 20A10 10 0 0 0 40 20Z"
    slot = ElementTree.fromstring(svg_bytes(drawing(Path("cut", (obround(30, 10, (30, 20)).vertices,)))))
    assert slot[3].get("d") == "M20 25L40 25A5 5 0 0 0 40 15L20 15A5 5 0 0 0 20 25Z"
    open_ = ElementTree.fromstring(svg_bytes(drawing(Path("thin", (((1, 1, 0.0), (2, 3, 0.0)),), closed=False))))
    assert open_[3].get("d") == "M1 39L2 37"


def test_filled_outlines_in_both_formats() -> None:
    ring = Path("fill", (circle(30, (30, 20)).vertices, circle(15, (30, 20)).vertices), (200, 0, 0))
    picture = pixels(drawing(ring))
    share = (picture[:, :, 1] < 128).mean()
    assert share == pytest.approx(math.pi * (15**2 - 7.5**2) / (60 * 40), rel=0.01)
    root = ElementTree.fromstring(svg_bytes(drawing(ring)))
    assert root[3].get("fill-rule") == "evenodd"
    assert root[3].get("stroke") is None


def test_lines_are_as_wide_as_their_layer_says() -> None:
    for name, layer in LAYERS.items():
        if not layer.width or layer.dashes:
            continue
        line = Path(name, (((5, 20, 0.0), (55, 20, 0.0)),), closed=False)
        dark = (255 - pixels(drawing(line)).min(axis=2)).sum() / (255 - min(layer.colour)) / PIXELS**2
        assert dark == pytest.approx(50 * layer.width, rel=0.35)  # to a third of a pixel


def test_dashes_run_round_corners() -> None:
    dashed = Path("hidden", (((5, 5, 0.0), (55, 5, 0.0), (55, 35, 0.0), (5, 35, 0.0)),))
    solid = Path("thin", dashed.outlines)
    dark = [(255 - pixels(drawing(path)).min(axis=2)).sum() / (255 - max(LAYERS[path.layer].colour))
            for path in (dashed, solid)]
    line, gap = LAYERS["hidden"].dashes
    assert dark[0] / dark[1] == pytest.approx(line / (line + gap), abs=0.05)


def test_bytes_are_the_same_every_time() -> None:
    made = drawing(Path("hidden", (circle(20, (30, 20)).vertices,)), Text("Ø 20 ½", (5, 5), 3, turn=90))
    assert svg_bytes(made) == svg_bytes(made)
    assert png_bytes(made) == png_bytes(made)
    assert picture_size(made) == (360, 240)
    with Image.open(io.BytesIO(png_bytes(made))) as picture:
        picture.load()
        assert picture.size == (360, 240)
        assert picture.info["Comment"] == "revision x"


@pytest.mark.parametrize(("anchor", "turn"), [(a, t) for a in ("start", "middle", "end") for t in (0, 90)])
def test_lettering_stands_where_it_was_measured(anchor: str, turn: int) -> None:
    """Ink of "HHHH" 4 mm high: as high as it says, as wide as was measured, at its anchor."""
    picture = pixels(drawing(Text("HHHH", (30, 20), 4, anchor, turn)))
    rows, columns = np.nonzero(picture.min(axis=2) < 128)
    x0, x1 = columns.min() / PIXELS, (columns.max() + 1) / PIXELS
    y0, y1 = 40 - (rows.max() + 1) / PIXELS, 40 - rows.min() / PIXELS
    if turn:  # turned back by a quarter about (30, 20)
        x0, x1, y0, y1 = 30 + (y0 - 20), 30 + (y1 - 20), 20 - (x1 - 30), 20 - (x0 - 30)
    wide = width_of("HHHH", 4)
    start = {"start": 30, "middle": 30 - wide / 2, "end": 30 - wide}[anchor]
    assert (y0, y1) == pytest.approx((20, 24), abs=0.35)
    assert x0 == pytest.approx(start, abs=0.9)  # the letter's own side bearing is within
    assert x1 == pytest.approx(start + wide, abs=0.9)


def test_texts_are_cut_and_wrapped_to_their_room() -> None:
    long = "a very long name of a bay " * 10
    for width in (6.0, 10.0, 55.5):
        cut = clipped(long, width, 2.5)
        assert width_of(cut, 2.5) <= width
        assert cut.endswith("…")
        assert width_of(long[:len(cut) + 1], 2.5) > width - width_of("mm", 2.5)
    assert clipped("short", 100, 2.5) == "short"
    assert clipped("wide", 0.1, 2.5) == ""
    lines = wrapped("radio control strip", 20, 2.5, 3)
    assert lines is not None
    assert " ".join(lines) == "radio control strip"
    assert all(width_of(line, 2.5) <= 20 for line in lines)
    assert wrapped("radio control strip", 20, 2.5, 1) is None
    assert wrapped("transceiver", 5, 2.5, 3) is None


@pytest.mark.parametrize("places", [[0, 1, 2], [0, 10, 20], [0, 0, 0, 0], [1, 1.5, 8, 8.1, 8.2, 20], []])
def test_spread_keeps_apart_and_moves_little(places: list[float]) -> None:
    moved = spread(places, 2.0)
    assert all(b - a >= 2 - 1e-9 for a, b in pairwise(moved))
    if all(b - a >= 2 for a, b in pairwise(places)):
        assert moved == pytest.approx(places)
    assert sum(moved) == pytest.approx(sum(places))  # least squares: nobody is pushed further than all need


def test_dimensions_tell_the_length_between_their_arrows() -> None:
    for make in (width_dimension(10, 40, 30, "150", from_y=20), height_dimension(30, 10, 40, "150", from_x=20)):
        records = list(make)
        texts = [record.text for record in records if isinstance(record, Text)]
        tips = [record.outlines[0][0] for record in records if isinstance(record, Path) and record.layer == "fill"]
        assert texts == ["150"]
        assert math.dist(tips[0][:2], tips[1][:2]) == 30
    narrow = [record for record in width_dimension(10, 11, 30, "150") if isinstance(record, Text)]
    assert narrow[0].at[0] - width_of("150", 2.5) > 11  # behind the arrows, not across them
    told = [record.text for record in ruler([(1, "0"), (1.5, "1.5")], 0, -4, upright=False) if isinstance(record, Text)]
    assert told == ["0", "1.5"]


@pytest.mark.parametrize(("value", "text"), [(54.35, "54.35"), (184.0, "184"), (-0.0, "0"), (0.1 + 0.2, "0.3"), (100, "100"),
                                             (1e-9, "0"), (-3.5, "-3.5")])
def test_figures(value: float, text: str) -> None:
    assert figure(value) == text


def test_numbers_in_svg_are_short() -> None:
    data = svg_bytes(drawing(Path("cut", (((1 / 3, 2 / 3, 0.0), (1e-9, 5, 0.0)),), closed=False))).decode()
    assert re.search(r"M0\.333 39\.333L0 35", data)
