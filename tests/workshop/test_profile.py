"""The workshop profile: defaults against the standards they name, files read as they stand, faults told at their line, and
its place in the model and the revision."""

from __future__ import annotations

import math
import re
from dataclasses import fields, replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from deskmodel import Desk
from deskmodel.errors import InputFault
from deskmodel.model import encode, freeze, read_json, revision, write_json
from deskmodel.session.script import load_script
from deskmodel.workshop import (
    DEFAULT,
    Allowance,
    Bit,
    Bush,
    Countersink,
    HandDrill,
    Planer,
    Printer,
    PrintScale,
    Saw,
    Workshop,
    default_workshop,
    read_workshop,
    workshop_beside,
)
from tests.hostile import HOSTILE, refused

PARTS = Path(__file__).parent.parent.parent / "parts"

FULL = """\
source = "measured, invented"
bit = [
    { diameter = 8, kind = "brad-point", length = 75, point = 118 },
    { diameter = 20, kind = "Forstner", length = 50, point = 160, source = "maker's sheet" },
]

[[countersink]]
diameter = 10.4
angle = 90

[[bush]]
bore = 8.02
outside = 12
length = 16
seat = "press"

[saw]
kerf = 2.4
angle = [-2, 47]

[planer]
width = 260
thinnest = 5

[printer]
bed = [220, 210, 250]
nozzle = 0.4
seat = 0.1
wall = 3

[hand_drill]
diameter = 70
length = 220

[allowance]
length = 25
width = 5
thickness = 2.5
end = 10
edge = 8
sheet = 6
veneer = 12

[paper]
bar = [99.7, 100.2]
"""


def written(folder: Path, text: str) -> Path:
    (folder / "workshop.toml").write_text(text, encoding="utf-8")
    return folder / "workshop.toml"


def test_a_profile_is_read_as_it_stands(tmp_path: Path) -> None:
    source = "measured, invented"
    assert read_workshop(written(tmp_path, FULL)) == Workshop(
        source, (Bit(8, "brad-point", 75, 118, source), Bit(20, "Forstner", 50, 160, "maker's sheet")),
        (Countersink(10.4, 90, source),), (Bush(8.02, 12, 16, "press", source),), Saw(2.4, (-2, 47), source),
        Planer(260, 5, source), Printer((220, 210, 250), 0.4, 0.1, 3, source), HandDrill(70, 220, source),
        Allowance(25, 5, 2.5, 10, 8, 6, 12, source), PrintScale((99.7, 100.2), source))


@pytest.mark.parametrize("section", ["bit", "countersink", "saw", "planer", "printer", "bush", "hand_drill", "allowance"])
def test_a_section_that_is_left_out_is_assumed(section: str, tmp_path: Path) -> None:
    own = r"bit = \[.*?^\]" if section == "bit" else rf"\[+{section}\]+\n.*?(?=^\[|\Z)"
    text = re.sub(rf"(?ms)^{own}", "", FULL)
    assert section not in text
    shop, default = read_workshop(written(tmp_path, text)), default_workshop()
    assert shop.assumed == (section,)
    name = {"bit": "bits", "countersink": "countersinks", "bush": "bushes"}.get(section, section)
    assert getattr(shop, name) == getattr(default, name)
    others = {each.name for each in fields(Workshop)} - {name, "assumed", "source"}
    assert all(getattr(shop, other) != getattr(default, other) for other in others)


def test_having_none_is_a_statement(tmp_path: Path) -> None:
    shop = read_workshop(written(tmp_path, 'source = "x"\nbit = []\nbush = []\n'))
    assert shop.bits == shop.bushes == ()
    assert set(shop.assumed) == {"countersink", "saw", "planer", "printer", "hand_drill", "allowance"}


