"""What was found out about one pair, in the frame of its base body. Small, and storable without pickles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.fit.problem import OverlapKind
from deskmodel.frames import Vec

__all__ = ["CLEAR", "GapFacts", "OverlapFacts", "PairResult", "result_from_json", "result_to_json"]


@dataclass(frozen=True, slots=True, eq=False)
class OverlapFacts:
    """``rim`` (k, 3): corners of the hulls of all pieces, from which the box in any frame follows.
    ``outer``: which body swallows the other: 0 the base, 1 the other; means nothing for other kinds."""

    kind: OverlapKind
    volume: float
    penetration: float
    point: Vec
    rim: NDArray[np.float64]
    pieces: int
    outer: int = 0


@dataclass(frozen=True, slots=True)
class GapFacts:
    """Exact to 0.01 mm. ``way`` is the unit vector from the base to the other."""

    value: float
    point_base: Vec
    point_other: Vec
    way: Vec


@dataclass(frozen=True, slots=True, eq=False)
class PairResult:
    """No overlap, no gap below what was asked and no reason: nothing to say. ``why`` says what was not measured."""

    overlap: OverlapFacts | None = None
    gap: GapFacts | None = None
    why: str | None = None

    @property
    def clear(self) -> bool:
        return self.overlap is None and self.gap is None and self.why is None


CLEAR = PairResult()


def result_to_json(result: PairResult) -> dict[str, Any]:
    out: dict[str, Any] = {}
    if result.overlap is not None:
        o = result.overlap
        out["overlap"] = [o.kind, o.volume, o.penetration, list(o.point), o.rim.tolist(), o.pieces, o.outer]
    if result.gap is not None:
        g = result.gap
        out["gap"] = [g.value, list(g.point_base), list(g.point_other), list(g.way)]
    return out


def result_from_json(said: dict[str, Any]) -> PairResult:
    """Raises KeyError, TypeError or ValueError where ``said`` is not what ``result_to_json`` makes."""
    overlap = gap = None
    if "overlap" in said:
        kind, volume, penetration, point, rim, pieces, outer = said["overlap"]
        if kind not in ("overlap", "swallowed", "duplicate"):
            raise ValueError(f"no kind of overlap: {kind!r}")
        overlap = OverlapFacts(kind, float(volume), float(penetration), _vec(point),
                               np.array(rim, dtype=np.float64).reshape(-1, 3), int(pieces), int(outer))
    if "gap" in said:
        value, a, b, way = said["gap"]
        gap = GapFacts(float(value), _vec(a), _vec(b), _vec(way))
    return PairResult(overlap, gap)


def _vec(row: Any) -> Vec:
    x, y, z = row
    return (float(x), float(y), float(z))
