"""Data sheets: a good one is read as it stands; bad ones are refused with file, line, key, value and what is allowed."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.component import Component, read_sheet
from deskmodel.errors import InputFault

GOOD = """\
# A box with everything that a sheet can say.
name = "amplifier"
source = "invented"
mass = 1.25
heat = 30

[[body]]
box = [150, 82, 41]
at = [0, 0, 0]

[[body]]
cylinder = [20, 6]
at = [75, 41, 41]
towards = "+z"

[[port]]
name = "mains in"
at = [150, 41, 20]
towards = "+x"
plug = [30, 22, 60]

[[port]]
name = "lead"
at = [10, 41, 41]
towards = "+z"
plug = [8, 10, 30]

[[vent]]
at = [20, 82, 8]
size = [110, 0, 25]
towards = "+y"
clear = 6

[[vent]]
at = [0, 10, 5]
size = [0, 60, 30]
towards = "-x"
clear = 4.5

[[keep_out]]
name = "lid"
reason = "service"
box = [150, 82, 10]
at = [0, 0, 47]

[[hole]]
at = [6, 6]
diameter = 3.4
"""


def read(tmp_path: Path, text: str | bytes) -> Component:
    path = tmp_path / "amp.toml"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_sheet(path)


def test_a_good_sheet(tmp_path: Path) -> None:
    c = read(tmp_path, GOOD)
    assert (c.name, c.sheet, c.source, c.mass, c.heat) == ("amplifier", "amp.toml", "invented", 1.25, 30)
    assert c.blank.bounds == ((0, 0, 0), (150, 82, 47))
    assert [(p.name, p.towards) for p in c.ports] == [("mains in", "+x"), ("lead", "+z")]
    rooms = {k.name: (k.kind, k.room.bounds) for k in c.all_keep_outs()}
    # a plug of width 30, height 22, length 60 that sticks out to +x from (150, 41, 20): width along y, height along z
    assert rooms["plug of mains in"] == ("plug", ((150, 26, 9), (210, 56, 31)))
    # one that looks up: width along x, height along y
    assert rooms["plug of lead"] == ("plug", ((6, 36, 41), (14, 46, 71)))
    assert rooms["air before vent 1"] == ("air", ((20, 82, 8), (130, 88, 33)))
    assert rooms["air before vent 2"] == ("air", ((-4.5, 10, 5), (0, 70, 35)))
    assert rooms["lid"] == ("service", ((0, 0, 47), (150, 82, 57)))
    (hole,) = c.features
    low, high = hole.removals(c.blank)[0].bounds
    assert low == pytest.approx((4.3, 4.3, 0))
    assert high == pytest.approx((7.7, 7.7, 47))


@pytest.mark.parametrize("change", [
    lambda t: t.replace("\n", "\r\n"), lambda t: "\ufeff" + t,
    # the same as inline tables
    lambda t: t.replace('[[hole]]\nat = [6, 6]\ndiameter = 3.4\n', "").replace(
        "heat = 30", "heat = 30\nhole = [{at = [6, 6], diameter = 3.4}]")], ids=["windows", "mark", "inline"])
def test_other_ways_to_write_it(tmp_path: Path, change: object) -> None:
    assert read(tmp_path, change(GOOD)) == read(tmp_path, GOOD)


def test_another_name(tmp_path: Path) -> None:
    read(tmp_path, GOOD)
    assert read_sheet(tmp_path / "amp.toml", "left amplifier").name == "left amplifier"
    assert read_sheet(str(tmp_path / "amp.toml")).name == "amplifier"
    with pytest.raises(InputFault):
        read_sheet(tmp_path / "amp.toml", 5)


# find -> replace in GOOD; line, key, what the problem and the allowed say
BAD = {
    "no name": ('name = "amplifier"\n', "", None, "name", "missing", "text"),
    "name a number": ('name = "amplifier"', "name = 5", 2, "name", "5", "text"),
    "name empty": ('"amplifier"', '"  "', 2, "name", "'  '", "1 to 300"),
    "mass below 0": ("mass = 1.25", "mass = -1", 4, "mass", "-1", "0 to 200"),
    "mass in grams": ("mass = 1.25", "mass = 1250", 4, "mass", "1250", "0 to 200"),
    "mass a text": ("mass = 1.25", 'mass = "1.25 kg"', 4, "mass", "1.25 kg", "number"),
    "mass not a number": ("mass = 1.25", "mass = nan", 4, "mass", "nan", "number"),
    "mass true": ("mass = 1.25", "mass = true", 4, "mass", "True", "number"),
    "heat huge": ("heat = 30", "heat = 0x" + "F" * 5000, 5, "heat", "cannot be shown", "0 to 5000"),
    "unknown key": ("heat = 30", "heet = 30", 5, "heet", "unknown", "heat"),
    "two sizes": ("box = [150, 82, 41]", "box = [150, 82]", 8, "body.1.box", "[150, 82]", "3 numbers"),
    "size 0": ("box = [150, 82, 41]", "box = [150, 0, 41]", 8, "body.1.box", "[150, 0, 41]", "0.01 to 3000"),
    "size a slip": ("box = [150, 82, 41]", "box = [15000, 82, 41]", 8, "body.1.box", "15000", "3000"),
    "place inf": ("at = [75, 41, 41]", "at = [75, inf, 41]", 13, "body.2.at", "inf", "3 numbers"),
    "no place": ("cylinder = [20, 6]\nat = [75, 41, 41]\n", "cylinder = [20, 6]\n", 11, "body.2.at", "missing", "3 numbers"),
    "wrong way": ('towards = "+x"', 'towards = "right"', 19, "port.1.towards", "right", "+x, -x"),
    "port without plug": ("plug = [8, 10, 30]\n", "", 22, "port.2.plug", "missing", "3 numbers"),
    "two ports of a name": ('name = "lead"', 'name = "mains in"', 16, "port", "two ports named 'mains in'", "own"),
    "vent with depth": ("size = [110, 0, 25]", "size = [110, 5, 25]", 30, "vent.1.size", "[110", "0 along +y"),
    "vent without height": ("size = [0, 60, 30]", "size = [0, 60, 0]", 36, "vent.2.size", "[0", "0 along -x"),
    "vent clears nothing": ("clear = 6", "clear = 0", 32, "vent.1.clear", "0", "0.1 to 500"),
    "reason unknown": ('reason = "service"', 'reason = "luck"', 42, "keep_out.1.reason", "luck", "service, air, plug"),
    "hole outside": ("at = [6, 6]", "at = [1, 6]", 47, "hole.1.at", "leaves its blank", "within the face"),
    "hole key misspelt": ("diameter = 3.4", "diametre = 3.4", 48, "hole.1.diametre", "unknown key", "diameter"),
    "no body": ("[[body]]\nbox = [150, 82, 41]\nat = [0, 0, 0]\n\n[[body]]\ncylinder = [20, 6]\nat = [75, 41, 41]\n"
                'towards = "+z"\n', "", None, "body", "missing", "1 or more"),
    "one bracket": ("[[hole]]", "[hole]", 46, "hole", "{'at'", "[[hole]]"),
    "inline table": ("heat = 30", "heat = 30\nhole = [{at = [6, 6], diameter = 3.4},\n  {at = [9, 9], diameter = -1}]", 7,
                     "hole.2.diameter", "-1", "0.5 to 100"),
    "dotted key": ("heat = 30", "heat = 30\nlid.colour.code = 5", 6, "lid", "unknown", "body"),
    "key in a subtable": ("[[vent]]\nat = [20", "[port.extra]\na = 1\n\n[[vent]]\nat = [20", 22,
                          "port.2.extra", "unknown", "at"),
    "no TOML": ("heat = 30", "heat = 30 W", 5, None, "not a TOML file: Expected newline", "TOML"),
    "open bracket": ("at = [6, 6]\ndiameter = 3.4\n", "at = [6, 6", 47, None, "not a TOML file", "TOML"),
    "key twice": ("heat = 30", "heat = 30\nheat = 31", 6, None, "not a TOML file: Cannot overwrite", "TOML"),
    "endless number": ("heat = 30", "heat = " + "9" * 5000, None, None, "not a TOML file", "TOML"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_sheet(name: str, tmp_path: Path) -> None:
    find, replace, line, key, problem, allowed = BAD[name]
    assert GOOD.count(find) == 1, "the edit must fit one place"
    text = GOOD.replace(find, replace)
    if name.startswith("inline"):
        text = text.replace('[[hole]]\nat = [6, 6]\ndiameter = 3.4\n', "")
    with pytest.raises(InputFault) as caught:
        read(tmp_path, text)
    fault = caught.value
    assert fault.file == str(tmp_path / "amp.toml")
    assert (fault.line, fault.key) == (line, key)
    assert problem in fault.problem
    assert allowed in (fault.allowed or "")


@pytest.mark.parametrize(("data", "problem"), [
    (b"name = \xff", "not UTF-8 at byte 7"), (b"\x00", "not a TOML file"), (b"", "missing"),
    (b"[" * 100_000, "not a TOML file"), (b"#" * 300_000, "300000 bytes"),
    (b"a=" + b"[" * 20_000 + b"]" * 20_000, "not a TOML file"), (b"a." * 2000 + b"b = 1", "missing")])
def test_files_of_rubbish(data: bytes, problem: str, tmp_path: Path) -> None:
    with pytest.raises(InputFault) as caught:
        read(tmp_path, data)
    assert problem in caught.value.problem
    assert caught.value.file


@pytest.mark.parametrize("path", ["none.toml", ".", "a\0b.toml", "x" * 5000])
def test_files_that_cannot_be_read(path: str, tmp_path: Path) -> None:
    with pytest.raises(InputFault, match="cannot be read"):
        read_sheet(str(tmp_path) + "/" + path)
