"""The frame: front and back run through, ends and cross members stand between them, short rails between those."""

from dataclasses import dataclass, field

from dimensions import BLOCK, FLOOR, HEIGHT, MARGIN, THICK, Layout

from deskmodel import Bevel, Bond, Desk, DowelJoint, Groove, Laminate, Member, Notch, Placed

NOTCH_WIDTH = 120  # of 184: dowels stand 26 deep in the rail's ends, and wood must be left round them
NOTCH_HEIGHT = 48
REBATE = 1.9  # for the glass, 4 thick on its pads, flush with the veneer
BEVEL = 20


@dataclass
class Frame:
    """Members by where they are: ends and cross members by the bay to their right and left, rails by the bay behind."""

    front: Placed
    back: Placed
    uprights: list[Placed]  # left end, cross members from left to right, right end
    rails: dict[str, Placed]  # "A2" is the rail in front of bay A2
    blocks: dict[str, Placed] = field(default_factory=dict)

    @property
    def members(self) -> list[Placed]:
        return [self.front, self.back, *self.uprights, *self.rails.values()]

    @property
    def screwed_below(self) -> list[Placed]:
        """Members that the under-plate is screwed to: in the notched rails no wood is left 40 from their dowelled ends,
        and the bevelled rail is glued to one that is."""
        left_out = {self.rails[name].name for name in ("B2", "B3", "D1 bevel")}
        return [member for member in self.members if member.name not in left_out]

    def round(self, bay: str) -> list[Placed]:
        """The four members round a bay: front, back, left, right."""
        column = "ABCDE".index(bay[0])
        behind = f"{bay[0]}{int(bay[1]) + 1}"
        return [self.rails.get(bay, self.front), self.rails.get(behind, self.back),
                self.uprights[column], self.uprights[column + 1]]


def build_frame(d: Desk, layout: Layout) -> Frame:
    def member(name, length, x, y, along="x", features=()):
        return d.place(Member(name, (THICK, HEIGHT), length, "ash", tuple(features)), at=(x, y, FLOOR), along=along)

    front = member("front", layout.width, 0, 0)
    back = member("back", layout.width, 0, layout.depth - THICK)
    columns = list(layout.columns.values())
    names = ["left end", "cross AB", "cross BC", "cross CD", "cross DE", "right end"]
    lines = [x0 - THICK for x0, _ in columns] + [columns[-1][1]]
    inner = layout.depth - 2 * THICK
    uprights = [member(name, inner, x, THICK, "y") for name, x in zip(names, lines, strict=True)]
    for upright in uprights:
        d.join(DowelJoint(upright, front), DowelJoint(upright, back))

    rails = {}
    for column, (x0, x1) in layout.columns.items():
        left, right = uprights["ABCDE".index(column)], uprights["ABCDE".index(column) + 1]
        for number, (y0, _) in enumerate(layout.rows[column][1:], 2):
            rail = rails[f"{column}{number}"] = member(f"rail {column}{number}", x1 - x0, x0, y0 - THICK)
            d.join(DowelJoint(rail, left), DowelJoint(rail, right))

    # Plugs and air of the computer pass below its rails.
    for name in ("B2", "B3"):
        length = layout.columns["B"][1] - layout.columns["B"][0]
        d.cut(rails[name], Notch("under edge", (length - NOTCH_WIDTH) / 2, NOTCH_WIDTH, NOTCH_HEIGHT, name="plug notch"))

    # The recess ends in a bevelled rail, laminated to the doweled one behind it.
    x0, x1 = layout.columns["D"]
    bevelled = member("bevelled rail", x1 - x0, x0, layout.rows["D"][0][1],
                      features=[Bevel(("face side", "face edge"), BEVEL, name="strip bevel")])
    rails["D1 bevel"] = bevelled
    d.join(Laminate([bevelled, rails["D2"]], glue="PVAc"))

    # The glass lies in rebates as wide as seat and reveal, on all four members round C2.
    y0, y1 = layout.rows["C"][1]
    ahead, behind, left, right = frame_round(rails, uprights)
    for rail, at in ((ahead, THICK - MARGIN / 2), (behind, MARGIN / 2)):
        d.cut(rail, Groove("face edge", at, MARGIN, REBATE, name="glass rebate", purpose="shape"))
    for upright, at in ((left, MARGIN / 2), (right, THICK - MARGIN / 2)):
        d.cut(upright, Groove("face edge", at, MARGIN, REBATE, start=y0 - MARGIN - THICK, stop=y1 + MARGIN - THICK,
                              name="glass rebate", purpose="shape"))

    frame = Frame(front, back, uprights, rails)
    for corner in ("front left", "front right", "back left", "back right"):
        x, y = layout.block(corner)
        block = d.place(Member(f"{corner} block", (BLOCK, HEIGHT), BLOCK, "ash"), at=(x, y, FLOOR))
        frame.blocks[corner] = block
        d.join(Bond(block, [front if "front" in corner else back, uprights[0 if "left" in corner else -1]], glue="PVAc"))
    return frame


def frame_round(rails, uprights):
    """The members round the glass: in front, behind, left, right."""
    return rails["C2"], rails["C3"], uprights[2], uprights[3]
