"""Progress on standard error: a line that renews itself on a terminal, now and then a plain line elsewhere."""

from __future__ import annotations

import time
from typing import TextIO

__all__ = ["TerminalProgress"]

_QUIET = 2.0
"""s. Work that takes less says nothing where lines cannot be taken back."""
_RENEW = 0.1
"""s between two renewals of the live line."""


class TerminalProgress:
    """See ``deskmodel.session.progress.Progress``."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._live = stream.isatty()
        self._text = ""
        self._last = time.monotonic()

    def step(self, text: str) -> None:
        self._text = text
        self._say(text, at_once=self._live)

    def count(self, done: int, total: int) -> None:
        self._say(f"{self._text}: {done:,} of {total:,}", at_once=False)

    def end(self) -> None:
        if self._live:
            self._stream.write("\r\x1b[K")
            self._stream.flush()

    def _say(self, text: str, *, at_once: bool) -> None:
        now = time.monotonic()
        if not at_once and now - self._last < (_RENEW if self._live else _QUIET):
            return
        self._last = now
        self._stream.write(f"\r\x1b[K{text[:79]}" if self._live else f"{text}\n")
        self._stream.flush()