FAULTS = [  # find, replace, line, key, what is told
    ('kind = "brad-point"', 'kind = "spade"', 3, "bit.1.kind", "twist, brad-point, Forstner"),
    ("point = 160", "point = 190", 4, "bit.2.point", "60 to 180"),
    ("length = 75", "lenght = 75", 3, "bit.1.lenght", "length"),
    ("length = 75", "length = -75", 3, "bit.1.length", "3 to 600"),
    ("length = 75", 'length = "75"', 3, "bit.1.length", "a number"),
    ("length = 75, ", "", 3, "bit.1.length", "a number"),
    ("diameter = 10.4", "diameter = nan", 8, "countersink.1.diameter", "2 to 80"),
    ("outside = 12", "outside = 8", 13, "bush.1.outside", "over its bore"),
    ('seat = "press"', 'seat = "glued"', 15, "bush.1.seat", "press, slide"),
    ("angle = [-2, 47]", "angle = [47, -2]", 19, "saw.angle", "[least, greatest]"),
    ("angle = [-2, 47]", "angle = [0, 47, 90]", 19, "saw.angle", "2 numbers"),
    ("bed = [220, 210, 250]", "bed = [220, 210]", 26, "printer.bed", "3 numbers"),
    ("nozzle = 0.4", "nozzle = 4", 27, "printer.nozzle", "0.1 to 2"),
    ("[planer]", "[plane]", 21, "plane", "planer"),
    ("[planer]\nwidth = 260", "[planer]\nwide = 260", 22, "planer.wide", "width"),
    ('source = "measured, invented"\n', "", None, "source", "a text"),
    ("wall = 3", 'wall = "?"', 29, "printer.wall", "0.2 to 20"),
    ("edge = 8", "edge = 80", 40, "allowance.edge", "0 to 60"),
    ("veneer = 12", "veneers = 12", 42, "allowance.veneers", "veneer"),
]


@pytest.mark.parametrize(("find", "put", "line", "key", "allowed"), FAULTS)
def test_a_fault_names_its_line_and_key(find: str, put: str, line: int | None, key: str, allowed: str,
                                        tmp_path: Path) -> None:
    assert FULL.count(find) == 1
    path = written(tmp_path, FULL.replace(find, put))
    with pytest.raises(InputFault) as caught:
        read_workshop(path)
    fault = caught.value
    assert (fault.file, fault.line, fault.key) == (str(path), line, key)
    assert allowed in fault.allowed


def test_two_saws_or_no_toml_are_refused(tmp_path: Path) -> None:
    two = FULL.replace("[saw]", "[[saw]]\nkerf = 3\nangle = [0, 45]\n[[saw]]")
    for text in (two, "bit = [", FULL + "[saw]\nkerf = 3\n"):
        with pytest.raises(InputFault) as caught:
            read_workshop(written(tmp_path, text))
        assert caught.value.file
        assert caught.value.line


def test_a_mutated_profile_is_read_or_refused(tmp_path: Path) -> None:
    """Seeded: characters changed, lines exchanged, numbers and words replaced: it is read, or a fault names the file."""
    rng = Random(7)
    read, told = 0, set()
    for _ in range(250):
        at, text = rng.randrange(len(FULL)), FULL
        kind = rng.randrange(4)
        if kind == 0:
            text = text[:at] + rng.choice("[]{}\"'=,.#\n\\\0x9-") + text[at + 1:]
        elif kind == 1:
            lines = text.split("\n")
            i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
            lines[i], lines[j] = lines[j], lines[i]
            text = "\n".join(lines)
        elif kind == 2:
            number = rng.choice(list(re.finditer(r"-?\d+(\.\d+)?", text)))
            put = rng.choice(["0", "-5", "1e400", "9" * 400, "true", "[]", "{}", "70"])
            text = text[:number.start()] + put + text[number.end():]
        else:
            words = list(re.finditer(r"[a-z_]{2,}", text))
            word, other = rng.choice(words), rng.choice(words)
            text = text[:word.start()] + other[0] + text[word.end():]
        path = written(tmp_path, text)
        try:
            read_workshop(path)
            read += 1
        except InputFault as fault:
            told.add(fault.file)
    assert told == {str(path)}
    assert 10 < read < 240


@pytest.mark.parametrize("value", HOSTILE, ids=lambda value: type(value).__name__)
def test_what_a_script_hands_over_is_taken_or_refused(value: Any) -> None:
    good = (Bit(8, "twist", 75, 118, "x"), Countersink(10, 90, "x"), Bush(8, 12, 16, "press", "x"), Saw(3, (0, 45), "x"),
            Planer(250, 5, "x"), Printer((200, 200, 200), 0.4, 0.1, 3, "x"), HandDrill(70, 200, "x"),
            Allowance(20, 4, 3, 15, 5, 8, 10, "x"))
    for tool in good:
        for field in fields(tool):
            if field.name != "source" and not refused(lambda tool=tool, field=field: replace(tool, **{field.name: value})):
                encode(replace(tool, **{field.name: value}))
    refused(lambda: Desk("d", workshop=value))
    refused(lambda: replace(default_workshop(), bits=value))


