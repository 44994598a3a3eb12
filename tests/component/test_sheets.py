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
mains = true

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

[[keep_out]]
name = "aerial"
reason = "no-metal"
box = [40, 40, 30]
at = [100, 20, 41]

[[hole]]
at = [6, 6]
diameter = 3.4
"""

# what published forms give: a Mini-ITX board with its rear edge at the back, lying on a drive and a fan
FORMS = """\
name = "board"
source = "invented"
mass = 0.9

[[body]]
box = [170, 170, 1.6]
at = [0, 0, 0]

[[body]]
box = [90, 110, 25]
at = [180, 0, 0]

[[hole]]
at = [260, 100]
diameter = 3
depth = 5.5

[[pattern]]
form = "mini-itx"
at = [170, 170]
turn = 180

[[pattern]]
form = "fan 80"
at = [185, 10]

[[pattern]]
form = "vesa 50x20"
at = [85, 85]
turn = 90
depth = 1.5
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
    assert rooms["aerial"] == ("no-metal", ((100, 20, 41), (140, 60, 71)))
    assert [p.mains for p in c.ports] == [True, False]
    assert rooms["lid"] == ("service", ((0, 0, 47), (150, 82, 57)))
    (hole,) = c.features
    low, high = hole.removals(c.blank)[0].bounds
    assert low == pytest.approx((4.3, 4.3, 0))
    assert high == pytest.approx((7.7, 7.7, 47))


def test_holes_of_published_forms(tmp_path: Path) -> None:
    c = read(tmp_path, FORMS)
    holes = {hole.name: hole for hole in c.features}
    assert len(holes) == len(c.features) == 1 + 4 + 4 + 4
    assert (holes["mounting hole 1"].at, holes["mounting hole 1"].depth) == ((260, 100), 5.5)
    # Mini-ITX addendum: F 6.35 from the edge on the sockets' side, 33.02 from the rear edge, which is at the back here
    assert holes["mounting hole F of mini-itx"].at == pytest.approx((163.65, 136.98))
    assert holes["mounting hole C of mini-itx"].at == pytest.approx((6.17, 159.84))
    assert holes["mounting hole H of mini-itx"].at == pytest.approx((6.17, 4.90))
    assert holes["mounting hole J of mini-itx"].at == pytest.approx((163.65, 4.90))
    # a fan's holes 4.25 from its edges, 71.5 apart
    fan = {holes[f"mounting hole pattern 2, {n} of fan 80"].at for n in range(1, 5)}
    assert fan == {(189.25, 14.25), (260.75, 14.25), (189.25, 85.75), (260.75, 85.75)}
    # VESA MIS-B 50 x 20, turned to 20 x 50 about its middle
    screen = [hole for name, hole in holes.items() if "vesa" in name]
    assert {hole.at for hole in screen} == {(75, 60), (75, 110), (95, 60), (95, 110)}
    assert {(hole.diameter, hole.depth) for hole in screen} == {(4.0, 1.5)}
    assert {hole.purpose for hole in c.features} == {"screw"}


