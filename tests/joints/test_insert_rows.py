"""Where the screws of a row go: 20 mm from glue lines, in whatever direction these lie (common practice)."""

from __future__ import annotations

from deskmodel import Desk, DowelJoint, InsertFixing, Member, Plate, rectangle
from deskmodel.model import DeskModel, freeze


def screws_in(model: DeskModel, y: float) -> list[float]:
    """x of the screws whose axis stands at that y."""
    return sorted(part.pose.origin[0] for part in model.parts
                  if part.role == "hardware" and ", screw " in part.name and abs(part.pose.origin[1] - y) < 1e-6)


def boards(width: float) -> DeskModel:
    """Two boards 44 thick, glued edge to edge with dowels, on a plate that is screwed to both."""
    d = Desk("boards")
    left, right = (d.place(Member(name, (width, 44), 800, "ash"), at=(0, y, 0)) for name, y in (("a", 0), ("b", width)))
    d.join(DowelJoint(left, right, dowel="10x60", count=4))
    under = d.place(Plate("under", rectangle(800, 2 * width), 1.5, "steel"), at=(0, 0, -1.5))
    d.join(InsertFixing(under, [left, right], pitch=120))
    return freeze(d)[0]


def test_a_glue_line_far_to_the_side_is_in_nobodys_way() -> None:
    model = boards(width=100)  # rows at y 50 and 150, the glue line at 100, the dowel holes to 31 from it
    # 20 from both ends, 760 between in 7 shares of at most 120
    expected = [20 + 760 / 7 * i for i in range(8)]
    for y in (50, 150):
        assert all(abs(x - e) < 1e-6 for x, e in zip(screws_in(model, y), expected, strict=True))


def test_a_glue_line_above_is_in_nobodys_way() -> None:
    d = Desk("stack")
    low, high = (d.place(Member(name, (44, 60), 800, "ash"), at=(0, 0, z)) for name, z in (("a", 0), ("b", 60)))
    d.join(DowelJoint(low, high, dowel="10x60", count=4))
    under = d.place(Plate("under", rectangle(800, 44), 1.5, "steel"), at=(0, 0, -1.5))
    d.join(InsertFixing(under, low, pitch=400))
    assert screws_in(freeze(d)[0], 22) == [20, 400, 780]  # inserts end 13 deep, dowel holes and glue begin at 29 and 60


def test_a_glue_line_near_the_row_keeps_screws_away() -> None:
    d = Desk("rails")
    front, cross = (d.place(Member(name, (22, 60), length, "ash"), at=at, along=along)
                    for name, length, at, along in (("front", 800, (0, 0, 0), "x"), ("cross", 300, (400, 22, 0), "y")))
    d.join(DowelJoint(cross, front))
    under = d.place(Plate("under", rectangle(800, 22), 1.5, "steel"), at=(0, 0, -1.5))
    d.join(InsertFixing(under, front, pitch=120))
    places = screws_in(freeze(d)[0], 11)
    assert places
    # the glue line runs from x 400 to 422, 11 mm beside the row
    assert all(x <= 380 + 1e-6 or x >= 442 - 1e-6 for x in places)
