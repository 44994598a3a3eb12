"""The radio shelf of a harbour pilot station: an invented example.

A frame of eight ash members between a steel under-plate and a bonded aluminium top plate; two bays with covers that
lift off, four pieces of equipment, cables through bores. Frame of reference: x to the right, y to the back, z up,
seen from the chair; mm.

              y
     450 +----+-----------------+--------+-----------------+
         |    back                                         |
         |  spare, hand hole    |        |  spare          |
         |----- left rail ------| middle |-- right rail ---|
         |                      |  duct  |                 |
         |  radio bay           |        |  power bay      |
         |  radio, loudspeaker  |        |  supply, switch |
         |    front                                        |
       0 +----------------------+--------+-----------------+
         0                     318      582               900  x
"""

from deskmodel import (
    Bond,
    Cover,
    CutOut,
    Desk,
    DowelJoint,
    InsertFixing,
    Member,
    Plate,
    Rest,
    VentField,
    component,
    obround,
    rectangle,
)

THICK = 22  # members, planed
SHEET = 1.5  # both plates and the covers
GLUE = 0.5  # elastic, under the top plate; the covers lie on pads of the same thickness
SEAT = 10  # of a cover on the members round its bay
REVEAL = 2  # gap round a cover


def desk(width: float = 900, depth: float = 450, height: float = 60) -> Desk:
    """``width`` and ``depth`` over all, ``height`` of the members."""
    top_z = SHEET + height + GLUE
    d = Desk("radio shelf", envelope=(width, depth, top_z + SHEET))

    def rail(name: str, length: float, x: float, y: float, along: str = "x"):
        return d.place(Member(name, (THICK, height), length, "ash"), at=(x, y, SHEET), along=along)

    # The frame: front and back run through, all others stand between them.
    front = rail("front", width, 0, 0)
    back = rail("back", width, 0, depth - THICK)
    left_x, right_x = 318, width - 318 - THICK
    inner = depth - 2 * THICK
    left_end = rail("left end", inner, 0, THICK, "y")
    left_cross = rail("left cross", inner, left_x, THICK, "y")
    right_cross = rail("right cross", inner, right_x, THICK, "y")
    right_end = rail("right end", inner, width - THICK, THICK, "y")
    left_rail = rail("left rail", left_x - THICK, THICK, 270)
    right_rail = rail("right rail", width - 2 * THICK - right_x, right_x + THICK, 300)

    for member in (left_end, left_cross, right_cross, right_end):
        d.join(DowelJoint(member, front, dowel="8x40", count=2), DowelJoint(member, back, dowel="8x40", count=2))
    d.join(DowelJoint(left_rail, left_end), DowelJoint(left_rail, left_cross))
    d.join(DowelJoint(right_rail, right_cross), DowelJoint(right_rail, right_end))
    frame = [front, back, left_end, left_cross, right_cross, right_end, left_rail, right_rail]

    # Cables pass from the power bay through the duct to the radio bay.
    for cross, x in ((left_cross, left_x), (right_cross, right_x)):
        d.bore(cross, through="x", at=(x, 75, 30), diameter=20, name="cable bore")
    d.bore(left_rail, through="y", at=(60, 270, 35), diameter=20, name="aerial bore")
    d.cable("12 V feed", 8, [(right_x + 45, 75, 30), (left_x - 10, 75, 30)])
    d.cable("aerial lead", 6, [(60, 255, 35), (60, 310, 35)])

    # The under-plate sits 1 mm inside the frame; its outline is given in the desk's own x and y.
    under = d.place(Plate("under-plate", rectangle(width - 2, depth - 2, (1, 1)), SHEET, "steel", features=(
        VentField(at=(width - 128, 135), columns=12, rows=10, pitch=8, diameter=5, name="supply vents"),
        CutOut(rectangle(160, 120, (width / 2 - 80, 180), radius=10), name="hand hole"),
        CutOut(obround(60, 25, (width / 2, 80)), name="mains cable"),
        CutOut(rectangle(120, 60, (100, depth - 110), radius=10), name="aerial hand hole"),
    )), at=(1, 1, 0))
    d.join(InsertFixing(under, frame, screw="ISO 10642 M4x12", pitch=120))

    # The top plate is bonded for good: what is in a bay goes in and out through the bay's opening.
    bays = {
        "radio": (THICK, THICK, left_x, 270),
        "power": (right_x + THICK, THICK, width - THICK, 300),
    }
    margin = SEAT + REVEAL
    top = d.place(Plate("top plate", rectangle(width, depth), SHEET, "aluminium", features=tuple(
        CutOut(rectangle(x1 - x0 + 2 * margin, y1 - y0 + 2 * margin, (x0 - margin, y0 - margin)), name=f"{name} opening")
        for name, (x0, y0, x1, y1) in bays.items())), at=(0, 0, top_z))
    d.join(Bond(top, frame, glue="elastic", thickness=GLUE))

    seats = {"radio": [front, left_end, left_cross, left_rail], "power": [front, right_cross, right_end, right_rail]}
    for name, (x0, y0, x1, y1) in bays.items():
        d.bay(f"{name} bay", (x0, x1), (y0, y1))
        cover = d.place(Cover(f"{name} cover", (x1 - x0 + 2 * SEAT, y1 - y0 + 2 * SEAT), SHEET, "aluminium"),
                        at=(x0 - SEAT, y0 - SEAT, top_z))
        d.join(Rest(cover, seats[name], held="its weight and a magnet", pad=GLUE))
        d.require_gap(cover, top, REVEAL, reason="reveal round the cover")

    # Equipment stands on the under-plate, on hook-and-loop strips.
    radio = d.place(component("marine-radio", "radio"), at=(40, 30, SHEET))
    speaker = d.place(component("loudspeaker"), at=(222, 120, SHEET))
    supply = d.place(component("flat-supply", "supply"), at=(right_x + 100, 35, SHEET))
    switch = d.place(component("network-switch", "switch"), at=(right_x + 40, 130, SHEET))
    for box in (radio, speaker, supply, switch):
        d.join(Rest(box, under, held="hook-and-loop strips"))
    d.require_gap(supply, [right_cross, right_end, front], 8, reason="air round the supply")
    d.require_gap(switch, [supply, right_rail, right_cross], 5, reason="air round the switch")
    return d
