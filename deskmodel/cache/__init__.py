"""Bytes on disk, by key: what was measured once is not measured again. (Arrays as bytes: ``arrays``, which needs numpy.)"""

from __future__ import annotations

from deskmodel.cache.disk import DiskCache, default_cache
from deskmodel.cache.salt import geometry_salt

__all__ = ["DiskCache", "default_cache", "geometry_salt"]
