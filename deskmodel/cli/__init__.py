"""The ``deskmodel`` command."""

from __future__ import annotations

from deskmodel.cli.main import main

__all__ = ["main"]
