"""Invented equipment with mounting holes, for the tests of joints."""

from __future__ import annotations

from deskmodel import Component, Hole
from deskmodel.component._part import box_prism
from deskmodel.frames import Vec

__all__ = ["BOARD_HOLES", "FAN_HOLES", "board", "box_with_rim", "equipment", "fan", "horn"]

# Mini-ITX: C, F, H, J of the microATX table; board corner at the rear edge, x along it (published form factor, inches)
BOARD_HOLES = ((163.83, 10.16), (6.35, 33.02), (163.83, 165.1), (6.35, 165.1))


def equipment(name: str, boxes: tuple[tuple[Vec, Vec], ...], holes: tuple[tuple[float, float], ...],
              diameter: float, depth: float | None = None) -> Component:
    """``boxes``: (size, lowest corner) of each body; ``depth`` of threaded holes."""
    return Component(name, "invented.toml", "invented", tuple(box_prism(size, at) for size, at in boxes), 0.3,
                     features=tuple(Hole("bottom", at, diameter, depth, name=f"mounting hole {i}", purpose="screw")
                                    for i, at in enumerate(holes, 1)))


def board(name: str = "board", diameter: float = 3.96, thick: float = 1.6) -> Component:
    """A board with a cooler on it and pins that stand 2 below it, away from the holes."""
    return equipment(name, (((170, 170, thick), (0, 0, 0)), ((60, 60, 30), (55, 55, thick)), ((100, 20, 2), (30, 120, -2))),
                     BOARD_HOLES, diameter)


def box_with_rim(name: str = "box", diameter: float = 4.5) -> Component:
    """A box 80 × 40 × 30 with a rim 2.5 thick to its left and right, two holes in each."""
    return equipment(name, (((80, 40, 30), (10, 0, 0)), ((100, 40, 2.5), (0, 0, 0))),
                     ((5, 8), (95, 8), (5, 32), (95, 32)), diameter)


# pitch 50 in a frame of 60, holes 4.3 (makers' drawings in common)
FAN_HOLES = ((5.0, 5.0), (55.0, 5.0), (5.0, 55.0), (55.0, 55.0))


def fan(name: str = "fan", thick: float = 15.0, diameter: float = 4.3) -> Component:
    """A fan 60 × 60, its holes right through."""
    return equipment(name, (((60, 60, thick), (0, 0, 0)),), FAN_HOLES, diameter)


def horn(name: str = "horn", depth: float = 8.0, diameter: float = 4.0) -> Component:
    """A box 80 × 50 × 30 with two threads in its bottom."""
    return equipment(name, (((80, 50, 30), (0, 0, 0)),), ((10, 25), (70, 25)), diameter, depth)
