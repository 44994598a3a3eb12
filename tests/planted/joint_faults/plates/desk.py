"""Four plates for a cutting service, invented: every rule of sheet metal once, each just kept. x right, y back, z up; mm.

z = 0 is the underside of all of them; no members, so that their tops are seen."""

from deskmodel import CutOut, Desk, Finish, Flange, Hole, Plate, Slot, VentField, rectangle

VENT, PITCH = 5, 8
SCREW = 4.5
SLOT = 6
FLANGE = 25
CLIP, CLIP_BACK = 12, 20
PIN, INSET = 4, 10


def desk() -> Desk:
    d = Desk("plates")
    d.place(Plate("back plate", rectangle(300, 200), 1.5, "steel", (
        VentField((40, 40), 10, 6, PITCH, VENT, name="vents"),
        Slot("top", (200, 60), 40, SLOT),
        Hole("top", (20, 180), SCREW, name="left screw"),
        Hole("top", (280, 180), SCREW, name="right screw"),
        CutOut(rectangle(60, 30, (150, 120)), name="window"),
        Hole("top", (140, 135), 3, name="lead"),
    )), at=(0, 0, 0))
    d.place(Plate("bracket", rectangle(120, 60), 1.5, "steel", (
        Hole("top", (30, 30), 5, name="A"),
        Hole("top", (50, 30), 5, name="B"),
        Hole("back flange inside", (60, 15), 5, name="C"),
    ), flanges=(Flange("back", FLANGE),)), at=(0, 300, 0))
    d.place(Plate("clip", rectangle(80, 40), 1.5, "steel", (), flanges=(
        Flange("front", CLIP), Flange("back", CLIP_BACK))), at=(300, 300, 0))
    corners = [(x, y) for x in (INSET, 200 - INSET) for y in (INSET, 100 - INSET)]
    d.place(Plate("lid", rectangle(200, 100), 2, "aluminium", tuple(Hole("top", at, PIN) for at in corners),
                  finish=Finish(brushed="x"), witness=True), at=(0, 500, 0))
    return d
