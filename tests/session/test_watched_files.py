"""What counts as a save, however it is made."""

from __future__ import annotations

import os
import shutil
import threading
import time
from pathlib import Path

import pytest

from deskmodel.session.script import run_script
from deskmodel.session.watched_files import WatchedFiles
from tests.cli.commands import CLEAN, ROOT

SHELF = ROOT / "deskmodel/templates/shelf"


def test_the_files_of_a_desk_are_its_modules_and_sheets(tmp_path: Path) -> None:
    shutil.copytree(SHELF, tmp_path / "shelf")
    ran = run_script(tmp_path / "shelf/desk.py")
    assert ran.files is not None
    expected = {path for path in (tmp_path / "shelf").rglob("*") if path.suffix in (".py", ".toml")}
    assert set(ran.files) == expected


def test_files_are_told_of_a_script_at_fault_too(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text("import sizes\n")
    (tmp_path / "sizes.py").write_text("width = = 3\n")
    ran = run_script(tmp_path / "desk.py")
    assert ran.desk is None
    assert ran.files == (tmp_path / "desk.py", tmp_path / "sizes.py")


def test_what_a_script_writes_is_none_of_its_files(tmp_path: Path) -> None:
    (tmp_path / "read.csv").write_text("300\n")
    (tmp_path / "desk.py").write_text(
        "import logging, os\n"
        "logging.basicConfig(filename='grows.log')\n"
        "open('anew.txt', 'w').close(); open('more.txt', 'a').close(); open('first.txt', 'x').close()\n"
        "os.close(os.open('bare.txt', os.O_CREAT | os.O_WRONLY)); open('both.txt', 'w+').read(); open('anew.txt').read()\n"
        "open('read.csv').read()\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        ran = run_script(tmp_path / "desk.py")
    assert ran.files == (tmp_path / "desk.py", tmp_path / "read.csv")


def saved(files: WatchedFiles) -> bool:
    """Whether something was saved, within a few looks."""
    looks = iter([False] * 4)
    return files.wait(lambda: next(looks, True))


def test_what_counts_as_a_save(tmp_path: Path) -> None:
    script, sheet, foreign = tmp_path / "desk.py", tmp_path / "equipment/box.toml", tmp_path / "notes.txt"
    sheet.parent.mkdir()
    for path in (script, sheet, foreign):
        path.write_text("")
        os.utime(path, (1, 1))
    files = WatchedFiles(script)
    files.read_by_script([script, sheet], since=2.0, whole=True)
    assert not saved(files)
    foreign.write_text("no part of it")
    assert not saved(files)
    sheet.write_text("a = 1")
    assert saved(files)
    assert not saved(files)
    (tmp_path / "desk.py.new").write_text("print()")
    os.replace(tmp_path / "desk.py.new", script)  # as many editors save
    assert saved(files)
    (sheet.parent / "second.toml").write_text("")  # it may have been missing
    assert saved(files)
    sheet.unlink()
    assert saved(files)


def test_what_is_saved_while_the_script_runs_is_not_lost(tmp_path: Path) -> None:
    script, module = tmp_path / "desk.py", tmp_path / "elsewhere/sizes.py"
    module.parent.mkdir()
    for path in (script, module):
        path.write_text("")
    files = WatchedFiles(script)
    files.read_by_script([script, module], since=module.stat().st_mtime - 1.0, whole=True)
    assert saved(files)


def test_a_run_that_broke_off_forgets_nothing(tmp_path: Path) -> None:
    script, module = tmp_path / "desk.py", tmp_path / "elsewhere/sizes.py"
    module.parent.mkdir()
    for path in (script, module):
        path.write_text("")
        os.utime(path, (1, 1))
    files = WatchedFiles(script)
    files.read_by_script([script, module], since=2.0, whole=True)
    files.read_by_script([script], since=2.0, whole=False)
    assert not saved(files)
    module.write_text("x = 1")
    assert saved(files)


def aged(path: Path, text: str = "") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text)
    os.utime(path, (1, 1))
    return path


def test_two_saves_within_one_tick_of_the_clock(tmp_path: Path) -> None:
    """Of one length, at one time: on a file system that counts in seconds that is what two quick saves look like."""
    script = aged(tmp_path / "desk.py", "a = 1")
    files = WatchedFiles(script)
    now = time.time()
    for text in ("a = 2", "a = 3", "a = 4"):
        script.write_text(text)
        os.utime(script, (now, now))
        assert saved(files), text
    assert not saved(files)


def test_a_file_that_gets_an_old_time_back(tmp_path: Path) -> None:
    script = aged(tmp_path / "desk.py", "a = 1")
    files = WatchedFiles(script)
    script.write_text("a = 2")
    os.utime(script, (1, 1))  # the size and the time it had
    assert saved(files)
    assert not saved(files)


def test_a_script_that_is_a_link(tmp_path: Path) -> None:
    """Watched at both ends: its modules lie beside the file that it leads to."""
    real, other = aged(tmp_path / "real/desk.py", CLEAN), aged(tmp_path / "other/desk.py", CLEAN)
    link = tmp_path / "desk.py"
    link.symlink_to(real)
    files = WatchedFiles(link)
    ran = run_script(link)
    assert ran.files == (real,)
    files.read_by_script(ran.files, time.time(), whole=True)
    assert not saved(files)
    real.write_text(CLEAN + "\n")
    assert saved(files)
    (real.parent / "sizes.py").write_text("")
    assert saved(files)
    (tmp_path / "new").symlink_to(other)
    os.replace(tmp_path / "new", link)
    assert saved(files)


def test_a_script_that_goes_and_comes_back(tmp_path: Path) -> None:
    script = aged(tmp_path / "desk.py", "a = 1")
    files = WatchedFiles(script)
    script.unlink()
    assert saved(files)
    assert not saved(files)
    script.write_text("a = 1")
    assert saved(files)
    shutil.move(tmp_path, tmp_path.with_name("away"))
    try:
        assert saved(files)
    finally:
        shutil.move(tmp_path.with_name("away"), tmp_path)
    assert saved(files)


def test_modules_and_sheets_that_were_sought_in_vain(tmp_path: Path) -> None:
    script = aged(tmp_path / "desk.py", "import optional.frame\n")
    files = WatchedFiles(script)
    ran = run_script(script)
    assert ran.files is not None
    files.read_by_script(ran.files, time.time(), whole=False)
    assert not saved(files)
    (tmp_path / "optional").mkdir()
    (tmp_path / "optional/__init__.py").write_text("")
    assert saved(files)
    (tmp_path / "equipment").mkdir()
    (tmp_path / "equipment/box.toml").write_text("")
    assert saved(files)


def test_what_is_no_file_is_not_opened(tmp_path: Path) -> None:
    files = WatchedFiles(aged(tmp_path / "desk.py"))
    os.mkfifo(tmp_path / "pipe.toml")  # whoever opened it would wait for good
    (tmp_path / "folder.toml").mkdir()
    assert saved(files)
    assert not saved(files)


def test_a_save_in_steps_is_one(tmp_path: Path) -> None:
    script = aged(tmp_path / "desk.py", "a = 1")
    files = WatchedFiles(script)

    def slowly() -> None:
        with script.open("w") as file:
            for piece in ("a", " ", "=", " ", "2"):
                file.write(piece)
                file.flush()
                time.sleep(0.03)

    saving = threading.Thread(target=slowly)
    saving.start()
    assert files.wait(lambda: False)
    thrown_away = 0
    while not files.quiet():
        thrown_away += 1
    saving.join()
    assert thrown_away
    assert script.read_text() == "a = 2"
    assert not saved(files)


def test_a_file_written_anew_by_the_script_itself_is_no_save(tmp_path: Path) -> None:
    script, made = aged(tmp_path / "desk.py"), aged(tmp_path / "made.toml", "a = 1")
    files = WatchedFiles(script)
    script.write_text("b = 2")
    assert files.wait(lambda: False)
    made.write_text("a = 1")  # while it runs
    assert files.quiet()
    assert not saved(files)
    made.write_text("a = 2")
    assert not files.quiet()
    assert files.quiet()
    assert not saved(files)


def test_what_stays_is_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[Path] = []

    def digest(path: Path, about: os.stat_result) -> bytes:
        read.append(path)
        return b""

    monkeypatch.setattr("deskmodel.session.watched_files._digest", digest)
    script, young = aged(tmp_path / "desk.py"), tmp_path / "young.py"
    young.write_text("")
    files = WatchedFiles(script)
    assert sorted(read) == [script, young]
    read.clear()
    assert not saved(files)
    assert set(read) == {young}
