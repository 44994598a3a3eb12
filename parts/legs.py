"""Legs: a steel plate under each leg block, bolted through the under-plate; the back left one carries the cables."""

from dimensions import BLOCK, LEG, LEG_LENGTH, LEG_PLATE, Layout
from frame import Frame

from deskmodel import CutOut, Desk, Groove, LegMount, Member, Notch, Placed, Plate, WoodScrewFixing, rectangle

GROOVE = (12, 10)  # width, depth in the leg
CABLES = 14  # width of the way through block, under-plate and leg plate
EDGE = 6  # metal that the cutting service asks between the cable way and the edge of a leg plate
BOLTS = 56  # apart: heads clear the leg, inserts stay their own 12 mm from the edges of the block


def place_legs(d: Desk, layout: Layout, frame: Frame, under: Placed) -> None:
    for corner, block in frame.blocks.items():
        x, y = layout.block(corner)
        carries = corner == "back left"
        way = (BLOCK / 2 + LEG / 2 - GROOVE[1], BLOCK / 2)  # the leg's groove, from the block's corner
        depth = BLOCK - way[0]
        if carries:
            # from the bay down along the block, through both plates, into the groove
            d.cut(block, Notch("far end", BLOCK / 2 - CABLES / 2, CABLES, depth, name="cable way"))
        slot = (CutOut(rectangle(depth - EDGE, CABLES, (way[0], way[1] - CABLES / 2)), name="cable way"),) if carries else ()
        plate = d.place(Plate(f"{corner} leg plate", rectangle(BLOCK, BLOCK), LEG_PLATE, "steel", slot),
                        at=(x, y, -LEG_PLATE))
        groove = (Groove("under edge", LEG / 2, *GROOVE),) if carries else ()
        leg = d.place(Member(f"{corner} leg", (LEG, LEG), LEG_LENGTH, "ash", groove),
                      at=(x + (BLOCK - LEG) / 2, y + (BLOCK - LEG) / 2, -LEG_PLATE - LEG_LENGTH), along="z")
        d.join(LegMount(leg, plate, block, under, bolt="ISO 4762 M6x25", pattern=(BOLTS, BOLTS)))
        right = 44 if carries else 50  # clear of the cable way
        d.join(WoodScrewFixing(plate, leg, "5x60", at=((30, 30), (right, 30), (30, 50), (right, 50))))
        if carries:
            down = x + way[0] + GROOVE[1] / 2
            d.cable("mains and aerial lead", 8, [(x + BLOCK + 20, y + way[1], 30), (down, y + way[1], 30),
                                                 (down, y + way[1], -LEG_LENGTH)])

