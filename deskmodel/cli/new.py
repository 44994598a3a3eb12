"""``deskmodel new FOLDER``: the worked desk as a start of one's own."""

from __future__ import annotations

import os
import shutil
import tempfile
from argparse import Namespace
from pathlib import Path

import deskmodel
from deskmodel.errors import BuildFault, InputFault

__all__ = ["new", "template"]

_LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc", ".*")


def template() -> Path:
    """The worked desk: inside an installed package, or beside the package in a checkout. One source, no copy."""
    package = Path(deskmodel.__file__).resolve().parent
    for folder in (package / "templates" / "shelf", package.parent / "parts"):
        if (folder / "desk.py").is_file():
            return folder
    raise BuildFault("the worked desk is missing from this installation")


def new(arguments: Namespace) -> int:
    """Write FOLDER/parts whole or not at all; refuse a folder that holds anything."""
    folder = Path(arguments.folder)
    try:
        if folder.is_dir() and any(folder.iterdir()):
            raise InputFault("is not empty", file=str(folder), allowed="a folder that is empty or does not exist yet")
        if folder.exists() and not folder.is_dir():
            raise InputFault("is not a folder", file=str(folder))
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".new-", dir=folder) as beside:
            copy = Path(beside) / "parts"
            shutil.copytree(template(), copy, ignore=_LEFT_OUT)
            os.rename(copy, folder / "parts")
    except OSError as error:
        raise InputFault(f"cannot be written ({error.strerror or error})", file=str(error.filename or folder)) from error
    written = sum(path.is_file() for path in (folder / "parts").rglob("*"))
    print(f"{folder / 'parts'}: {written} files. Next:\n    cd {folder}\n    deskmodel check\n"
          "Then change a number in parts/dimensions.py and check again."
          if (folder / "parts" / "dimensions.py").is_file() else
          f"{folder / 'parts'}: {written} files. Next:\n    cd {folder}\n    deskmodel check")
    return 0
