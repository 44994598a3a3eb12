"""What the kernel read in a STEP file, kept by the SHA-256 of the file's bytes: the same bytes are read once.

Any other bytes on the disk, be it one that differs, have another hash and are read by the kernel. The cache's keys hold the
kernel's version and the sources that read, so a new kernel reads again.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import astuple
from pathlib import Path
from typing import Any

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, Vec
from deskmodel.session.ahead import Ahead
from deskmodel.solids.step_file import Measure, ReadOccurrence, StepContent, read_step

__all__ = ["KnownSteps", "StepReader", "known_step"]

_LARGE = 1_000_000  # bytes; a smaller file is read in less time than a second process takes to start


class StepReader:
    """``deskmodel.exporters`` says early what will be read, so that it can be read meanwhile."""

    def __init__(self, cache: DiskCache, ahead: Ahead) -> None:
        self._cache, self._ahead = cache, ahead

    def announce(self, data: bytes) -> None:
        if len(data) > _LARGE and not self._cache.holds(_entry(data)):
            self._ahead.read(data)

    def read(self, path: Path) -> StepContent:
        self._ahead.wait()
        return known_step(self._cache, path)


class KnownSteps:
    """For the process that works ahead itself: a file is read when it is asked for, and what was in it is kept."""

    def __init__(self, cache: DiskCache) -> None:
        self._cache = cache

    def announce(self, data: bytes) -> None:
        pass

    def read(self, path: Path) -> StepContent:
        return known_step(self._cache, path)


def known_step(cache: DiskCache, path: Path) -> StepContent:
    """What is in the file as it is on the disk now. Raises BuildFault as ``read_step`` does; that is not kept."""
    key = _key(path)
    content = _decoded(cache.get(key))
    if content is None:
        content = read_step(path)
        if _key(path) == key:  # it was these bytes that the kernel read
            cache.put(key, json.dumps(astuple(content)).encode())
    return content


def _entry(data: bytes) -> str:
    return f"step-read:{hashlib.sha256(data).hexdigest()}"


def _key(path: Path) -> str:
    try:
        return _entry(path.read_bytes())
    except FileNotFoundError:
        raise BuildFault(f"{path.name} was not written") from None


def _decoded(data: bytes | None) -> StepContent | None:
    if data is None:
        return None
    try:
        name, occurrences, products, product_names = json.loads(data)
        return StepContent(
            str(name),
            tuple(ReadOccurrence(str(part), Pose((_vec(x), _vec(y), _vec(z)), _vec(origin)),
                                 None if colour is None else _vec(colour), int(product))
                  for part, ((x, y, z), origin), colour, product in occurrences),
            tuple(Measure(float(volume), _vec(low), _vec(high)) for volume, low, high in products),
            tuple(str(product) for product in product_names))
    except (ValueError, TypeError):
        return None


def _vec(row: Any) -> Vec:
    x, y, z = row
    return (float(x), float(y), float(z))
