"""The service profile: files read as they stand, faults told at their line, what is assumed, and its place in the model and
the revision."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from deskmodel import Desk
from deskmodel.errors import InputFault
from deskmodel.model import encode, freeze, read_json, revision, write_json
from deskmodel.service import (
    DEFAULT,
    Laser,
    Limit,
    Limits,
    Service,
    ServiceBend,
    Sheet,
    default_service,
    read_service,
    service_beside,
)
from deskmodel.session.script import load_script
from tests.hostile import HOSTILE, refused

PARTS = Path(__file__).parent.parent.parent / "parts"

FULL = """\
source = "list, invented"
sheet = [
    { material = "steel", thickness = 1.5, size = [2500, 1250], film = "none", hole = 1.2, web = 2, edge = 2 },
    { material = "aluminium", thickness = 2, size = [2000, 1000], film = "one side", brushed = true, source = "other list" },
]

[[bend]]
material = "steel"
thickness = 1.5
radius = 1.6
k = 0.44
v = 12
flange = 9
longest = 2000

[laser]
kerf = 0.15
tolerance = 2
bed = [3050, 1525]
margin = 12
cuts = ["ply", "metal"]
offers = ["countersink", "pocket"]

[limits]
hole = 0.8
least_hole = 1.1
web = 1.8
edge = 1.2
bend = 2.5
flange = 5
"""


def written(folder: Path, text: str) -> Path:
    (folder / "service.toml").write_text(text, encoding="utf-8")
    return folder / "service.toml"


def test_a_profile_is_read_as_it_stands(tmp_path: Path) -> None:
    source = "list, invented"
    assert read_service(written(tmp_path, FULL)) == Service(
        source, Laser(0.15, 2, (3050, 1525), 12, ("metal", "ply"), ("countersink", "pocket"), source),
        Limits(0.8, 1.1, 1.8, 1.2, 2.5, 5, source),
        (Sheet("steel", 1.5, (2500, 1250), source, "none", False, 1.2, 2, 2),
         Sheet("aluminium", 2, (2000, 1000), "other list", "one side", True)),
        (ServiceBend("steel", 1.5, 1.6, 0.44, source, 12, 9, 2000),))


@pytest.mark.parametrize("section", ["laser", "limits", "sheet", "bend"])
def test_a_section_that_is_left_out_is_assumed(section: str, tmp_path: Path) -> None:
    own = r"sheet = \[.*?^\]" if section == "sheet" else rf"\[+{section}\]+\n.*?(?=^\[|\Z)"
    text = re.sub(rf"(?ms)^{own}", "", FULL)
    assert section not in text.replace("[limits]", "") or section == "bend"
    made, default = read_service(written(tmp_path, text)), default_service()
    assert made.assumed == (section,)
    name = {"sheet": "sheets", "bend": "bends"}.get(section, section)
    assert getattr(made, name) == getattr(default, name)


def test_having_none_is_a_statement(tmp_path: Path) -> None:
    made = read_service(written(tmp_path, 'source = "x"\nsheet = []\nbend = []\n'))
    assert made.sheets == made.bends == ()
    assert made.assumed == ("laser", "limits")


FAULTS = [  # find, replace, line, key, what is told
    ('material = "steel", thickness', 'material = "tin", thickness', 3, "sheet.1.material", "steel"),
    ("size = [2000, 1000]", "size = [2000]", 4, "sheet.2.size", "2 numbers"),
    ('film = "one side"', 'film = "left"', 4, "sheet.2.film", "none, one side, both sides"),
    ("brushed = true", "brushed = 1", 4, "sheet.2.brushed", "true, false"),
    ("hole = 1.2", "hole = -1", 3, "sheet.1.hole", "0.05 to 100"),
    ("web = 2,", "webb = 2,", 3, "sheet.1.webb", "web"),
    ("k = 0.44", "k = 1.44", 11, "bend.1.k", "0 to 1"),
    ("radius = 1.6", "radius = nan", 10, "bend.1.radius", "0.01 to 200"),
    ("flange = 9", 'flange = "9"', 13, "bend.1.flange", "a number"),
    ("kerf = 0.15\n", "", 16, "laser.kerf", "a number"),
    ("tolerance = 2", "tolerance = 1.5", 18, "laser.tolerance", "1, 2"),
    ("tolerance = 2", "tolerance = 3", 18, "laser.tolerance", "1 to 2"),
    ('cuts = ["ply", "metal"]', 'cuts = ["glass"]', 21, "laser.cuts", "metal, ply, plastic"),
    ('cuts = ["ply", "metal"]', 'cuts = "metal"', 21, "laser.cuts", "metal, ply, plastic"),
    ('"pocket"]', '"thread"]', 22, "laser.offers", "countersink, counterbore, blind hole, pocket"),
    ("least_hole = 1.1", "least_hole = 1100", 26, "limits.least_hole", "0 to 50"),
    ("[limits]", "[limit]", 24, "limit", "limits"),
    ('source = "list, invented"\n', "", None, "source", "a text"),
    ("margin = 12", 'margin = "?"', 20, "laser.margin", "0 to 100"),
]


@pytest.mark.parametrize(("find", "put", "line", "key", "allowed"), FAULTS)
def test_a_fault_names_its_line_and_key(find: str, put: str, line: int | None, key: str, allowed: str,
                                        tmp_path: Path) -> None:
    assert FULL.count(find) == 1
    path = written(tmp_path, FULL.replace(find, put))
    with pytest.raises(InputFault) as caught:
        read_service(path)
    fault = caught.value
    assert (fault.file, fault.line, fault.key) == (str(path), line, key)
    assert allowed in fault.allowed


def test_a_mutated_profile_is_read_or_refused(tmp_path: Path) -> None:
    rng = Random(11)
    read, told = 0, set()
    for _ in range(250):
        at, text = rng.randrange(len(FULL)), FULL
        kind = rng.randrange(3)
        if kind == 0:
            text = text[:at] + rng.choice("[]{}\"'=,.#\n\\\0x9-") + text[at + 1:]
        elif kind == 1:
            number = rng.choice(list(re.finditer(r"-?\d+(\.\d+)?", text)))
            put = rng.choice(["0", "-5", "1e400", "9" * 400, "true", "[]", "{}", "70"])
            text = text[:number.start()] + put + text[number.end():]
        else:
            words = list(re.finditer(r"[a-z_]{2,}", text))
            word, other = rng.choice(words), rng.choice(words)
            text = text[:word.start()] + other[0] + text[word.end():]
        path = written(tmp_path, text)
        try:
            read_service(path)
            read += 1
        except InputFault as fault:
            told.add(fault.file)
    assert told == {str(path)}
    assert 10 < read < 240


@pytest.mark.parametrize("value", HOSTILE, ids=lambda value: type(value).__name__)
def test_what_a_script_hands_over_is_taken_or_refused(value: Any) -> None:
    good = (Laser(0.2, 1, (3000, 1500), 10, ("metal",), (), "x"), Limits(1, 1, 2, 1.5, 2, 4, "x"),
            Sheet("steel", 1.5, (2500, 1250), "x"), ServiceBend("steel", 1.5, 1.5, 0.45, "x"))
    for entry in good:
        for field in fields(entry):
            if field.name != "source" and not refused(lambda e=entry, f=field: replace(e, **{f.name: value})):
                encode(replace(entry, **{field.name: value}))
    refused(lambda: Desk("d", service=value))
    refused(lambda: replace(default_service(), sheets=value))


# ---- what it asks

def test_the_defaults_are_the_guidelines_and_all_assumed() -> None:
    """Guidelines of sheet-metal services: hole t, 1 at least; web 2 t; edge 1.5 t; bend line 2 t + R; flange 4 t."""
    service = default_service()
    assert set(service.assumed) == {"laser", "limits", "sheet", "bend"}
    assert [service.least_hole("steel", t).value for t in (0.8, 1, 1.5, 6)] == [1, 1, 1.5, 6]
    assert service.least_web("steel", 1.5) == Limit(3, False, service.limits.source)
    assert service.least_edge("steel", 2).value == 3
    assert service.least_to_bend(1.5, 1.5).value == 4.5
    assert service.least_flange("steel", 1.5, 1.5).value == 6
    assert "common practice" in service.source
    assert "guidelines" in service.limits.source
    assert set(read_service(Path(str(DEFAULT))).assumed) == {"sheet", "bend"}


def test_what_a_sheet_states_goes_before_the_rules(tmp_path: Path) -> None:
    service = read_service(written(tmp_path, FULL))
    assert service.least_hole("steel", 1.5) == Limit(1.2, True, "list, invented")
    assert service.least_hole("steel", 1.505).value == 1.2  # the same sheet
    assert service.least_hole("steel", 2) == Limit(1.6, True, "list, invented")
    assert service.least_hole("aluminium", 2).value == 1.6
    assert service.least_hole("aluminium", 1).value == 1.1
    strict = replace(service, sheets=(*service.sheets, Sheet("steel", 1.5, (1000, 500), "y", hole=1.4)))
    assert strict.least_hole("steel", 1.5) == Limit(1.4, True, "y")


def test_the_least_flange(tmp_path: Path) -> None:
    service = read_service(written(tmp_path, FULL))
    assert service.least_flange("steel", 1.5, 1.5) == Limit(9, True, "list, invented")
    bare = replace(service, bends=(replace(service.bends[0], flange=None),))
    assert bare.least_flange("steel", 1.5, 1.5).value == pytest.approx(8.4)  # 0.7 V, from memory
    assert not bare.least_flange("steel", 1.5, 1.5).stated
    assert service.least_flange("aluminium", 2, 2) == Limit(10, True, "list, invented")
    two = replace(service, bends=(*service.bends, ServiceBend("steel", 1.5, 3, 0.42, "x", flange=12)))
    assert two.bend_of("steel", 1.5, 2.9).radius == 3
    assert two.bend_of("steel", 1.5, 1).radius == 1.6
    assert two.bend_of("brass", 1.5, 1) is None


# ---- in the desk

def test_it_stands_beside_the_script_and_counts(tmp_path: Path) -> None:
    script = tmp_path / "desk.py"
    script.write_text("from deskmodel import Desk\n\n\ndef desk():\n    return Desk('d')\n", encoding="utf-8")
    without = read_json(load_script(script).model)
    assert without.service == default_service() == service_beside(script)
    path = written(tmp_path, FULL)
    model = read_json(load_script(script).model)
    assert model.service == read_service(path) == service_beside(script)
    assert read_json(write_json(model)) == model
    assert revision(model) != revision(without)
    written(tmp_path, FULL.replace("kerf = 0.15", "kerf = 0.16"))
    assert revision(read_json(load_script(script).model)) not in (revision(model), revision(without))


def test_the_order_of_sheets_shapes_nothing(tmp_path: Path) -> None:
    lines = FULL.splitlines(keepends=True)
    turned = "".join([*lines[:2], lines[3], "# mine\n", lines[2], *lines[4:]])
    desks = [freeze(Desk("d", service=read_service(written(tmp_path, text))))[0] for text in (FULL, turned)]
    assert revision(desks[0]) == revision(desks[1])


def test_a_fault_in_it_ends_the_script_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text("from deskmodel import Desk\n\n\ndef desk():\n    return Desk('d')\n")
    path = written(tmp_path, FULL.replace("k = 0.44", "k = 44"))
    with pytest.raises(InputFault) as caught:
        load_script(tmp_path / "desk.py")
    assert (Path(caught.value.file).name, caught.value.line, caught.value.key) == (path.name, 11, "bend.1.k")


def test_the_worked_desk_has_its_own() -> None:
    assert read_service(PARTS / "service.toml").assumed == ()