# ---- defaults

F7 = {6: (0.010, 0.022), 8: (0.013, 0.028), 10: (0.013, 0.028), 12: (0.016, 0.034)}  # ISO 286, from memory
DIN_179 = {6: (10, (10, 16, 20)), 8: (12, (10, 16, 20)), 10: (15, (12, 20, 25)), 12: (18, (12, 20, 25))}  # from memory
DIN_338 = {2.5: 30, 3: 33, 3.5: 39, 4: 43, 5: 52, 6: 57, 8: 75, 10: 87, 12: 101}  # flute lengths, from memory


def test_default_bushes_are_those_of_the_standards() -> None:
    bushes = {round(bush.bore): bush for bush in default_workshop().bushes}
    assert set(bushes) == set(DIN_179)
    for nominal, bush in bushes.items():
        outside, lengths = DIN_179[nominal]
        low, high = F7[nominal]
        assert nominal + low <= bush.bore <= nominal + high
        assert (bush.outside, bush.seat) == (outside, "press")
        assert bush.length in lengths
        assert bush.length >= 2 * nominal  # guide twice the diameter (common practice)
        assert default_workshop().bushes_of(nominal) == [bush]


def test_default_bits_reach_as_their_series_do() -> None:
    for diameter, flute in DIN_338.items():
        assert flute in {bit.length for bit in default_workshop().bits_of(diameter) if bit.kind == "twist"}
    # the tip of a drill of 118°: d / 2 / tan 59°
    assert Bit(8, "twist", 75, 118, "x").tip == pytest.approx(4 / math.tan(math.radians(59)))
    assert Bit(8, "twist", 75, 180, "x").tip == pytest.approx(0, abs=1e-12)


def test_defaults_are_all_assumed_and_each_says_its_source() -> None:
    shop = default_workshop()
    assert set(shop.assumed) == {"bit", "countersink", "saw", "planer", "printer", "bush", "hand_drill", "allowance"}
    tools = [*shop.bits, *shop.countersinks, *shop.bushes, shop.saw, shop.planer, shop.printer, shop.hand_drill,
             shop.allowance]
    assert all("from memory" in tool.source or "common practice" in tool.source or "trade pages" in tool.source
               for tool in tools)
    assert read_workshop(Path(str(DEFAULT))).assumed == ()


# ---- in the desk

def test_it_stands_beside_the_script_and_counts(tmp_path: Path) -> None:
    script = tmp_path / "desk.py"
    script.write_text("from deskmodel import Desk, Member\n\n\ndef desk():\n    d = Desk('d')\n"
                      "    d.place(Member('a', (22, 60), 100, 'ash'), at=(0, 0, 0))\n    return d\n", encoding="utf-8")
    without = read_json(load_script(script).model)
    assert without.workshop == default_workshop() == workshop_beside(script)
    path = written(tmp_path, FULL)
    model = read_json(load_script(script).model)
    assert model.workshop == read_workshop(path) == workshop_beside(script)
    assert read_json(write_json(model)) == model
    assert revision(model) != revision(without)
    written(tmp_path, FULL.replace("length = 75", "length = 76"))
    assert revision(read_json(load_script(script).model)) not in (revision(model), revision(without))


def test_the_order_of_tools_and_comments_shape_nothing(tmp_path: Path) -> None:
    lines = FULL.splitlines(keepends=True)
    turned = "".join([lines[0], "# mine\n", lines[1], lines[3], lines[2], *lines[4:]])
    shops = [read_workshop(written(tmp_path, text)) for text in (FULL, turned)]
    desks = [freeze(Desk("d", workshop=shop))[0] for shop in shops]
    assert revision(desks[0]) == revision(desks[1])


def test_a_fault_in_it_ends_the_script_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text("from deskmodel import Desk\n\n\ndef desk():\n    return Desk('d')\n")
    path = written(tmp_path, FULL.replace("point = 160", "point = 200"))
    with pytest.raises(InputFault) as caught:
        load_script(tmp_path / "desk.py")
    assert (Path(caught.value.file).name, caught.value.line, caught.value.key) == (path.name, 4, "bit.2.point")


def test_the_worked_desk_has_its_own() -> None:
    assert read_workshop(PARTS / "workshop.toml").assumed == ()
