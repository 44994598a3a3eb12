"""How a desk is drawn apart, so that one sees into its bays: covers over the top plate over the frame, the under-plate and
the legs below."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3
from deskmodel.model import DeskModel

__all__ = ["rises"]

_RISE = {"cover": 0.74, "backing": 0.66, "top": 0.46, "bottom": -0.16, "leg": -0.28}
"""Shares of the desk's smaller side in plan."""

_ON_FRAME = 1.0  # mm between a plate and the frame that it lies on


def rises(model: DeskModel) -> dict[str, float]:
    """By how many mm each part is lifted; what is fixed to a veneered plate rises with it."""
    boxes = {placed.name: placed_box(placed) for placed in model.parts}
    if not boxes:
        return {}
    low = [min(box[0][i] for box in boxes.values()) for i in (0, 1)]
    high = [max(box[1][i] for box in boxes.values()) for i in (0, 1)]
    apart = min(high[0] - low[0], high[1] - low[1])
    frame = _frame_heights(model.parts, boxes)
    found = {}
    for placed in model.parts:
        carrier = model.part(placed.group) if placed.role == "veneer" and placed.group else placed
        found[placed.name] = _RISE.get(_layer(carrier, boxes[carrier.name], frame), 0.0) * apart
    return found


def _frame_heights(parts: Iterable[PlacedPart], boxes: Mapping[str, Box3]) -> tuple[float, float]:
    """z of the underside and the top of the members that lie level; of everything where there are none."""
    level = [boxes[p.name] for p in parts if p.role == "member" and abs(p.pose.axis(0)[2]) < 0.5] or list(boxes.values())
    return min(box[0][2] for box in level), max(box[1][2] for box in level)


def _layer(placed: PlacedPart, box: Box3, frame: tuple[float, float]) -> str:
    middle = (box[0][2] + box[1][2]) / 2
    if placed.role == "plate" and middle >= frame[1]:
        return "top"
    if placed.role in ("plate", "member") and middle <= frame[0]:
        lies_on_frame = placed.role == "plate" and box[1][2] >= frame[0] - _ON_FRAME
        return "bottom" if lies_on_frame else "leg"
    if placed.role == "hardware" and box[1][2] <= frame[0]:  # in the legs, it reaches into nothing of the frame
        return "leg"
    return placed.role