@pytest.mark.parametrize(("height", "depth"), [(7.0, 2.0), (9.5, 3.0)])
def test_a_thin_drive_takes_short_screws_only(height: float, depth: float, tmp_path: Path) -> None:
    # SFF-8201: 3.0 of thread, 2.0 in drives up to 7 high
    c = read(tmp_path, 'name = "drive"\nsource = "invented"\nmass = 0.06\n\n[[body]]\n'
             f'box = [69.85, 100.2, {height}]\nat = [0, 0, 0]\n\n[pattern]\nform = "sff-8201 bottom"\nat = [0, 0]\n')
    assert {hole.depth for hole in c.features} == {depth}
    low, high = c.features[0].removals(c.blank)[0].bounds
    assert (low[2], high[2]) == (0, depth)  # from below, nothing above it
    assert (low[0] + high[0]) / 2 == pytest.approx(4.07)


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
    "one port in single brackets": ('[[port]]\nname = "lead"', '[port]\nname = "lead"', 23, None, "[port] among several",
                                    "write [[port]]"),
    "the first port in single brackets": ('[[port]]\nname = "mains in"', '[port]\nname = "mains in"', 16, None,
                                          "[port] among several", "write [[port]]"),
    "a table twice": ("heat = 30", "heat = 30\n[lid]\na = 1\n[lid]", 8, None, "not a TOML file", "TOML"),
    "mass too light": ("mass = 1.25", "mass = 0.00125", 8, "body.1.box", "mass 0.00125 kg in bodies of 0.506 dm³ is "
                       "0.00247 kg per dm³: mm and kg?", "0.02 to 20 kg"),
    "mass too heavy": ("mass = 1.25", "mass = 125", 8, "body.1.box", "a decimal point too far?", "0.02 to 20 kg"),
    "mouth off its body": ("at = [150, 41, 20]", "at = [1500, 41, 20]", 18, "port.1.at",
                           "the bodies reach 150 × 82 × 47 mm", "a mouth within 5 mm"),
    "mass unit": ("mass = 1.25", "mass = 300", 4, "mass", "300", "number of kg"),
    "heat unit": ("heat = 30", "heat = -1", 5, "heat", "-1", "number of W"),
    "clear unit": ("clear = 6", "clear = 900", 33, "vent.1.clear", "900", "number of mm"),
    "mass below 0": ("mass = 1.25", "mass = -1", 4, "mass", "-1", "0 to 200"),
    "mass in grams": ("mass = 1.25", "mass = 1250", 4, "mass", "1250", "0 to 200"),
    "mass a text": ("mass = 1.25", 'mass = "1.25 kg"', 4, "mass", "1.25 kg", "number"),
    "mass not a number": ("mass = 1.25", "mass = nan", 4, "mass", "nan", "number"),
    "mass true": ("mass = 1.25", "mass = true", 4, "mass", "True", "number"),
    "heat huge": ("heat = 30", "heat = 0x" + "F" * 5000, 5, "heat", "cannot be shown", "0 to 5000"),
    "unknown key": ("heat = 30", "heet = 30", 5, "heet", "unknown key; did you mean 'heat'?", "heat"),
    "two sizes": ("box = [150, 82, 41]", "box = [150, 82]", 8, "body.1.box", "[150, 82]", "3 numbers"),
    "size 0": ("box = [150, 82, 41]", "box = [150, 0, 41]", 8, "body.1.box", "[150, 0, 41]", "0.01 to 3000"),
    "size a slip": ("box = [150, 82, 41]", "box = [15000, 82, 41]", 8, "body.1.box", "15000", "3000"),
    "place inf": ("at = [75, 41, 41]", "at = [75, inf, 41]", 13, "body.2.at", "inf", "3 numbers"),
    "no place": ("cylinder = [20, 6]\nat = [75, 41, 41]\n", "cylinder = [20, 6]\n", 11, "body.2.at", "missing", "3 numbers"),
    "mains a text": ("mains = true", 'mains = "yes"', 21, "port.1.mains", "yes", "true, false"),
    "mains a number": ("mains = true", "mains = 1", 21, "port.1.mains", "1", "true, false"),
    "not filled in": ("mass = 1.25", 'mass = "?"', 4, "mass", "not filled in yet", "0 to 200"),
    "name not filled in": ('name = "amplifier"', 'name = "?"', 2, "name", "not filled in yet", "text"),
    "half filled in": ("box = [150, 82, 41]", 'box = [150, "?", 41]', 8, "body.1.box", "not filled in yet", "3 numbers"),
    "way not filled in": ('towards = "+x"', 'towards = "?"', 19, "port.1.towards", "not filled in yet", "+x, -x"),
    "wrong way": ('towards = "+x"', 'towards = "right"', 19, "port.1.towards", "right", "+x, -x"),
    "port without plug": ("plug = [8, 10, 30]\n", "", 23, "port.2.plug", "missing", "3 numbers"),
    "two ports of a name": ('name = "lead"', 'name = "mains in"', 16, "port", "two ports named 'mains in'", "own"),
    "vent with depth": ("size = [110, 0, 25]", "size = [110, 5, 25]", 31, "vent.1.size", "[110", "0 along +y"),
    "vent without height": ("size = [0, 60, 30]", "size = [0, 60, 0]", 37, "vent.2.size", "[0", "0 along -x"),
    "vent clears nothing": ("clear = 6", "clear = 0", 33, "vent.1.clear", "0", "0.1 to 500"),
    "reason unknown": ('reason = "service"', 'reason = "luck"', 43, "keep_out.1.reason", "luck", "service, air, plug"),
    "hole outside": ("at = [6, 6]", "at = [1, 6]", 54, "hole.1.at", "leaves its blank", "within the face"),
    "hole key misspelt": ("diameter = 3.4", "diametre = 3.4", 55, "hole.1.diametre", "unknown key; did you mean 'diameter'?",
                          "diameter"),
    "no body": ("[[body]]\nbox = [150, 82, 41]\nat = [0, 0, 0]\n\n[[body]]\ncylinder = [20, 6]\nat = [75, 41, 41]\n"
                'towards = "+z"\n', "", None, "body", "missing", "1 or more"),
    "one bracket": ("[[hole]]", "[hole]", 53, "hole", "{'at'", "[[hole]]"),
    "inline table": ("heat = 30", "heat = 30\nhole = [{at = [6, 6], diameter = 3.4},\n  {at = [9, 9], diameter = -1}]", 7,
                     "hole.2.diameter", "-1", "0.5 to 100"),
    "dotted key": ("heat = 30", "heat = 30\nlid.colour.code = 5", 6, "lid", "unknown", "body"),
    "key in a subtable": ("[[vent]]\nat = [20", "[port.extra]\na = 1\n\n[[vent]]\nat = [20", 23,
                          "port.2.extra", "unknown", "at"),
    "no TOML": ("heat = 30", "heat = 30 W", 5, None, "not a TOML file: Expected newline", "TOML"),
    "open bracket": ("at = [6, 6]\ndiameter = 3.4\n", "at = [6, 6", 54, None, "not a TOML file", "TOML"),
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


