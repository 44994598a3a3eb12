"""Every length of the duty desk that more than one file needs. mm; x to the right, y to the back, z up, seen from the
chair; z = 0 is the underside of the under-plate.

    z    0 to  1.5   under-plate, steel, 1 inside the frame's outline
       1.5 to 61.5   members, ash 22 x 60
      61.5 to 62     elastic bond under the top plate; pads of the same thickness under the covers
      62   to 63.5   top plate and covers, aluminium
      63.5 to 64.1   ash veneer
"""

from dataclasses import dataclass

SHEET = 1.5  # under-plate, top plate, covers
THICK = 22  # members, planed
HEIGHT = 60  # members, planed in one setting
GLUE = 0.5  # elastic bond and pads
VENEER = 0.6
SEAT = 10  # of a cover on each member round its bay
REVEAL = 2  # gap round a cover; 10 + 2 + 10 fill a member that two covers share
BACKING = 6  # ply under a cover
SET_BACK = 12  # of the ply, all round
MARGIN = SEAT + REVEAL

FLOOR = SHEET  # z on which members and equipment stand
PLATE_Z = SHEET + HEIGHT + GLUE  # underside of top plate and covers
TOP_Z = PLATE_Z + SHEET + VENEER  # the writing surface

DESK_HEIGHT = 750  # writing surface above the floor of the room
BLOCK = 80  # leg blocks, square
LEG = 46  # legs, square
LEG_PLATE = 6  # steel plate between desk and leg
LEG_LENGTH = DESK_HEIGHT - TOP_Z - LEG_PLATE

WIDTH, DEPTH = 1480, 690  # unless --set says otherwise
STATED_WIDTH = 1480  # of the desk whose columns stand below
LAMINATED = 2 * THICK  # the bevelled rail of the recess and the one behind it


@dataclass(frozen=True)
class Bay:
    """The room between members: x and y from face to face."""

    name: str
    x: tuple[float, float]
    y: tuple[float, float]

    @property
    def middle(self) -> tuple[float, float]:
        return (self.x[0] + self.x[1]) / 2, (self.y[0] + self.y[1]) / 2

    def open(self, margin: float) -> tuple[float, float, float, float]:
        """(x0, y0, x1, y1) of the bay, ``margin`` more all round."""
        return self.x[0] - margin, self.y[0] - margin, self.x[1] + margin, self.y[1] + margin


@dataclass(frozen=True)
class Layout:
    """Where the bays lie. Columns A and E share what the desk is wider than stated, the last row takes more depth."""

    width: float
    depth: float

    @property
    def columns(self) -> dict[str, tuple[float, float]]:
        """x from face to face of the members left and right."""
        wider = (self.width - STATED_WIDTH) / 2
        return {
            "A": (THICK, 252 + wider),
            "B": (274 + wider, 458 + wider),
            "C": (480 + wider, 1000 + wider),
            "D": (1022 + wider, 1206 + wider),
            "E": (1228 + wider, self.width - THICK),
        }

    @property
    def rows(self) -> dict[str, list[tuple[float, float]]]:
        """y from face to face of the members in front and behind, from the front."""
        inner = self.depth - THICK
        return {
            "A": [(22, 144), (166, 340), (362, 540), (562, inner)],
            "B": [(22, 180), (202, 390), (412, inner)],
            "C": [(22, 202), (224, 536), (558, inner)],
            "D": [(22, 92), (92 + LAMINATED, 264), (286, 506), (528, inner)],
            "E": [(22, 144), (166, 472), (494, inner)],
        }

    @property
    def bays(self) -> dict[str, Bay]:
        """A1 to E3."""
        columns, rows = self.columns, self.rows
        return {f"{column}{number}": Bay(f"{column}{number}", columns[column], y)
                for column in columns for number, y in enumerate(rows[column], 1)}

    def block(self, corner: str) -> tuple[float, float]:
        """(x, y) of the lowest corner of a leg block: "front left" and so on."""
        x = THICK if "left" in corner else self.width - THICK - BLOCK
        y = THICK if "front" in corner else self.depth - THICK - BLOCK
        return x, y
