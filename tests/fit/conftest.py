"""One engine for all tests of a file: shapes are prepared once, as in use."""

from __future__ import annotations

import pytest

from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine
from deskmodel.meshes import ShapeStore


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))
