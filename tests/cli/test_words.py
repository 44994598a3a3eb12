"""What ``deskmodel explain`` tells of the words of a script."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import deskmodel as package
from tests.cli.commands import deskmodel


def test_every_word_of_a_script_is_listed_once_with_a_whole_sentence(tmp_path: Path) -> None:
    said = deskmodel("explain", "words", cwd=tmp_path).stdout
    listed = [line.split("  ")[0] for line in said.splitlines() if re.match(r"[A-Za-z_]+  \S", line)]
    assert len(listed) == len(set(listed))
    documented = {name for name in package.__all__ if inspect.getdoc(getattr(package, name))}
    assert set(listed) == documented
    assert {"Member", "ScrewMount", "VentField", "rectangle", "Desk", "component"} <= set(listed)
    entries = re.split(r"\n(?=\S)", said.split("'deskmodel explain Member'")[0].strip())
    assert all(entry.rstrip().endswith(".") for entry in entries if "  " in entry.split("\n")[0])
    desk = deskmodel("explain", "Desk", cwd=tmp_path).stdout
    assert "a box from (0, 0, 0) that no part may leave" in desk
    assert " ".join(desk.split()).count("which lies in the part or at most 10 mm before or behind it.") == 1
