"""Desks exported by the command line, in a process of its own, once for all tests. The proof reads the files."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Export:
    """``folder`` of the desk, and the ``workshop`` profile that it was made with."""

    folder: Path
    workshop: Path


def run(*arguments: str, cwd: Path = ROOT) -> None:
    done = subprocess.run([sys.executable, "-m", "deskmodel", *arguments], cwd=cwd, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


def made(script: Path, workshop: Path, out: Path) -> Export:
    run("make", str(script), "--out", str(out))
    (folder,) = (path for path in out.iterdir() if path.is_dir())
    return Export(folder, workshop)


@pytest.fixture(scope="session")
def duty(tmp_path_factory: pytest.TempPathFactory) -> Export:
    """The worked desk."""
    return made(ROOT / "parts" / "desk.py", ROOT / "parts" / "workshop.toml", tmp_path_factory.mktemp("duty"))


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Export:
    """What ``deskmodel new`` starts from."""
    folder = tmp_path_factory.mktemp("shelf")
    run("new", "--desk", "shelf", str(folder))
    return made(folder / "parts" / "desk.py", folder / "parts" / "workshop.toml", folder / "exports")


@pytest.fixture(scope="session")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Export:
    """A frame where nothing lies in the middle and each end needs a jig of its own hand."""
    folder = ROOT / "tests" / "desks" / "odd_frame"
    return made(folder / "desk.py", folder / "workshop.toml", tmp_path_factory.mktemp("odd"))


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Export:
    """A frame with every kind of dowel joint, its workshop assumed."""
    return made(ROOT / "tests" / "planted" / "joint_faults" / "tiny" / "desk.py",
                ROOT / "deskmodel" / "catalogue" / "workshop.toml", tmp_path_factory.mktemp("tiny"))
