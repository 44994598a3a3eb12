"""Screws go only where the plate is: an L-shaped plate over two rails."""

from __future__ import annotations

from itertools import pairwise

from deskmodel import Desk, InsertFixing, Member, Plate, polygon
from deskmodel.model import freeze


def test_an_l_shaped_plate_is_screwed_where_it_lies_on_the_rails() -> None:
    d = Desk("corner", (800, 344, 70))
    front = d.place(Member("front", (44, 60), 800, "ash"), at=(0, 0, 1.5))
    back = d.place(Member("back", (44, 60), 800, "ash"), at=(0, 300, 1.5))
    corners = [(0, 0), (800, 0), (800, 44), (400, 44), (400, 344), (0, 344)]
    plate = d.place(Plate("under-plate", polygon(corners), 1.5, "steel"), at=(0, 0, 0))
    d.join(InsertFixing(plate, [front, back], pitch=120))
    model, _ = freeze(d)
    places = {rail: sorted(f.at[0] for f in model.part(rail).part.features) for rail in ("front", "back")}
    # 20 from both ends, none farther apart than 1.5 pitches
    assert (places["front"][0], places["front"][-1]) == (20, 780)
    # the back rail is covered up to x 400; a countersink of 8.96 must stay on the plate: x <= 400 - 4.48
    assert places["back"][0] == 20
    assert 380 <= places["back"][-1] <= 400 - 4.48
    assert all(b - a <= 180 for row in places.values() for a, b in pairwise(row))
