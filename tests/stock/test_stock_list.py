"""The stock list: read as it stands, assumed where it is silent, refused at its line."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random
from typing import get_args

import pytest

from deskmodel.errors import InputFault
from deskmodel.stock import (
    Filament,
    Glue,
    Pack,
    Priced,
    Service,
    Sheet,
    Stock,
    StockSection,
    Timber,
    default_stock,
    read_stock,
    stock_beside,
)

PARTS = Path(__file__).parent.parent.parent / "parts"

FULL = """\
source = "price list, invented"
currency = "EUR"

[[bar]]
material = "ash"
section = [65, 25]
length = 2000
count = 12
price = 8.5

[[board]]
material = "any timber"
thickness = 27
length = 2500
width = [140, 165.5, 180]
per_m3 = 2000

[[board]]
material = "ash"
thickness = 52
length = 900
width = 120
on_hand = true

[[sheet]]
material = "birch ply"
thickness = 6
size = [2500, 1250]
grain = true
price = 60

[[leaf]]
material = "ash veneer"
size = [2500, 180]

[[pack]]
item = "dowel 8 × 40"
holds = 100
price = 6.9

[[service]]
material = "steel"
thickness = 1.5
per_m2 = 38

[[glue]]
kind = "PVAc"
spread = 0.18
holds = 0.5

[[filament]]
material = "PETG"
holds = 1
price = 25

