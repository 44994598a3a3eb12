"""``deskmodel new --component``: writes a scaffold, never over a file, and says which readings are missing."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.component import read_sheet
from deskmodel.errors import InputFault
from tests.cli.commands import deskmodel

SHEET = "equipment/network-switch.toml"


def test_a_scaffold_and_the_desk_that_it_stops_until_it_is_filled_in(tmp_path: Path) -> None:
    ran = deskmodel("new", "--component", SHEET, "--size", "160x100x28", "--mass", "0.4", "--heat", "6",
                    "--source", "measured", "--hole", "4.3-7.7,10.3-13.7", "--hole", "150, 90, 3.4", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    path = tmp_path / SHEET
    with pytest.raises(InputFault) as caught:
        read_sheet(path)
    assert f"line {caught.value.line}: name" in ran.stdout
    assert ran.stdout.splitlines()[-1].strip() == "d.place(component('network-switch'), at=(…))"
    (tmp_path / "desk.py").write_text(
        "from deskmodel import Desk, component\n\ndef desk():\n    d = Desk('one box')\n"
        "    d.place(component('network-switch'), at=(0, 0, 0))\n    return d\n")
    ran = deskmodel("check", "--only", "duplicate-part", cwd=tmp_path)
    assert ran.returncode == 2
    assert f"network-switch.toml:{caught.value.line}" in ran.stderr.replace("\n", "")
    assert "not filled in yet" in ran.stderr
    text = path.read_text(encoding="utf-8")
    for missing, reading in (('name = "?"', 'name = "12 V"'), ('at = ["?", "?", "?"]', "at = [160, 80, 12]"),
                             ('towards = "?"', 'towards = "+x"'), ('plug = ["?", "?", "?"]', "plug = [11, 11, 40]"),
                             ('mains = "?"', "mains = false")):
        text = text.replace(missing, reading, 1)
    path.write_text(text, encoding="utf-8")
    component = read_sheet(path)
    assert (component.name, component.mass, component.heat, component.source) == ("network switch", 0.4, 6, "measured")
    assert component.blank.bounds == ((0, 0, 0), (160, 100, 28))
    assert [(hole.at, hole.diameter) for hole in component.features] == [((6, 12), 3.4), ((150, 90), 3.4)]
    ran = deskmodel("check", "--only", "duplicate-part", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "here.toml").write_text("mine\n")
    ran = deskmodel("new", "--component", "here.toml", cwd=tmp_path)
    assert ran.returncode == 2
    assert "is there already" in ran.stderr
    assert (tmp_path / "here.toml").read_text() == "mine\n"


REFUSED = {
    "no number": (["--mass", "light"], "--mass"), "a unit": (["--mass", "0.4kg"], "--mass"),
    "nan": (["--heat", "nan"], "--heat"),
    "too heavy": (["--mass", "400"], "0 to 200"), "two sizes": (["--size", "160x100"], "--size"),
    "a size of nothing": (["--size", "160x0x28"], "0.01 to 3000"), "other digits": (["--size", "١x٢x٣"], "--size"),
    "a hole beside it": (["--size", "160x100x28", "--hole", "159,50,3.4"], "1.7 to 158.3"),
    "a slot": (["--hole", "4-8,10-20"], "round hole"), "edges the wrong way": (["--hole", "8-4,10-14"], "near edge"),
    "half a hole": (["--hole", "6,12"], "--hole"), "no name": (["--name", " "], "1 to 300"),
    "a placeholder": (["--name", "?"], "read"),
    "a folder too": (["mine"], "one of them"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused_writes_nothing(case: str, tmp_path: Path) -> None:
    more, told = REFUSED[case]
    ran = deskmodel("new", "--component", "sheet.toml", *more, cwd=tmp_path)
    assert ran.returncode == 2, ran.stdout
    assert told in ran.stderr
    assert "Traceback" not in ran.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("arguments", "told"), [
    ([], "nothing to start"), (["mine", "--mass", "3"], "--mass"), (["mine", "--hole", "6,6,3"], "--hole"),
    (["--component", "sheet.txt"], ".toml"), (["--component", ".toml"], ".toml"), (["--component", ""], ".toml"),
    (["--component", "none/there/sheet.toml"], "cannot be written"),
    (["--component", "x" * 300 + ".toml"], "cannot be written")])
def test_other_wrong_ways_to_ask(arguments: list[str], told: str, tmp_path: Path) -> None:
    ran = deskmodel("new", *arguments, cwd=tmp_path)
    assert ran.returncode == 2, ran.stdout
    assert told in ran.stderr
    assert list(tmp_path.iterdir()) == []
