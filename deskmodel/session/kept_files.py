"""What exporters wrote, kept by everything that it can depend on: of an unchanged desk nothing is drawn twice.

The key holds the whole job (model, what the checks said, the script's lines, the stock list, for some also what was
measured), the sources of the whole package and the versions of everything that is installed. Files are kept only after their
own reader has found in them what was meant; those that come from here are compared, byte for byte, with what was read then.
"""

from __future__ import annotations

import hashlib
import io
import json
import platform
import sys
import zipfile
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.exporters import Exporter, ExportJob, Written
from deskmodel.model import write_json

__all__ = ["KeptFiles", "source_salt"]

_PACKAGE = Path(__file__).resolve().parent.parent
_EPOCH = (1980, 1, 1, 0, 0, 0)  # of an entry in a ZIP file: no clock


class KeptFiles:
    """The files of one job. ``job`` need not hold shapes: they follow from its model."""

    def __init__(self, cache: DiskCache, job: ExportJob) -> None:
        self._cache = cache
        outcomes = [(each.id, each.outcome, each.reason, each.deselected, repr(each.findings)) for each in job.outcomes]
        facts = json.dumps([outcomes, job.pairs, job.unreleased, sorted(job.lines.items()), job.stock.digest])
        digest = hashlib.blake2b(digest_size=20)
        for text in (source_salt(), write_json(job.model), facts):
            digest.update(text.encode() + b"\0")
        self._digest = digest.hexdigest()
        told = (job.fit.overlaps, job.fit.gap_faults) if job.fit else None  # the rest of it counts what was known before
        self._measured = hashlib.blake2b(repr((job.mass, told, job.withheld, sorted(job.summaries.items()))).encode(),
                                         digest_size=20).hexdigest()

    def entry(self, exporter: Exporter) -> str:
        """Where the cache keeps what ``exporter`` wrote."""
        by = exporter.export
        also = f":{self._measured}" if exporter.checked_here else ""
        return f"files:{by.__module__}.{by.__qualname__}:{exporter.what}:{self._digest}{also}"

    def find(self, exporter: Exporter) -> Written | None:
        """What it wrote when the same was asked before, or None."""
        kept = self._cache.get(self.entry(exporter))
        files = None if kept is None else _unpacked(kept)
        return None if files is None else Written(files, lambda folder: _compare(folder, files))

    def holds(self, exporter: Exporter) -> bool:
        return self._cache.holds(self.entry(exporter))

    def keep(self, exporter: Exporter, written: Written) -> None:
        """``written`` has been read back."""
        if self._cache.on and not self.holds(exporter):
            self._cache.put(self.entry(exporter), _packed(written.files))


@lru_cache(maxsize=1)
def source_salt() -> str:
    """Hex digest of all sources and data of the package, of Python and of the libraries beside it."""
    digest = hashlib.blake2b(digest_size=16)
    for path in sorted(_PACKAGE.rglob("*")):
        if path.is_file() and "__pycache__" not in path.parts and "templates" not in path.relative_to(_PACKAGE).parts[:1]:
            digest.update(path.relative_to(_PACKAGE).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    for library in _installed():
        digest.update(f"{library}\0".encode())
    digest.update(f"{platform.python_version()} {platform.machine()}".encode())
    return digest.hexdigest()


def _installed() -> list[str]:
    """Name and version of everything that is installed: a file may rest on a library that another one asks for."""
    return sorted({entry.name for folder in sys.path for entry in Path(folder).glob("*.dist-info")})


def _compare(folder: Path, files: Mapping[str, bytes]) -> None:
    for path, data in files.items():
        if (folder / path).read_bytes() != data:
            raise BuildFault(f"{path} on the disk is not what was written")


def _packed(files: Mapping[str, bytes]) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed:
        for path, content in files.items():
            packed.writestr(zipfile.ZipInfo(path, _EPOCH), content, zipfile.ZIP_DEFLATED, 1)
    return data.getvalue()


def _unpacked(data: bytes) -> dict[str, bytes] | None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            return {name: packed.read(name) for name in packed.namelist()}
    except (zipfile.BadZipFile, ValueError):
        return None
