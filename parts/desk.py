"""The duty desk of a harbour pilot station: the worked example, invented. Composition only; the numbers stand in
dimensions.py, the equipment in equipment/."""

from typing import Literal

from bays import place_equipment, run_cables
from covers import place_covers
from dimensions import DEPTH, WIDTH, Layout
from frame import build_frame
from legs import place_legs
from plates import place_glass, place_top_plate, place_under_plate

from deskmodel import Desk


def desk(width: float = WIDTH, depth: float = DEPTH, computer: Literal["mini-itx", "laptop-dock"] = "mini-itx") -> Desk:
    """``width`` and ``depth`` over all: clean from 1460 x 690 to 1700 x 760. ``computer``: what bay B2 holds."""
    layout = Layout(width, depth)
    d = Desk("duty desk")
    frame = build_frame(d, layout)
    under = place_under_plate(d, layout, frame)
    top = place_top_plate(d, layout, frame)
    place_glass(d, layout, frame, top)
    stood = place_equipment(d, layout, frame, under, computer)
    place_covers(d, layout, frame, top, stood)
    run_cables(d, layout, frame)
    place_legs(d, layout, frame, under)
    return d
