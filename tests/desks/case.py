"""What a tiny desk must give: one check's findings, each by its parts and the figure that it measures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from deskmodel import Desk

__all__ = ["Case", "Found"]


@dataclass(frozen=True)
class Found:
    """``measured`` in the check's unit to ``within``; ``near``: a point that the finding's point lies within 1 mm of.
    ``severity``: how bad it is."""

    parts: tuple[str, ...]
    measured: float | None = None
    near: tuple[float, float, float] | None = None
    within: float = 0.01
    severity: str = "stop"


@dataclass(frozen=True)
class Case:
    """``findings`` of the check in question, in any order; those of other checks are not looked at."""

    build: Callable[[], Desk]
    findings: tuple[Found, ...] = ()
