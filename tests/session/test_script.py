"""Bad scripts: each gives one InputFault at its line, none hurts the process that asked. Whatever holds of a run in a
process of its own holds of one that is forked from a waiting process."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from deskmodel.errors import InputFault
from deskmodel.model import read_json
from deskmodel.session import nursery as nursery_module
from deskmodel.session.nursery import Nursery
from deskmodel.session.script import SCRIPT_CHILD, LoadedScript, find_script, run_script

HEAD = """\
from deskmodel.desk import Desk
from deskmodel.part import Member

def rail(d, length=300.0):
    return d.place(Member("rail", section=(22, 60), length=length, material="ash"), at=(0, 0, 0))
"""  # five lines

GOOD = HEAD + """
def desk(width: float = 300, count: int = 2) -> Desk:
    d = Desk("one rail")
    rail(d, width)
    return d
"""


@pytest.fixture(scope="module")
def waiting() -> Iterator[Nursery]:
    nursery = Nursery(SCRIPT_CHILD)
    yield nursery
    nursery.close()


@pytest.fixture(autouse=True, params=["alone", "forked"])
def way(request: pytest.FixtureRequest, waiting: Nursery, monkeypatch: pytest.MonkeyPatch) -> str:
    """Each test twice."""
    if request.param == "forked":
        monkeypatch.setattr(nursery_module, "ask", None)  # which would take over: it must not have to
        monkeypatch.setitem(WAY, "nursery", waiting)
    return str(request.param)


WAY: dict[str, Any] = {}


def load_script(path: Path, **how: Any) -> LoadedScript:
    ran = run_script(path, **how, **WAY)
    if ran.fault is not None:
        raise ran.fault
    assert ran.desk is not None
    return ran.desk


def write(folder: Path, text: str | bytes, name: str = "desk.py") -> Path:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def fault_of(path: Path, seconds: float = 20.0, **texts: str) -> InputFault:
    with pytest.raises(InputFault) as caught:
        load_script(path, texts=texts, seconds=seconds)
    return caught.value


def test_a_good_script(tmp_path: Path) -> None:
    loaded = load_script(write(tmp_path, GOOD), texts={"width": "250"})
    assert loaded.parameters == {"width": 250.0, "count": 2}
    assert loaded.lines["rail"] == "desk.py:5 (from line 9)"
    model = read_json(loaded.model)
    assert [part.name for part in model.parts] == ["rail"]
    assert dict(model.parameters) == {"width": 250, "count": 2}


# (text after HEAD, words of the problem, line in the whole file or None)
BAD = {
    "syntax": ("def desk(:\n", "not valid Python", 6),
    "no desk": ("x = 1\n", "no function named desk", None),
    "desk is no function": ("desk = 3\n", "a value of type int", None),
    "returns nothing": ("def desk():\n    Desk('a')\n", "returned None; is 'return' missing?", 6),
    "returns the class": ("def desk():\n    return Desk\n", "returned a value of type type", 6),
    "returns a coroutine": ("async def desk():\n    return Desk('a')\n", "type coroutine", 6),
    "exception": ("def desk():\n    return 1 / 0\n", "ZeroDivisionError: division by zero", 7),
    "exception on import": ("import nothing_of_that_name\n", "ModuleNotFoundError", 6),
    "exception without text": ("class E(Exception):\n    def __str__(self): raise E()\ndef desk():\n    raise E()\n",
                               "its text cannot be read", 9),
    "sys.exit": ("import sys\ndef desk():\n    sys.exit(0)\n", "sys.exit(0)", 8),
    "sys.exit on import": ("raise SystemExit('bye')\n", "sys.exit('bye')", 6),
    "os._exit": ("import os\ndef desk():\n    os._exit(0)\n", "exit status 0", None),
    "signal to itself": ("import os\ndef desk():\n    os.kill(os.getpid(), 11)\n", "SIGSEGV", None),
    "endless recursion": ("def desk():\n    return desk()\n", "RecursionError", 7),
    "keyboard interrupt": ("def desk():\n    raise KeyboardInterrupt\n", "KeyboardInterrupt", 7),
    "negative length": ("def desk():\n    d = Desk('a')\n    rail(d, -5)\n    return d\n", "-5", 5),
    "not a number": ("def desk():\n    d = Desk('a')\n    rail(d, float('nan'))\n    return d\n", "nan", 5),
    "wrong type": ("def desk():\n    d = Desk('a')\n    rail(d, '300')\n    return d\n", "300", 5),
    "two of a name": ("def desk():\n    d = Desk('a')\n    rail(d)\n    rail(d)\n    return d\n", "'rail'", 5),
    "memory": ("def desk():\n    return bytearray(1 << 40)\n", "of memory", 7),
    "null byte": ("x = '\0'\n", "null byte", 6),
    "a name that is no UTF-8": ("def desk():\n    return Desk('\\ud800')\n", "which is no character", None),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_script(case: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    text, problem, line = BAD[case]
    script = write(tmp_path, HEAD + text)
    fault = fault_of(script)
    assert problem in fault.problem
    assert fault.file == str(script)
    if line is not None:
        assert fault.line == line
    assert "Traceback" not in capfd.readouterr().err


def test_a_fault_in_a_function_says_where_it_was_called(tmp_path: Path) -> None:
    fault = fault_of(write(tmp_path, HEAD + "def desk():\n    d = Desk('a')\n    rail(d)\n    rail(d, -5)\n    return d\n"))
    assert (fault.line, fault.problem.endswith("(called from line 9)")) == (5, True), fault.problem
    (tmp_path / "rails.py").write_text("def two():\n    raise KeyError('pine')\n")
    fault = fault_of(write(tmp_path, HEAD + "import rails\ndef desk():\n    return rails.two()\n"))
    assert fault.file == str(tmp_path / "rails.py")
    assert fault.problem == "raised KeyError: 'pine' (called from desk.py:8)"
    fault = fault_of(write(tmp_path, HEAD + "def desk():\n    raise KeyError('pine')\n"))
    assert fault.problem == "raised KeyError: 'pine'"


def test_a_missing_sheet_is_told_at_the_script_line_with_a_name_like_it(tmp_path: Path) -> None:
    (tmp_path / "equipment").mkdir()
    (tmp_path / "equipment" / "supply-12v.toml").write_text("")
    script = write(tmp_path, HEAD + "from deskmodel import component\ndef desk():\n    return component('suply-12v')\n")
    fault = fault_of(script)
    assert fault.problem == "no sheet 'suply-12v' in equipment/; did you mean 'supply-12v'?"
    assert (fault.file, fault.line) == (str(script), 8)


def test_an_endless_loop_is_told_at_its_line(tmp_path: Path) -> None:
    script = write(tmp_path, HEAD + "def desk():\n    n = 0\n    while True:\n        n += 1\n")
    start = time.monotonic()
    fault = fault_of(script, seconds=0.5)
    assert time.monotonic() - start < 4.0
    assert fault.problem == "did not finish within 0.5 s"
    assert fault.line in (8, 9)


def test_a_loop_that_cannot_be_interrupted_ends_all_the_same(tmp_path: Path,
                                                           monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("deskmodel.processes.GRACE", 0.5)
    marker = tmp_path / "still there"
    script = write(tmp_path, f"""
