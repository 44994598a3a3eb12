"""Outlines that no laser can follow, planted in a script one by one: each is refused with file, line and, where there is
one, the place; exit 2, nothing written."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tests.cli.commands import command, environment

SCRIPT = """\
from deskmodel import CutOut, Desk, Flange, Plate, Profile, polygon, rectangle


def desk():
    d = Desk("outlines")
    sheet = rectangle(200, 100)
    d.place(Plate("plate", {outline}, 2, "steel", ({cuts})), at=(0, 0, 0))
    return d
"""
# (outline of the plate, its cuts, words of the message, line at which it was made)
PLANTED = {
    "open: two corners": ("polygon([(0, 0), (100, 0)])", "", ("2 points", "3 or more"), 7),
    "open: a corner that is no place": ("polygon([(0, 0), (100, 0), None])", "", ("corner of a polygon None",), 7),
    "open: all in one line": ("polygon([(0, 0), (50, 50), (100, 100)])", "", ("without area", "one line"), 7),
    # the diagonals of a square of 100 meet in its middle
    "a bow": ("polygon([(0, 0), (100, 100), (100, 0), (0, 100)])", "", ("crosses", "(50, 50)"), 7),
    # by hand: y = 2 x meets y = 80 at 40
    "crosses": ("polygon([(0, 0), (100, 0), (100, 80), (20, 80), (60, 120), (0, 0.0001)])", "", ("crosses",), 7),
    "touches a side": ("polygon([(0, 0), (100, 0), (100, 50), (50, 0), (0, 50)])", "", ("touches", "(50, 0)"), 7),
    "a spike": ("polygon([(0, 0), (100, 0), (100, 50), (150, 50), (100, 50), (0, 50)])", "", ("touches", "(100, 50)"), 7),
    "a corner twice": ("polygon([(0, 0), (100, 0), (100, 0), (100, 50), (0, 50)])", "", ("(100, 0)", "apart"), 7),
    # an arc of half a circle of 100 bulges 50 inwards, through the side 10 above it
    "an arc through the far side": ("Profile(((0, 0, -1), (100, 0, 0), (100, 10, 0), (0, 10, 0)))", "", ("crosses",), 7),
    "clockwise": ("Profile(((0, 0, 0), (0, 50, 0), (100, 50, 0), (100, 0, 0)))", "", ("clockwise",), 7),
    "a crossing cut-out": ("sheet", "CutOut(polygon([(20, 20), (60, 60), (60, 20), (20, 60)])),",
                           ("crosses", "(40, 40)"), 7),
    "cut in two": ("sheet", "CutOut(rectangle(20, 100, (90, 0))),", ("2 pieces", "'plate'"), 7),
    "openings round a piece that falls out": (
        "sheet", "CutOut(rectangle(60, 10, (20, 20))), CutOut(rectangle(60, 10, (20, 70))), "
        "CutOut(rectangle(10, 60, (20, 20))), CutOut(rectangle(10, 60, (70, 20))),", ("2 pieces", "'plate'"), 7),
}


@pytest.mark.parametrize("what", PLANTED)
def test_an_outline_that_cannot_be_cut_is_refused(what: str, tmp_path: Path) -> None:
    outline, cuts, words, line = PLANTED[what]
    (tmp_path / "desk.py").write_text(SCRIPT.format(outline=outline, cuts=cuts), encoding="utf-8")
    ran = subprocess.run([*command("make", "desk.py", "--out", "out")], cwd=tmp_path, env=environment(tmp_path / "cache"),
                         capture_output=True, text=True, check=False)
    said = ran.stdout + ran.stderr
    assert ran.returncode == 2, said
    assert f"desk.py:{line}" in said
    assert "Traceback" not in said
    for word in words:
        assert word in said, said
    assert not (tmp_path / "out").exists() or not any((tmp_path / "out").iterdir())
