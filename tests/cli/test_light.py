"""What must come at once imports nothing heavy."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.commands import CLEAN, environment
from tests.test_layers import HEAVY

CASES: dict[str, tuple[list[str], int]] = {
    "help": (["--help"], 0), "help of make": (["make", "--help"], 0), "version": (["--version"], 0),
    "no command": ([], 2), "unknown option": (["check", "--fast"], 2), "explain": (["explain"], 0),
    "explain one": (["explain", "parts-overlap"], 0), "explain none": (["explain", "parts-overlaps"], 2),
    "missing script": (["check", "none.py"], 2), "syntax error": (["check", "bad.py"], 2),
    "unknown parameter": (["check", "desk.py", "--set", "widht=3"], 2),
    "ill-typed parameter": (["make", "desk.py", "--set", "width=wide"], 2),
    "unknown check": (["check", "desk.py", "--only", "parts-overlap,nothing"], 2), "new": (["new", "mine"], 0),
    "new sheet": (["new", "--component", "a.toml"], 0)}


@pytest.mark.parametrize("case", CASES)
def test_imports_nothing_heavy(case: str, tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    (tmp_path / "bad.py").write_text("def desk(:\n")
    arguments, status = CASES[case]
    code = ("import sys\nfrom deskmodel.cli import main\n"
            f"status = main({arguments!r})\n"
            f"print('HEAVY', sorted({sorted(HEAVY)!r} & sys.modules.keys()), status)\n")
    code = code.replace(f"{sorted(HEAVY)!r} &", f"set({sorted(HEAVY)!r}) &")
    ran = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, env=environment("off"), capture_output=True,
                         text=True, check=False)
    assert ran.stdout.splitlines()[-1] == f"HEAVY [] {status}", ran.stderr
    assert "Traceback" not in ran.stderr
    if status == 2 and arguments[:1] in (["check"], ["make"], ["explain"]) and case != "unknown option":
        assert ran.stderr.startswith("the input is at fault\n")
