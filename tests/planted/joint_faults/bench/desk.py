"""A bench of fixings, invented: every kind of screw, insert, stand-off and glue line once, each where nothing is wrong.

z = 0 is the underside of the under-plate; x to the right, y to the back, mm.
"""

from deskmodel import (
    Bond,
    Component,
    Desk,
    DowelJoint,
    Hole,
    InsertFixing,
    Laminate,
    Member,
    Notch,
    Plate,
    Pocket,
    Rest,
    StandOffMount,
    WoodScrewFixing,
    component,
    rectangle,
)
from deskmodel.catalogue import hole_pattern
from deskmodel.component._part import box_prism

SHEET = 1.5  # under-plate; members stand on it
TOP_SHEET = 1.5
TOP_Z = SHEET + 60
STAND_OFF = 6.5
PINS = 2  # below the board
RAISED = 0  # board above its stand-offs
SHELF_Z = SHEET


def board() -> Component:
    form = hole_pattern("mini-itx")
    holes = tuple(Hole("bottom", hole.at, hole.diameter, name=f"mounting hole {hole.name} of {form.form}", purpose="screw")
                  for hole in form.places((170, 170), 180))
    bodies = (box_prism((170, 170, 1.6), (0, 0, 0)), box_prism((100, 20, PINS), (30, 60, -PINS)),
              box_prism((90, 90, 30), (40, 40, 1.6)))
    return Component("board", "board.toml", "invented", bodies, 0.6, features=holes)


def desk() -> Desk:
    d = Desk("fixing bench")

    def member(name, section, length, at, along="x", features=()):
        return d.place(Member(name, section, length, "ash", tuple(features)), at=at, along=along)

    front = member("front", (22, 60), 600, (0, 0, SHEET), features=[
        Notch("face edge", 250, 60, 12, name="lead notch"), Notch("under edge", 430, 40, 5, name="air notch")])
    back = member("back", (22, 60), 600, (0, 278, SHEET))
    second = member("second back", (22, 60), 600, (0, 300, SHEET))
    left = member("left", (22, 60), 256, (0, 22, SHEET), "y")
    right = member("right", (22, 60), 256, (578, 22, SHEET), "y")
    d.join(*(DowelJoint(end, rail) for end in (left, right) for rail in (front, back)))
    d.join(Laminate([back, second]))
    d.bore(left, through="x", at=(0, 118, 25), diameter=12, name="lead bore")
    block = member("block", (40, 60), 60, (22, 22, SHEET))
    d.join(Bond(block, front, glue="PVAc"))

    # the under-plate: inserts in front and back, wood screws in the ends; its outline is given in the desk's x and y
    under = d.place(Plate("under", rectangle(598, 298, (1, 1)), SHEET, "steel"), at=(1, 1, 0))
    d.join(InsertFixing(under, [front, back], "ISO 10642 M4x12", at=(60, 170, 280, 390, 500, 540)))
    d.join(WoodScrewFixing(under, [left, right], "4x30 pan", at=(64, 128, 192), pitch=60))
    d.cut(under, Hole("bottom", (300, 40), 4.5, countersink=(7, 90), name="spare hole 1"),
          Hole("bottom", (340, 11.5), 4.5, countersink=(7.0, 90), name="spare hole 2"))
    foot = d.place(Plate("foot", rectangle(40, 40), 4, "birch ply"), at=(1, 96, -4))
    d.join(Rest(foot, under, held="double-sided tape"))

    # the top plate is screwed to the ends; a mat and a riser lie on it
    top = d.place(Plate("top", rectangle(600, 300), TOP_SHEET, "aluminium"), at=(0, 0, TOP_Z))
    d.join(InsertFixing(top, [left, right], "ISO 10642 M4x12", at=(64, 128, 192)))
    mat = d.place(Plate("mat", rectangle(120, 100), 4, "birch ply"), at=(0, 100, TOP_Z + TOP_SHEET))
    foot_bar = member("riser foot", (60, 20), 200, (300, 150, TOP_Z + TOP_SHEET))
    board_above = member("riser board", (120, 20), 140, (330, 110, TOP_Z + TOP_SHEET + 20.5), "y")
    d.join(Rest(mat, top), Rest(foot_bar, top), Bond(board_above, foot_bar, glue="elastic"))

    # a shelf on the under-plate, a box screwed down on it
    shelf = member("shelf", (60, 22), 180, (40, 120, SHELF_Z), features=[
        Pocket("face edge", rectangle(20, 20, (10, 20)), 2, name="shelf pocket")])
    d.join(WoodScrewFixing(under, shelf, "4x20", at=(20, 160)))
    box = d.place(component("box"), at=(80, 130, SHELF_Z + 22))
    d.join(WoodScrewFixing(box, shelf, "4x20 pan"))

    # a board on stand-offs, over the screws of a sled below the plate
    pcb = d.place(board(), at=(300, 60, SHEET + STAND_OFF - PINS + RAISED))
    d.join(StandOffMount(pcb, under, height=STAND_OFF))
    sled = member("sled", (40, 40), 100, (340, 110, -40))
    d.join(WoodScrewFixing(under, sled, "4x30", at=(20, 80)))

    # a relay held by two screws that are not drawn: the plate's holes are cut by hand
    relay = d.place(component("relay"), at=(500, 100, SHEET))
    d.join(Rest(relay, under, held="two M3 screws with lock nuts"))
    d.cut(under, Hole("bottom", (505, 115), 3.4, name="relay hole 1"))
    d.cut(under, Hole("bottom", (535, 115), 3.4, name="relay hole 2"))
    return d
