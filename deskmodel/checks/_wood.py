"""Where a line through a part is in its material: the blank less what features take away, along the line."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from deskmodel.faces import PlacedPart
from deskmodel.features import Feature, Hole, Removal
from deskmodel.frames import Vec
from deskmodel.part import BoxBlank, SheetBlank, cuts_of, removals_of
from deskmodel.tolerances import LENGTH

__all__ = ["Span", "inside_box", "material_along", "solid_at"]

Span = tuple[float, float]

_STEPS = 64  # places at which a cut is looked for along the stretch in its box
_JOINTED = ("dowel", "insert", "screw")


def material_along(placed: PlacedPart, start: Vec, axis: Vec, length: float, own: Feature | None) -> list[Span]:
    """Stretches (from, to) in mm from ``start`` (desk frame) along ``axis`` in which the part has material; ``own``: a
    feature that does not count, the hole of the line itself. Neither do other holes for dowels, inserts and screws."""
    back = placed.pose.inverse()
    p, d = back.apply(start), back.turn(axis)
    blank = inside_box(placed.part.blank.bounds, p, d, (0.0, length))
    if blank is None:
        return []
    spans = [blank]
    for feature, removals in cuts_of(placed.part):
        if feature is own or (isinstance(feature, Hole) and feature.purpose in _JOINTED):
            continue
        for removal in removals:
            for low, high in _passes(removal, p, d, (0.0, length)):
                spans = [piece for a, b in spans for piece in ((a, min(b, low)), (max(a, high), b))
                         if piece[1] - piece[0] > LENGTH]
    return spans


def solid_at(placed: PlacedPart, point: Vec) -> bool:
    """Whether the part, a member or a flat plate, has material at a point of the desk; of others their box counts."""
    part = placed.part
    p = placed.pose.inverse().apply(point)
    low, high = part.blank.bounds
    if not all(low[i] <= p[i] <= high[i] for i in range(3)):
        return False
    if isinstance(part.blank, SheetBlank) and not part.blank.outline.contains((p[0], p[1])):
        return False
    if not isinstance(part.blank, SheetBlank | BoxBlank):
        return True
    return not any(removal.contains(p) for removal in removals_of(part))


def inside_box(box: tuple[Vec, Vec], p: Vec, d: Vec, within: Span) -> Span | None:
    """The stretch of the line p + t d in a box, t in ``within``; None where there is none."""
    low, high = within
    for i in range(3):
        if abs(d[i]) < 1e-12:
            if not box[0][i] - LENGTH <= p[i] <= box[1][i] + LENGTH:
                return None
            continue
        a, b = sorted(((box[0][i] - p[i]) / d[i], (box[1][i] - p[i]) / d[i]))
        low, high = max(low, a), min(high, b)
    return (low, high) if high - low > LENGTH else None


def _passes(removal: Removal, p: Vec, d: Vec, within: Span) -> Iterable[Span]:
    """Where the line runs in the removal: exact to 1e-6 for stretches longer than 1/64 of that in its box."""
    box = inside_box(removal.bounds, p, d, within)
    if box is None:
        return []

    def inside(t: float) -> bool:
        return removal.contains((p[0] + t * d[0], p[1] + t * d[1], p[2] + t * d[2]))

    low, high = box
    places = [low + (high - low) * (i + 0.5) / _STEPS for i in range(_STEPS)]
    told = [inside(t) for t in places]
    if all(told):
        return [box]
    spans, begun = [], low if told[0] else None
    for a, b, before, after in zip(places, places[1:], told, told[1:], strict=False):
        if before != after:
            edge = _edge(inside, a, b)
            if after:
                begun = edge
            elif begun is not None:
                spans.append((begun, edge))
                begun = None
    return [*spans, (begun, high)] if begun is not None else spans


def _edge(inside: Callable[[float], bool], a: float, b: float) -> float:
    first = inside(a)
    while b - a > LENGTH / 2:
        middle = (a + b) / 2
        a, b = (middle, b) if inside(middle) == first else (a, middle)
    return (a + b) / 2
