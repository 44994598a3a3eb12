"""What a stored result depends on beside its own content: the code that made it and the kernel's version.

An editable checkout changes code without changing its version, so the sources themselves are hashed. Nothing is
imported for it: a start that finds everything in the cache stays free of the kernel.
"""

from __future__ import annotations

import hashlib
from functools import lru_cache
from importlib import metadata
from pathlib import Path

__all__ = ["geometry_salt"]

_PACKAGE = Path(__file__).resolve().parent.parent
_FOLDERS = ("cache", "solids", "meshes", "fit")
_FILES = ("tolerances.py", "frames.py")
_LIBRARIES = ("cadquery-ocp", "cadquery", "manifold3d", "python-fcl", "trimesh", "numpy", "scipy")


@lru_cache(maxsize=1)
def geometry_salt() -> str:
    """Hex digest of the geometry sources, the tolerances and the versions of the libraries that measure."""
    digest = hashlib.blake2b(digest_size=16)
    sources = [_PACKAGE / name for name in _FILES]
    for folder in _FOLDERS:
        sources += sorted((_PACKAGE / folder).rglob("*.py"))
    for source in sources:
        digest.update(source.relative_to(_PACKAGE).as_posix().encode() + b"\0")
        try:
            digest.update(source.read_bytes() + b"\0")
        except OSError:
            digest.update(b"unreadable\0")
    for library in _LIBRARIES:
        try:
            version = metadata.version(library)
        except metadata.PackageNotFoundError:
            version = "absent"
        digest.update(f"{library}={version}\0".encode())
    return digest.hexdigest()
