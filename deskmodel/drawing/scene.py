"""Several parts seen together: solids where they stand, with the cuts that can be told at the size they are drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from deskmodel._edges import Point
from deskmodel.drawing._part_solids import solid_of
from deskmodel.drawing._solids import Solid
from deskmodel.drawing.hidden_lines import Seen, View, look_each
from deskmodel.faces import PlacedPart
from deskmodel.features import Prism, Removal
from deskmodel.frames import Pose, Vec
from deskmodel.part import CustomShape
from deskmodel.profiles import rectangle

__all__ = ["Scene", "scene_of"]

_FASTENING = ("dowel", "insert", "screw", "vent")
_OFF = 0.02  # mm off a surface, from where it is looked at
_GRID = (0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92)


@dataclass(frozen=True)
class Scene:
    """``names`` and ``solids`` in one order, in the desk's frame."""

    names: tuple[str, ...]
    solids: tuple[Solid, ...]

    def seen(self, view: View, step: float | None) -> tuple[Seen, ...]:
        """Visible edges of each solid."""
        return look_each(self.solids, view, step, hidden=False)

    def places(self, view: View) -> dict[str, Point | None]:
        """By part, a point of the paper at which it can be seen, well within it; None where it is covered."""
        turned = [solid.seen_from(view.pose) for solid in self.solids]
        return {name: self._visible_point(turned, i) for i, name in enumerate(self.names)}

    def _visible_point(self, turned: Sequence[Solid], which: int) -> Point | None:
        """Of the faces that look at the eye the middle first, then farther out."""
        own = turned[which]
        low, high = own.box
        over = [solid for solid in turned if _meet(solid.box, (low, high))]
        for u, v in ((u, v) for u in _GRID for v in _GRID):
            x, y = low[0] + u * (high[0] - low[0]), low[1] + v * (high[1] - low[1])
            spans = [span for body in own.adds for span in body.spans((x, y, 0.0), (0.0, 0.0, 1.0))]
            if not spans:
                continue
            z = max(stop for _, stop in spans) - _OFF
            if own.holds((x, y, z)) and not any(solid.blocks((x, y, z + 2 * _OFF), (0.0, 0.0, 1.0)) for solid in over):
                return x, y
        return None


def _meet(a: tuple[Vec, Vec], b: tuple[Vec, Vec]) -> bool:
    return all(a[0][i] < b[1][i] and b[0][i] < a[1][i] for i in (0, 1)) and a[1][2] > b[0][2]


def scene_of(parts: Iterable[PlacedPart], finest: float, rise: Mapping[str, float] | None = None,
             wanted: Callable[[PlacedPart], bool] = lambda placed: True) -> Scene:
    """Cuts whose longest side is below ``finest`` mm and holes of fastenings are left out. ``rise``: mm upwards, by name. A
    custom shape is drawn as the box about it."""
    names, solids = [], []
    for placed in parts:
        if not wanted(placed):
            continue
        part = placed.part
        pose = placed.pose if rise is None else placed.pose.moved((0.0, 0.0, rise[placed.name]))
        if isinstance(part, CustomShape):
            low, high = part.blank.bounds
            solid: Solid | None = Solid([Prism(rectangle(max(high[0] - low[0], 0.01), max(high[1] - low[1], 0.01), low[:2]),
                                               Pose(origin=(0.0, 0.0, low[2])), max(high[2] - low[2], 0.01))])
        else:
            cuts = [cut for feature in part.features if feature.purpose not in _FASTENING
                    for cut in feature.removals(part.blank) if _longest(cut) >= finest]
            solid = solid_of(part, cuts)
        if solid is not None:
            names.append(placed.name)
            solids.append(solid.seen_from(pose))
    return Scene(tuple(names), tuple(solids))


def _longest(cut: Removal) -> float:
    low, high = cut.bounds
    sides = sorted(b - a for a, b in zip(low, high, strict=True))
    return sides[1]  # the middle one: a long thin bore is seen as a small circle
