"""``manifest.json``: every other file with its hash, and what they were made from and with. No clock."""

from __future__ import annotations

import hashlib
import json
import platform
from collections.abc import Mapping
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._json import json_bytes

__all__ = ["NAME", "export_manifest"]

NAME = "manifest.json"
SCHEMA = 1
_MADE_WITH = ("cadquery", "cadquery-ocp", "manifold3d", "numpy", "pillow", "python-fcl", "reportlab", "scipy",
              "trimesh")


def export_manifest(job: ExportJob, files: Mapping[str, bytes]) -> Written:
    """The list of ``files`` (relative path -> content), all that the set holds beside this list."""
    record = {
        "schema": SCHEMA, "desk": job.model.name, "revision": job.revision,
        "released": job.unreleased is None, "unreleased": job.unreleased,
        "parameters": dict(job.model.parameters),
        "versions": {"python": platform.python_version(),
                     **{name: _version(name) for name in ("deskmodel", *_MADE_WITH)}},
        "files": [{"path": path, "bytes": len(files[path]), "sha256": hashlib.sha256(files[path]).hexdigest()}
                  for path in sorted(files)],
    }

    def read_back(folder: Path) -> None:
        listed = json.loads((folder / NAME).read_bytes())
        if listed != record:
            raise BuildFault(f"{NAME} read back says something else")
        there = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
        if there != {NAME, *(entry["path"] for entry in listed["files"])}:
            raise BuildFault(f"{NAME} does not list what is there")
        for entry in listed["files"]:
            if hashlib.sha256((folder / entry["path"]).read_bytes()).hexdigest() != entry["sha256"]:
                raise BuildFault(f"{entry['path']} on the disk is not what was written")

    return Written({NAME: json_bytes(record)}, read_back)


def _version(name: str) -> str | None:
    """None: run from a checkout that is not installed."""
    try:
        return version(name)
    except PackageNotFoundError:
        return None
