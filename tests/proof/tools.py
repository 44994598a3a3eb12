"""The shop's bits and hand drill, from the ``workshop.toml`` beside a desk script, and the room that a drill takes. mm."""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.proof.facets import Floats, clip


@dataclass(frozen=True)
class Bit:
    """``length``: what goes into the wood, from the tip; ``point``: full angle of the tip, degrees."""

    diameter: float
    length: float
    point: float

    @property
    def tip(self) -> float:
        """From the tip to its shoulder."""
        return self.diameter / 2 / math.tan(math.radians(self.point / 2))


@dataclass(frozen=True)
class Tools:
    bits: tuple[Bit, ...]
    body: float
    """Diameter of the hand drill, about the axis of its chuck."""

    def bits_of(self, diameter: float) -> list[Bit]:
        return [bit for bit in self.bits if abs(bit.diameter - diameter) < 1e-6]


def read_tools(path: Path) -> Tools:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    return Tools(tuple(Bit(float(b["diameter"]), float(b["length"]), float(b["point"])) for b in data["bit"]),
                 float(data["hand_drill"]["diameter"]))


def nearest_behind(corners: Floats, at: Floats, away: Floats) -> float:
    """The least distance from the line through ``at`` along ``away`` to those parts of the facets (m, 3, 3) that lie
    beyond ``at``; infinite where none does. mm."""
    height = (corners - at) @ away
    across = np.cross(away, np.eye(3)[np.argmin(np.abs(away))])
    across /= np.linalg.norm(across)
    up = np.cross(away, across)
    least = math.inf
    for facet in corners[height.max(axis=1) > 0]:
        part = clip(facet, -away, -float(at @ away))
        if len(part):
            least = min(least, _from_origin(np.column_stack([(part - at) @ across, (part - at) @ up])))
    return least


def _from_origin(polygon: Floats) -> float:
    """Distance from the origin to a convex polygon (n, 2), edge-on ones included."""
    following = np.roll(polygon, -1, axis=0)
    edge = following - polygon
    length = np.maximum((edge**2).sum(axis=1), 1e-300)
    t = np.clip(-(polygon * edge).sum(axis=1) / length, 0, 1)
    turn = polygon[:, 0] * following[:, 1] - polygon[:, 1] * following[:, 0]
    if np.abs(turn).sum() > 1e-9 and ((turn > 0).all() or (turn < 0).all()):
        return 0.0
    return float(np.linalg.norm(polygon + t[:, None] * edge, axis=1).min())
