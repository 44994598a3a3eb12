"""Bytes and arrays on disk, by key: what was measured once is not measured again."""

from __future__ import annotations

from deskmodel.cache.arrays import pack, unpack
from deskmodel.cache.disk import DiskCache, default_cache
from deskmodel.cache.salt import geometry_salt

__all__ = ["DiskCache", "default_cache", "geometry_salt", "pack", "unpack"]