# the same in FORMS
BAD_FORMS = {
    "form unknown": ('"mini-itx"', '"e-atx"', 19, "pattern.1.form", "e-atx", "mini-itx, fan 40"),
    "form a number": ('"mini-itx"', "170", 19, "pattern.1.form", "170", "text"),
    "no form": ('form = "mini-itx"\n', "", 18, "pattern.1.form", "missing", "text"),
    "no place": ("at = [85, 85]\n", "", 27, "pattern.3.at", "missing", "2 numbers"),
    "a form off its body": ("at = [185, 10]", "at = [200, 10]", 25, "pattern.2.at", "leaves its blank", "within the face"),
    "a form between the bodies": ("at = [185, 10]", "at = [170, 10]", 25, "pattern.2.at", "cuts nothing", "under a body"),
    "turn askew": ("turn = 180", "turn = 45", 21, "pattern.1.turn", "45", "0, 90, 180, 270"),
    "turn backwards": ("turn = 180", "turn = -90", 21, "pattern.1.turn", "-90", "0 to 270"),
    "turn a text": ("turn = 180", 'turn = "left"', 21, "pattern.1.turn", "left", "0 to 270"),
    "turned off its body": ("turn = 180", "turn = 90", 20, "pattern.1.at", "hole C of mini-itx", "within the face"),
    "depth of through holes": ("turn = 180", "depth = 5", 21, "pattern.1.depth", "through holes of mini-itx", "threads"),
    "thread too deep": ("depth = 1.5", "depth = 40", 31, "pattern.3.depth", "depth 40", "at most 25"),
    "blind hole too deep": ("depth = 5.5", "depth = 50", 16, "hole.1.depth", "depth 50", "at most 25"),
    "thread none": ("depth = 1.5", "depth = 0", 31, "pattern.3.depth", "0", "0.5 to 100"),
    "hole beside the body": ("at = [260, 100]", "at = [175, 100]", 14, "hole.1.at", "cuts nothing", "under a body"),
    "unknown key": ('form = "fan 80"', 'form = "fan 80"\ndiameter = 4', 25, "pattern.2.diameter", "unknown", "form"),
    "not filled in": ("at = [185, 10]", 'at = ["?", "?"]', 25, "pattern.2.at", "not filled in", "2 numbers"),
}


@pytest.mark.parametrize("name", BAD_FORMS)
def test_a_bad_sheet_of_forms(name: str, tmp_path: Path) -> None:
    find, replace, line, key, problem, allowed = BAD_FORMS[name]
    assert FORMS.count(find) == 1, "the edit must fit one place"
    with pytest.raises(InputFault) as caught:
        read(tmp_path, FORMS.replace(find, replace))
    fault = caught.value
    assert (fault.file, fault.line, fault.key) == (str(tmp_path / "amp.toml"), line, key)
    assert problem in fault.problem
    assert allowed in (fault.allowed or "")


def test_one_pattern_in_single_brackets(tmp_path: Path) -> None:
    one = FORMS[:FORMS.index('[[pattern]]\nform = "fan')]
    single = one.replace("[[pattern]]", "[pattern]")
    assert read(tmp_path, single).features == read(tmp_path, one).features
    with pytest.raises(InputFault) as caught:
        read(tmp_path, single.replace("turn = 180", "turn = 181"))
    assert (caught.value.line, caught.value.key) == (21, "pattern.turn")


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


@pytest.mark.parametrize(("mass", "allowed"), [("0", True), ("10.1", True), ("10.2", False), ("0.0102", True),
                                               ("0.0101", False)])
def test_the_mass_of_a_volume(mass: str, allowed: bool, tmp_path: Path) -> None:
    # GOOD has 150 × 82 × 41 and a cylinder of 20 × 6: 504300 + 1885 mm³ = 0.5062 dm³, so 0.01012 to 10.124 kg
    text = GOOD.replace("mass = 1.25", f"mass = {mass}")
    if allowed:
        assert read(tmp_path, text).mass == float(mass)
    else:
        with pytest.raises(InputFault, match="a decimal point too far"):
            read(tmp_path, text)


def test_a_cylinder_ten_times_too_thin(tmp_path: Path) -> None:
    cylinders = 'name = "rod"\nsource = "invented"\nmass = 0.5\n\n[[body]]\ncylinder = [0.8, 6]\nat = [0, 0, 0]\n'
    with pytest.raises(InputFault) as caught:
        read(tmp_path, cylinders)
    assert (caught.value.line, caught.value.key) == (6, "body.1.cylinder")
    assert read(tmp_path, cylinders.replace("0.5", "0")).mass == 0
