"""Says what is going on during long work; the loudest it gets is one line that renews itself."""

from __future__ import annotations

import time
from typing import Protocol

__all__ = ["Progress", "Silent", "Stopwatch"]


class Progress(Protocol):
    def step(self, text: str) -> None:
        """A new piece of work begins: "measuring pairs"."""

    def count(self, done: int, total: int) -> None:
        """How far the piece of work is."""

    def end(self) -> None:
        """All work is done: the line goes away."""


class Silent:
    """For callers who want nothing said."""

    def step(self, text: str) -> None:
        return None

    def count(self, done: int, total: int) -> None:
        return None

    def end(self) -> None:
        return None


class Stopwatch:
    """Passes on what is said, and takes how long each piece of work lasted."""

    def __init__(self, told: Progress) -> None:
        self._told = told
        self._taken: dict[str, float] = {}
        self._at: tuple[str, float] | None = None

    def step(self, text: str) -> None:
        self._stop()
        self._at = text, time.perf_counter()
        self._told.step(text)

    def count(self, done: int, total: int) -> None:
        self._told.count(done, total)

    def end(self) -> None:
        self._stop()
        self._told.end()

    def take(self) -> dict[str, float]:
        """s by piece of work since it was last asked."""
        self._stop()
        taken, self._taken = self._taken, {}
        return taken

    def _stop(self) -> None:
        if self._at is not None:
            text, since = self._at
            self._taken[text] = self._taken.get(text, 0.0) + time.perf_counter() - since
            self._at = None
