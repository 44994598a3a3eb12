"""What a client may ask for at most. A browser that shows the page needs a fraction of each."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Limits"]


@dataclass(frozen=True, slots=True)
class Limits:
    """Bytes, numbers and seconds; tests make them smaller."""

    request_line: int = 2048
    head: int = 16 << 10
    """Request line and fields together."""
    fields: int = 64
    connections: int = 64
    """At work at once; half as many more are told so, the others are cut off unanswered."""
    streams: int = 16
    """Of these, those that listen for rounds."""
    head_seconds: float = 5.0
    """From the first byte of a request to the end of its head."""
    idle_seconds: float = 20.0
    """Without a request, for a connection that is kept."""
    stall_seconds: float = 10.0
    """For a client to take the next 64 KiB."""
    linger_seconds: float = 1.0
    """That what a refused client still sends is taken and thrown away: else it would lose the answer."""
    alive_seconds: float = 10.0
    """Between two signs of life to those that listen."""
