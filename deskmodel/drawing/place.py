"""A place in a desk that is to be drawn: which parts, where, what was measured there."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.desk import PlacedKeepOut
from deskmodel.features import Box3
from deskmodel.frames import Vec, norm, sub

__all__ = ["Place"]


@dataclass(frozen=True, slots=True)
class Place:
    """``parts``: those in question. ``point``: where (desk frame, mm), None: only the map is drawn. ``end``: the other end
    of the line that was measured. ``box``: about the body in which parts overlap. ``figure``: written beside it.
    ``rooms``: keep-outs to be drawn. ``size``: mm that should be seen at the point, where nothing else tells it."""

    parts: tuple[str, ...]
    point: Vec | None
    end: Vec | None = None
    box: Box3 | None = None
    figure: str = ""
    rooms: tuple[PlacedKeepOut, ...] = ()
    size: float = 0.0

    @property
    def extent(self) -> float:
        """The longest side of what has to be seen, mm."""
        if self.box:
            return max(b - a for a, b in zip(*self.box, strict=True))
        return norm(sub(self.end, self.point)) if self.end and self.point else 0.0

    @property
    def least(self) -> float:
        """The figure that should be seen, mm; 0: none."""
        if self.box:
            return min(b - a for a, b in zip(*self.box, strict=True))
        return self.extent or self.size
