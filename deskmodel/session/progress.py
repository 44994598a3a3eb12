"""Says what is going on during long work; the loudest it gets is one line that renews itself."""

from __future__ import annotations

from typing import Protocol

__all__ = ["Progress", "Silent"]


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
