"""Figures and small sentences of the report."""

from __future__ import annotations

from deskmodel.drawing.dimensions import figure
from deskmodel.frames import Vec

__all__ = ["counted", "place_text", "quantity", "sides"]


def counted(count: int, one: str, many: str) -> str:
    return f"{count:,} {one if count == 1 else many}"


def quantity(value: float | None, unit: str | None) -> str:
    """To a hundredth; a value that would vanish in it is told with its first two figures. A dash for None."""
    if value is None:
        return "–"
    said = f"{value:.1e}" if value != 0 and abs(value) < 0.005 else figure(value)
    said = said.replace("-", "−", 1) if value < 0 else said
    return said + ("" if unit is None else unit if unit == "°" else f" {unit}")


def place_text(point: Vec | None) -> str:
    if point is None:
        return "–"
    x, y, z = (f"{round(v, 1) + 0.0:.1f}".replace("-", "−") for v in point)
    return f"x {x}, y {y}, z {z} mm"


def sides(values: tuple[float | None, ...]) -> str:
    """"184 × 188 × 54.5"; a side without an end is open."""
    return " × ".join("open" if value is None else figure(value) for value in values)