[[item]]
item = "network-switch"
price = 49
"""


def written(folder: Path, text: str) -> Path:
    (folder / "stock.toml").write_text(text, encoding="utf-8")
    return folder / "stock.toml"


def test_a_list_is_read_as_it_stands(tmp_path: Path) -> None:
    widths = (140, 165.5, 180)
    volumes = [2500 * width * 27 * 1e-9 for width in widths]
    assert read_stock(written(tmp_path, FULL)) == Stock(
        "price list, invented", "EUR",
        (Timber("bar", "ash", 2000, 65, 25, 12, 8.5, False),
         *(Timber("board", "any timber", 2500, width, 27, 1, round(2000 * volume, 2), False)
           for width, volume in zip(widths, volumes, strict=True)),
         Timber("board", "ash", 900, 120, 52, 1, None, True)),
        (Sheet("sheet", "birch ply", 6, 2500, 1250, True, None, 60, False),
         Sheet("leaf", "ash veneer", None, 2500, 180, True, None, None, False)),
        (Pack("dowel 8 × 40", 100, 6.9),), (Service("steel", 1.5, 38, 0, 0),), (Glue("PVAc", 0.18, 0.5, None),),
        (Filament("PETG", 1, 25),), (Priced("network-switch", 49),), ())


def test_without_a_list_common_sizes_are_assumed(tmp_path: Path) -> None:
    stock = stock_beside(tmp_path / "desk.py")
    assert stock == default_stock()
    assert set(stock.assumed) == set(get_args(StockSection))
    assert not any(each.price for each in (*stock.timber, *stock.sheets, *stock.glues, *stock.filaments))
    assert "common practice" in stock.source
    written(tmp_path, FULL)
    assert stock_beside(tmp_path / "desk.py").source == "price list, invented"


def test_a_section_that_is_left_out_is_assumed(tmp_path: Path) -> None:
    only = read_stock(written(tmp_path, 'source = "x"\n[[bar]]\nmaterial = "ash"\nsection = [65, 25]\nlength = 2000\n'))
    assert [each.kind for each in only.timber] == ["bar"]  # bars are stated: no boards are made up beside them
    assert only.sheets == default_stock().sheets
    assert set(only.assumed) == set(get_args(StockSection)) - {"bar"}
    none = read_stock(written(tmp_path, 'source = "x"\nboard = []\nsheet = []\n'))
    assert none.timber == ()
    assert [each.kind for each in none.sheets] == ["leaf"]


FAULTS = [  # find, replace, line, key, what is allowed
    ('material = "ash"\nsection', 'material = "oak"\nsection', 5, "bar.1.material", "ash"),
    ('material = "birch ply"', 'material = "ash veneer"', 26, "sheet.1.material", "birch ply"),
    ("section = [65, 25]", "section = [65]", 6, "bar.1.section", "2 numbers"),
    ("length = 2000", "length = -1", 7, "bar.1.length", "50 to 10000"),
    ("count = 12", "count = 1.5", 8, "bar.1.count", "a whole number"),
    ("count = 12", "count = 0", 8, "bar.1.count", "a whole number"),
    ("count = 12", "count = true", 8, "bar.1.count", "a whole number"),
    ("price = 8.5", 'price = "8.5"', 9, "bar.1.price", "a number of currency"),
    ("price = 8.5", "price = -8.5", 9, "bar.1.price", "0 to 1e+06"),
    ("width = [140, 165.5, 180]", "width = []", 15, "board.1.width", "a list of them"),
    ("width = [140, 165.5, 180]", "width = [140, 0]", 15, "board.1.width", "10 to 2000"),
    ("per_m3 = 2000", "per_m3 = 2000\nprice = 3", 16, "board.1.per_m3", "one of the two"),
    ("per_m3 = 2000", "count = 2", 16, "board.1.count", "without a count"),
    ("on_hand = true\n", "on_hand = true\nprice = 3\n", 24, "board.2.price", "no price"),
    ("on_hand = true", 'on_hand = "yes"', 23, "board.2.on_hand", "true, false"),
    ("grain = true", "grain = 1", 29, "sheet.1.grain", "true, false"),
    ("size = [2500, 180]", "size = [2500, nan]", 34, "leaf.1.size", "2 numbers"),
    ("holds = 100", "holds = 0", 38, "pack.1.holds", "a whole number"),
    ('kind = "PVAc"', 'kind = "hide"', 47, "glue.1.kind", "PVAc, elastic, contact"),
    ("spread = 0.18", "spread = 180", 48, "glue.1.spread", "0.01 to 10"),
    ("[[service]]", "[[servise]]", 41, "servise", "service"),
    ("per_m2 = 38", "per_m2 = 38\nper_mm = 1", 45, "service.1.per_mm", "per_m"),
    ('currency = "EUR"\n', "", None, "currency", "there are prices"),
    ('source = "price list, invented"\n', "", None, "source", "a text"),
    ("price = 49", 'price = "?"', 58, "item.1.price", "a number"),
]


@pytest.mark.parametrize(("find", "put", "line", "key", "allowed"), FAULTS)
def test_a_fault_names_its_line_and_key(find: str, put: str, line: int | None, key: str, allowed: str,
                                        tmp_path: Path) -> None:
    assert FULL.count(find) == 1
    path = written(tmp_path, FULL.replace(find, put))
    with pytest.raises(InputFault) as caught:
        read_stock(path)
    fault = caught.value
    assert (fault.file, fault.key) == (str(path), key)
    assert fault.line == line
    assert allowed in fault.allowed


def test_a_mutated_list_is_read_or_refused(tmp_path: Path) -> None:
    rng = Random(11)
    read, told = 0, set()
    for _ in range(200):
        text = FULL
        at, kind = rng.randrange(len(text)), rng.randrange(3)
        if kind == 0:
            text = text[:at] + rng.choice("[]{}\"'=,.#\n\\\0x9-") + text[at + 1:]
        elif kind == 1:
            number = rng.choice(list(re.finditer(r"\d+(\.\d+)?", text)))
            text = text[:number.start()] + rng.choice(["0", "-5", "1e400", "9" * 400, "true", "[]", "{}", "70"]) + (
                text[number.end():])
        else:
            words = list(re.finditer(r"[a-z_]{2,}", text))
            word, other = rng.choice(words), rng.choice(words)
            text = text[:word.start()] + other[0] + text[word.end():]
        path = written(tmp_path, text)
        try:
            read_stock(path)
            read += 1
        except InputFault as fault:
            told.add(fault.file)
    assert told == {str(path)}
    assert 10 < read < 190


def test_the_list_of_the_worked_desk_says_that_it_is_invented() -> None:
    stock = read_stock(PARTS / "stock.toml")
    assert stock.source == "invented"
    assert {each.kind for each in stock.timber} == {"bar", "board"}
    assert any(each.on_hand for each in stock.timber)
    assert stock.digest != default_stock().digest
