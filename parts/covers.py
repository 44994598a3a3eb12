"""Covers: veneered aluminium on ply, flush in the top plate. What speaks, charges or prints through them is cut here."""

from dimensions import BACKING, GLUE, PLATE_Z, REVEAL, SET_BACK, SHEET, VENEER, Layout
from frame import Frame
from plates import HOLE, PITCH, openings

from deskmodel import Cover, CoverScrews, CutOut, Desk, Hinge, Placed, Rest, Veneer, VentField, circle, obround, rectangle

ASH = Veneer("ash veneer", VENEER)
MAINS = "C3"  # opens with a tool only
LOG_BOOK = "E2"  # turns up about hinges on the right end
CONE = 76  # opening in the ply under a loudspeaker's hole field
WELL = (62, 40)  # opening over a charging well
PAPER = (62, 4)


def place_covers(d: Desk, layout: Layout, frame: Frame, top: Placed, stood: dict[str, Placed]) -> dict[str, Placed]:
    """A cover for every opening but that of the glass."""
    covers = {}
    for name, (x0, y0, x1, y1) in openings(layout).items():
        if name == "C2":
            continue
        cover = covers[name] = d.place(Cover(f"{name} cover", (x1 - x0, y1 - y0), SHEET, "aluminium", backing=BACKING,
                                             set_back=SET_BACK, veneer=ASH), at=(x0, y0, PLATE_Z))
        seats = seats_of(name, frame)
        if name == MAINS:
            # the rebate of the glass leaves no wood for inserts in the rail in front
            d.join(CoverScrews(cover, seats[1:], screw="ISO 7380 M3x8", pad=GLUE, pitch=260),
                   Rest(cover, seats[0], held="the screws on the other three sides", pad=GLUE))
            for seat in seats[1:]:
                d.accept("insert-near-edge", [cover, seat], reason="a seat is 10 wide, 2 of wood stay beside an M3 insert: "
                         "it is bedded in epoxy and carries a cover only")
        elif name == LOG_BOOK:
            d.join(Hinge(cover, seats[3], pad=GLUE), Rest(cover, seats[:3], held="its hinges", pad=GLUE))
        else:
            d.join(Rest(cover, seats, held="its weight and a magnet", pad=GLUE))
        d.require_gap(cover, top, REVEAL, reason="reveal round the cover")
    for box, name in (("left loudspeaker", "A1"), ("right loudspeaker", "E1")):
        hole_field(d, covers[name], middle(stood[box]))
    for number in (1, 2):
        through(d, covers["B1"], rectangle(*WELL, corner(stood[f"charging well {number}"], WELL), radius=6))
    printer = stood["tide-slip printer"].box
    through(d, covers["D2"], obround(*PAPER, ((printer[0][0] + printer[1][0]) / 2, printer[0][1] + 93)))
    return covers


def seats_of(name: str, frame: Frame) -> list[Placed]:
    """The four members that a cover lies on; beside a leg block the block takes the place of the end."""
    seats = frame.round(name)
    blocks = {"A1": (2, "front left"), "E1": (3, "front right"), "E3": (3, "back right")}
    if name in blocks:
        side, corner = blocks[name]
        seats[side] = frame.blocks[corner]
    return seats


def middle(box: Placed) -> tuple[float, float]:
    (x0, y0, _), (x1, y1, _) = box.box
    return (x0 + x1) / 2, (y0 + y1) / 2


def corner(box: Placed, size: tuple[float, float]) -> tuple[float, float]:
    """Lowest corner of a rectangle over the middle of a box."""
    x, y = middle(box)
    return x - size[0] / 2, y - size[1] / 2


def through(d: Desk, cover: Placed, outline) -> None:
    """An opening through plate, veneer and ply; the outline in the desk's x and y."""
    (x0, y0, _), _ = cover.box
    d.cut(cover, CutOut(outline.moved(-x0, -y0)))
    d.cut(f"{cover.name} backing", CutOut(outline.moved(-x0 - SET_BACK, -y0 - SET_BACK)))


def hole_field(d: Desk, cover: Placed, at: tuple[float, float]) -> None:
    """Eight by eight holes over a loudspeaker, and one large one in the ply below."""
    (x0, y0, _), _ = cover.box
    first = 3.5 * PITCH
    d.cut(cover, VentField((at[0] - x0 - first, at[1] - y0 - first), 8, 8, PITCH, HOLE, name="hole field"))
    d.cut(f"{cover.name} backing", CutOut(circle(CONE, (at[0] - x0 - SET_BACK, at[1] - y0 - SET_BACK))))
