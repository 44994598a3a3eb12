"""The README's own snippets, as a reader would put them together."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

import deskmodel as package
from deskmodel.cli.text import Style
from deskmodel.cli.words import page_of_word
from tests.cli.commands import deskmodel

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
PYTHON = re.findall(r"```python\n(.*?)```", README, re.S)
PORT = dict(re.findall(r"`(name|at|towards|plug|mains) = ([^`]+)`", README))


def test_the_script_of_thirty_lines(tmp_path: Path, cache: Path) -> None:
    (tmp_path / "desk.py").write_text(PYTHON[0], encoding="utf-8")
    ran = deskmodel("check", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    (tmp_path / "desk.py").write_text(PYTHON[0].replace("depth - 44", "depth - 43"), encoding="utf-8")
    ran = deskmodel("check", cwd=tmp_path, cache=cache)
    assert ran.returncode == 1
    assert "parts-overlap" in ran.stdout


def test_a_bay_with_equipment_is_added_following_the_text(tmp_path: Path, cache: Path) -> None:
    command = re.search(r"deskmodel (new --component.*?)\n```", README, re.S)
    assert command
    ran = deskmodel(*command[1].replace("\\\n", " ").split(), cwd=tmp_path)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    sheet = tmp_path / "equipment" / "supply.toml"
    text = sheet.read_text(encoding="utf-8")
    start = text.index("[[port]]")
    for key, value in PORT.items():
        text = text[:start] + re.sub(rf"^{key} = [^#\n]*", f"{key} = {value} ", text[start:], count=1, flags=re.M)
    sheet.write_text(text, encoding="utf-8")
    first, *_ = PYTHON
    script = first.replace("import Bond,", "import Bond, Cover, Rest, component,").replace("    return d\n", PYTHON[1]
                                                                                       + "    return d\n")
    (tmp_path / "desk.py").write_text(script, encoding="utf-8")
    ran = deskmodel("check", "--bays", cwd=tmp_path, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "nothing found" in ran.stdout
    assert "556 × 256" in ran.stdout  # 600 and 300 less two members of 22


def test_the_engine_on_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(PYTHON[2], "README.md", "exec"), {})
    said = capsys.readouterr().out
    assert "block and sunk pin overlap by 0.050 mm" in said
    assert "8.050 mm apart, 9.0 required" in said


def test_every_word_is_explained(tmp_path: Path) -> None:
    for word in (*package.__all__, "Desk.place", "bay", "data-sheet", "workshop", "service", "goods"):
        if word in ("BuildFault", "DeskmodelError"):
            continue
        page = page_of_word(word, Style.of(sys.stdout, wanted=False))
        assert page is not None, word
        assert len("\n".join(page).split("\n", 1)[1]) > 15, word
    ran = deskmodel("explain", "Membr", cwd=tmp_path)
    assert ran.returncode == 2
    assert "did you mean Member?" in ran.stderr
