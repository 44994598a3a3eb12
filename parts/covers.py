"""Covers: aluminium on ply, flush in the top plate; what shines, speaks or prints through them is cut here."""

from dimensions import GLUE, PLATE_Z, REVEAL, SHEET, Layout
from frame import Frame
from plates import openings

from deskmodel import Cover, Desk, Placed, Rest


def place_covers(d: Desk, layout: Layout, frame: Frame, top: Placed) -> dict[str, Placed]:
    """A cover for every opening but that of the glass."""
    covers = {}
    for name, (x0, y0, x1, y1) in openings(layout).items():
        if name == "C2":
            continue
        cover = covers[name] = d.place(Cover(f"{name} cover", (x1 - x0, y1 - y0), SHEET, "aluminium"), at=(x0, y0, PLATE_Z))
        seats = frame.round(name)
        if name == "A1":
            seats[2] = frame.blocks["front left"]
        if name == "E1":
            seats[3] = frame.blocks["front right"]
        if name == "E3":
            seats[3] = frame.blocks["back right"]
        d.join(Rest(cover, seats, held="its weight and a magnet", pad=GLUE))
        d.require_gap(cover, top, REVEAL, reason="reveal round the cover")
    return covers
