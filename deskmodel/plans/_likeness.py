"""Which parts are truly identical: mirror images are not."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from deskmodel._remembered import remembered
from deskmodel.faces import PlacedPart

__all__ = ["likeness", "shape_of_feature"]


@remembered
def likeness(placed: PlacedPart) -> Any:
    """Equal for parts that are alike in everything but what they and their features are called, and where they stand."""
    part = placed.part
    return (type(part).__name__, *(_rounded(getattr(part, each.name)) for each in fields(part)
                                   if each.name not in ("name", "features")),
            tuple(sorted(repr(shape_of_feature(feature)) for feature in part.features)))


@remembered
def shape_of_feature(feature: Any) -> Any:
    """Equal for features that differ in nothing but their name."""
    return (type(feature).__name__, *(_rounded(getattr(feature, each.name)) for each in fields(feature)
                                      if each.name != "name"))


def _rounded(value: Any) -> Any:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return round(float(value), 6) + 0.0
    if isinstance(value, tuple):
        return tuple(_rounded(each) for each in value)
    return value
