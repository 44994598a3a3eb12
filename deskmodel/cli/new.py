"""``deskmodel new FOLDER``: a worked desk as a start of one's own."""

from __future__ import annotations

import os
import shutil
import tempfile
from argparse import Namespace
from pathlib import Path

import deskmodel
from deskmodel import service, workshop
from deskmodel.cli.new_component import new_component, refuse_readings
from deskmodel.errors import BuildFault, InputFault

__all__ = ["TEMPLATES", "new", "template"]

TEMPLATES = {"shelf": "a radio shelf, one file of a hundred lines", "duty-desk": "a whole duty desk, the worked example"}
"""What can be started from, and what it is; the first where nobody says."""

_LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.pyc", ".*")


def template(name: str) -> Path:
    """The folder of a worked desk: inside the package, or the duty desk beside it in a checkout. One source, no copy."""
    package = Path(deskmodel.__file__).resolve().parent
    beside = {"duty-desk": package.parent / "parts"}
    for folder in (package / "templates" / name, beside.get(name)):
        if folder is not None and (folder / "desk.py").is_file():
            return folder
    raise BuildFault(f"the worked desk {name!r} is missing from this installation")


def new(arguments: Namespace) -> int:
    """Write FOLDER/parts, with the profiles of workshop and cutting service, whole or not at all; refuse a folder that holds
    anything. With --component a data sheet."""
    if arguments.component is not None:
        return new_component(arguments)
    refuse_readings(arguments)
    if arguments.folder is None:
        raise InputFault("nothing to start", allowed="FOLDER for a desk, --component FILE.toml for a data sheet")
    folder = Path(arguments.folder)
    try:
        if folder.is_dir() and any(folder.iterdir()):
            raise InputFault("is not empty", file=str(folder), allowed="a folder that is empty or does not exist yet")
        if folder.exists() and not folder.is_dir():
            raise InputFault("is not a folder", file=str(folder))
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".new-", dir=folder) as beside:
            copy = Path(beside) / "parts"
            shutil.copytree(template(arguments.desk or next(iter(TEMPLATES))), copy, ignore=_LEFT_OUT)
            for profile in (workshop, service):  # to be filled in with one's own tools, and with what one's service states
                if not (copy / profile.NAME).exists():
                    (copy / profile.NAME).write_bytes(profile.DEFAULT.read_bytes())
            os.rename(copy, folder / "parts")
    except OSError as error:
        raise InputFault(f"cannot be written ({error.strerror or error})", file=str(error.filename or folder)) from error
    written = sum(path.is_file() for path in (folder / "parts").rglob("*"))
    print(f"{folder / 'parts'}: {written} files. Next:\n    cd {folder}\n    deskmodel check")
    if (folder / "parts" / "dimensions.py").is_file():
        print("Then change a number in parts/dimensions.py and check again.")
    return 0
