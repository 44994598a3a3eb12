"""Under-plate, top plate and the glass over the chart panel."""

from dimensions import BLOCK, GLUE, LEG, PLATE_Z, REVEAL, SEAT, SHEET, TOP_Z, VENEER, Layout
from frame import BEVEL, Frame

from deskmodel import (
    Bond,
    CutOut,
    Desk,
    InsertFixing,
    Placed,
    Plate,
    Rest,
    Veneer,
    VentField,
    joined_rectangles,
    obround,
    rectangle,
)

PITCH, HOLE = 8, 5  # vents: a web of twice the thickness
GLASS = 4
INLET = (27.4, 20.4)  # cut-out for the mains inlet
INLET_FLANGE = (50, 24)
FANS = ((8, 48), (96, 48))  # in bay B3, on the grid of its vents: their screws take the place of eight


def openings(layout: Layout) -> dict[str, tuple[float, float, float, float]]:
    """Where each cover goes, (x0, y0, x1, y1) of the cover: the bay and a seat all round. Beside a leg block the cover
    sits on the block. A4 is closed by the top plate, D1 is an open recess, C2 carries glass."""
    seats = {}
    for name, bay in layout.bays.items():
        x0, x1 = bay.x
        if name in ("A4", "D1"):
            continue
        if name == "A1":
            x0 += BLOCK
        if name in ("E1", "E3"):
            x1 -= BLOCK
        seats[name] = (x0 - SEAT, bay.y[0] - SEAT, x1 + SEAT, bay.y[1] + SEAT)
    return seats


def cable_exit(layout: Layout) -> tuple[float, float]:
    """(x, y) of the middle of the leg that carries the cables."""
    x, y = layout.block("back left")
    return x + BLOCK / 2, y + BLOCK / 2


def place_under_plate(d: Desk, layout: Layout, frame: Frame) -> Placed:
    """Its outline is given in the desk's own x and y."""
    bays = layout.bays
    vents = []
    screws = tuple((column, row) for column in (0, 9, 11, 20) for row in (3, 12))  # 71.5 apart in a fan, 9 × 8 in the grid
    for name, columns, rows in (("B1", 20, 15), ("B3", 21, 15), ("C3", 20, 8)):
        x, y = bays[name].middle
        if name == "B1":
            y = bays[name].y[0] + 95  # behind the amplifier
        if name == "B3":
            y = bays[name].y[0] + FANS[0][1] + 36  # under the fans
        if name == "C3":
            x = bays[name].x[0] + 390  # under the supply
        first = (x - (columns - 1) * PITCH / 2, y - (rows - 1) * PITCH / 2)
        vents.append(VentField(first, columns, rows, PITCH, HOLE, name=f"{name} vents",
                               left_out=screws if name == "B3" else ()))
    exit_x, exit_y = cable_exit(layout)
    inlet_x, inlet_y = inlet_place(layout)
    under = d.place(Plate("under-plate", rectangle(layout.width - 2, layout.depth - 2, (1, 1)), SHEET, "steel", features=(
        *vents,
        CutOut(rectangle(*INLET, (inlet_x - INLET[0] / 2, inlet_y - INLET[1] / 2), radius=0.5), name="inlet"),
        CutOut(obround(40, 14, (exit_x + LEG / 2 + 4, exit_y)), name="cable exit"),
    )), at=(1, 1, 0))
    d.join(InsertFixing(under, frame.screwed_below, screw="ISO 10642 M4x12", pitch=150))
    return under


def inlet_place(layout: Layout) -> tuple[float, float]:
    """(x, y) of the middle of the mains inlet, in the right front corner of C3."""
    bay = layout.bays["C3"]
    return bay.x[1] - 30, bay.y[0] + 20


def place_top_plate(d: Desk, layout: Layout, frame: Frame) -> Placed:
    """Bonded for good: whatever is in a bay goes in and out through the bay's opening."""
    boxes = [(x0 - REVEAL, y0 - REVEAL, x1 + REVEAL, y1 + REVEAL) for x0, y0, x1, y1 in openings(layout).values()]
    recess = layout.bays["D1"]
    boxes.append((recess.x[0], recess.y[0], recess.x[1], recess.y[1] + BEVEL))
    cut = tuple(CutOut(outline, name=f"opening {n}") for n, outline in enumerate(joined_rectangles(boxes), 1))
    top = d.place(Plate("top plate", rectangle(layout.width, layout.depth), SHEET, "aluminium", cut,
                        veneer=Veneer("ash veneer", VENEER)), at=(0, 0, PLATE_Z))
    d.join(Bond(top, [frame.front, frame.back, frame.uprights[0], frame.uprights[3], frame.uprights[4], frame.uprights[5],
                      frame.rails["A4"], frame.rails["D2"], *frame.blocks.values()], glue="elastic", thickness=GLUE))
    return top


def place_glass(d: Desk, layout: Layout, frame: Frame, top: Placed) -> Placed:
    """Flush with the veneer, on pads in the rebates."""
    x0, y0, x1, y1 = openings(layout)["C2"]
    glass = d.place(Plate("chart glass", rectangle(x1 - x0, y1 - y0), GLASS, "glass"), at=(x0, y0, TOP_Z - GLASS))
    d.join(Rest(glass, frame.round("C2"), held="its weight on four pads", pad=GLUE))
    return glass

