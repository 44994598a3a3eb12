"""Shapes prepared for measuring: welded meshes with known error, cores, probes; kept in memory and on disk."""

from __future__ import annotations

from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeSource, ShapeStore

__all__ = ["PreparedShape", "ShapeSource", "ShapeStore"]