import os, subprocess, sys, time
def desk():
    print(os.getpid(), subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"]).pid,
          file=open({str(marker)!r}, "w"), flush=True)
    while True:
        try:
            time.sleep(1)
        except BaseException:
            pass
""")
    fault = fault_of(script, seconds=1.0)
    assert fault.problem == "did not finish within 1 s"
    for pid in map(int, marker.read_text().split()):  # nor do children that it started stay behind
        for _ in range(100):
            try:
                os.kill(pid, 0)
                state = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0]
            except (ProcessLookupError, FileNotFoundError):
                break
            if state == "Z":
                break
            time.sleep(0.02)
        else:
            pytest.fail(f"process {pid} is still there")


def test_what_the_script_prints_goes_to_standard_error(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    script = write(tmp_path, "import os\nprint('one')\nos.write(1, b'two\\n')\n" + GOOD)
    load_script(script)
    out, err = capfd.readouterr()
    assert out == ""
    assert {"one", "two"} <= set(err.split())


def test_siblings_can_be_imported_and_are_named_in_faults(tmp_path: Path) -> None:
    write(tmp_path, "LENGTH = 300.0\ndef fail():\n    raise ValueError('no')\n", "dimensions.py")
    good = write(tmp_path, "import dimensions\n" + HEAD + "def desk():\n    d = Desk('a')\n"
                           "    rail(d, dimensions.LENGTH)\n    return d\n")
    assert "rail" in load_script(good).lines
    bad = write(tmp_path, "import dimensions\ndef desk():\n    dimensions.fail()\n")
    fault = fault_of(bad)
    assert (fault.file, fault.line) == (str(tmp_path / "dimensions.py"), 3)
    write(tmp_path, "LENGTH = (\n", "dimensions.py")
    fault = fault_of(bad)
    assert (fault.file, fault.line) == (str(tmp_path / "dimensions.py"), 1)
    assert not (tmp_path / "__pycache__").exists()


def test_a_script_may_be_called_like_a_module_that_is_needed_later(tmp_path: Path) -> None:
    for name in ("json.py", "deskmodel.py"):
        loaded = load_script(write(tmp_path, GOOD, name))
        assert "rail" in loaded.lines
        (tmp_path / name).unlink()


def test_files_that_are_no_scripts(tmp_path: Path) -> None:
    assert "no such file" in fault_of(tmp_path / "none.py").problem
    assert "is a folder" in fault_of(tmp_path).problem
    write(tmp_path, GOOD)
    assert str(tmp_path / "desk.py") in (fault_of(tmp_path).allowed or "")
    latin = write(tmp_path, b"# caf\xe9\n", "latin.py")
    fault = fault_of(latin)
    assert "not UTF-8" in fault.problem
    assert fault.line == 1
    os.mkfifo(tmp_path / "pipe.py")
    assert "not a plain file" in fault_of(tmp_path / "pipe.py").problem


def test_no_script_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputFault, match="no desk script here"):
        find_script(None)
    write(tmp_path, GOOD)
    assert find_script(None) == Path("desk.py")
    (tmp_path / "parts").mkdir()
    write(tmp_path / "parts", GOOD)
    assert find_script(None) == Path("parts/desk.py")
    assert load_script(find_script(None)).lines["rail"] == "desk.py:5 (from line 9)"
    assert fault_of(Path("parts/desk.py"), width="x").file == "parts/desk.py"
