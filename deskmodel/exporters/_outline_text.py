"""Outlines in a cell of a table."""

from __future__ import annotations

from deskmodel.profiles import Profile

__all__ = ["outline_text"]


def outline_text(outline: Profile) -> str:
    """"circle 20 about 5 7", or its corners in turn, "0 0, 50 0 bulge 0.4142, …": anticlockwise with x to the right and y
    up; a bulge bends the side that follows into an arc outwards (below 0 inwards), the tangent of a quarter of its angle."""
    if outline.as_circle:
        (x, y), radius = outline.as_circle
        return f"circle {_n(2 * radius)} about {_n(x)} {_n(y)}"
    return ", ".join(f"{_n(x)} {_n(y)}" + (f" bulge {bulge:.9g}" if bulge else "") for x, y, bulge in outline.vertices)


def _n(value: float) -> str:
    return f"{round(value, 6) + 0.0:.6f}".rstrip("0").rstrip(".")
