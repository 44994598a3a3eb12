"""Plan and section: everything is on the paper, no lettering runs into other lettering, and it says what is so."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from deskmodel import CutOut, Desk, Flange, Member, Plate, Veneer, circle, rectangle
from deskmodel.drawing import Drawing, Path, Picture, Text, plan_view, section_at, section_view
from deskmodel.drawing._section_cuts import holes_cut, member_cut, slab_cuts
from deskmodel.drawing._shapes import cut_stretches, from_above, hull
from deskmodel.drawing.lettering import width_of
from deskmodel.model import DeskModel, freeze
from deskmodel.plans import bay_rows
from deskmodel.profiles import Profile, obround
from tests.cli.commands import ROOT
from tests.desks.build import frozen, plate, rail
from tests.desks.many_bays import BAYS, EQUIPMENT, many_bays
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.planted.harness import PARTS, edited_desk

VIEWS = {"plan": plan_view, "section": section_view}
NAMES: dict[str, Callable[[str], str]] = {
    "short": lambda name: name, "long": lambda name: f"{name} that has a very long name because somebody could not stop",
    "one word": lambda name: f"{name.replace(' ', '')}{'x' * 200}",
    "hostile": lambda name: f"{name} \"q\" <script>alert('1')</script>"}


def view(model: DeskModel, which: str, unreleased: bool = False) -> Drawing:
    return VIEWS[which](model, bay_rows(model), "revision 0123456789ab", unreleased)


def text_box(text: Text) -> tuple[float, float, float, float]:
    """The box about the capitals of a text."""
    wide = width_of(text.text, text.height, text.bold)
    start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
    x, y = text.at
    if text.turn:
        return x - text.height, y + start, x, y + start + wide
    return x + start, y, x + start + wide, y + text.height


def texts(made: Drawing) -> list[Text]:
    return [record for record in made.records if isinstance(record, Text)]


def check_paper(made: Drawing) -> None:
    wide, high = made.size
    for record in made.records:
        if isinstance(record, Text):
            x0, y0, x1, y1 = text_box(record)
            assert x0 >= -1e-6, record
            assert y0 >= -1e-6, record
            assert x1 <= wide + 1e-6, record
            assert y1 <= high + 1e-6, record
        elif isinstance(record, Picture):
            assert min(record.at) >= -1e-6
            assert record.at[0] + record.size[0] <= wide + 1e-6
            assert record.at[1] + record.size[1] <= high + 1e-6
        else:
            for outline in record.outlines:
                assert all(-1e-6 <= x <= wide + 1e-6 and -1e-6 <= y <= high + 1e-6 for x, y, _ in outline)
    boxes = [(text_box(text), text.text) for text in texts(made)]
    for i, (a, one) in enumerate(boxes):
        for b, other in boxes[i + 1:]:
            apart = a[2] <= b[0] + 0.01 or b[2] <= a[0] + 0.01 or a[3] <= b[1] + 0.01 or b[3] <= a[1] + 0.01
            assert apart, f"{one!r} runs into {other!r}"


@pytest.mark.parametrize("names", NAMES)
@pytest.mark.parametrize("which", VIEWS)
def test_seventeen_bays(which: str, names: str) -> None:
    model = freeze(many_bays(NAMES[names]))[0]
    for unreleased in (False, True):
        check_paper(view(model, which, unreleased))


@pytest.mark.parametrize("which", VIEWS)
def test_other_desks(which: str) -> None:
    check_paper(view(edited_desk(PARTS)[0], which))
    check_paper(view(freeze(small_desk())[0], which))
    check_paper(view(edited_desk(ROOT / "parts")[0], which))
    check_paper(view(frozen(Desk("nothing")), which))
    tiny = Desk("tiny")
    tiny.place(Member("m", (5, 5), 30, "ash"), at=(0, 0, 0))
    check_paper(view(frozen(tiny), which))


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names(name: str) -> None:
    model = freeze(small_desk(lambda key: name[:250] + key if len(name) > 200 else f"{name}{key}{name}"))[0]
    for which in VIEWS:
        check_paper(view(model, which))


def test_the_plan_names_bays_sizes_and_equipment() -> None:
    told = " ".join(text.text for text in texts(view(freeze(many_bays())[0], "plan")))
    for name, ((x0, x1), (y0, y1)) in BAYS.items():
        assert name in told
        assert f"{x1 - x0} × {y1 - y0} × 54.35" in told  # in one line or in two
    for title, _, _ in EQUIPMENT:
        assert all(word in told for word in title.split())
    assert "1480" in told
    assert "690" in told
    assert "front, the chair's side" in told


def test_the_section_says_what_it_exaggerates() -> None:
    model = freeze(many_bays())[0]
    made = view(model, "section")
    told = [text.text for text in texts(made)]
    assert any("widths 1 : 5, heights 1 : 1 (drawn 5 times larger)" in text for text in told)
    assert told.count("54.35") == 5  # one clear height for each bay that is cut
    assert {"63.5", "1480", "under-plate: 1.5 steel"} <= set(told)
    assert "44 high" in told
    # the plane passes through a bay of every column: y 319 is in A2, B2, C2, D3, E2
    assert section_at(model, bay_rows(model)) == 319


def test_unreleased_is_written_over_it() -> None:
    model = freeze(many_bays())[0]
    assert not any(text.text == "UNRELEASED" for text in texts(view(model, "plan")))
    assert any(text.text == "UNRELEASED" for text in texts(view(model, "plan", True)))


def placed(part: object, at: tuple[float, float, float] = (0, 0, 0), **more: object) -> object:
    d = Desk("one")
    d.place(part, at=at, **more)
    return d.parts["p"]


def test_stretches_of_a_plate_with_openings() -> None:
    part = placed(Plate("p", rectangle(100, 60), 2, "steel", (
        CutOut(circle(20, (30, 30))), CutOut(obround(30, 10, (70, 30))))), (5, 7, 0))
    cuts = [(slab.cut[0], slab.cut[2]) for slab in slab_cuts([part], 37)]
    assert cuts == [pytest.approx(pair, abs=1e-5) for pair in ((5, 25), (45, 60), (90, 105))]
    # 6 off the middle of the circle its chord is 2 √(100 - 36) = 16 long; the slot, 5 to either side, is not met
    cuts = [(slab.cut[0], slab.cut[2]) for slab in slab_cuts([part], 43)]
    assert cuts == [pytest.approx(pair, abs=1e-5) for pair in ((5, 27), (43, 105))]


def test_a_bent_plate_is_cut_as_it_is_bent() -> None:
    """An angle of 2 with its leg 20 high at x 100: base, bend and leg, none of them a block."""
    part = placed(Plate("p", rectangle(100, 60), 2, "steel", flanges=(Flange("right", 20, radius=2),)))
    cuts = sorted(slab.cut for slab in slab_cuts([part], 30))
    assert cuts == [pytest.approx(cut, abs=1e-5) for cut in ((0, 0, 96, 2), (96, 0, 100, 4), (98, 4, 100, 20))]
    assert list(slab_cuts([part], 61)) == []


def test_veneer_is_a_layer_of_its_own() -> None:
    d = Desk("veneered")
    rail(d, "rail", 300, (0, 0, 0))
    top = Plate("top", rectangle(300, 22), 1.5, "aluminium", veneer=Veneer("ash veneer", 0.6))
    d.place(top, at=(0, 0, 60))
    told = [text.text for text in texts(view(frozen(d), "section"))]
    assert {"top: 1.5 aluminium", "top veneer: 0.6 ash veneer", "62.1"} <= set(told)


def test_stretches_through_corners_and_along_edges() -> None:
    square = rectangle(10, 10).vertices
    assert cut_stretches([square], [], 1, 0.0) == [pytest.approx((0, 10))]
    assert cut_stretches([square], [], 1, 10.0) == []
    assert cut_stretches([square], [square], 1, 5.0) == []
    diamond = Profile(((5, 0, 0.0), (10, 5, 0.0), (5, 10, 0.0), (0, 5, 0.0))).vertices
    assert cut_stretches([diamond], [], 0, 2.5) == [pytest.approx((2.5, 7.5), abs=1e-5)]
    ring = circle(10, (0, 0)).vertices
    assert cut_stretches([ring], [circle(6, (0, 0)).vertices], 1, 0.0) == [pytest.approx((-5, -3)), pytest.approx((3, 5))]


def test_a_member_askew_is_seen_as_it_lies() -> None:
    d = Desk("askew")
    plate(d, "under", 10, 10, (0, 0, 0))
    rail(d, "p", 100, (0, 0, 10), turn=30)
    outline, = from_above(d.parts["p"])
    ys = [y for _, y, _ in outline]
    # section 22 × 60 turned by 30° about its length: 22 cos 30° + 60 sin 30° wide
    assert max(ys) - min(ys) == pytest.approx(22 * math.cos(math.radians(30)) + 60 * math.sin(math.radians(30)))


def test_bores_are_cut_along_a_chord() -> None:
    d = Desk("bored")
    member = rail(d, "p", 100, (0, 0, 0), "y")
    d.bore(member, "x", (0, 50, 30), 20)
    assert member_cut(d.parts["p"], 50) == (0, 0, 22, 60)
    assert member_cut(d.parts["p"], 100) is None
    assert list(holes_cut(d.parts["p"], 50)) == [pytest.approx((0, 20, 22, 40))]
    assert list(holes_cut(d.parts["p"], 56)) == [pytest.approx((0, 22, 22, 38))]  # 6 off the axis: √(100 - 36) = 8
    assert list(holes_cut(d.parts["p"], 61)) == []


def test_hull_of_points_in_a_plane() -> None:
    points = [(x, y) for x in range(4) for y in range(4)]
    assert hull(points) == [(0, 0), (3, 0), (3, 3), (0, 3)]


def test_openings_and_vents_are_drawn_from_the_cuts() -> None:
    model = freeze(many_bays())[0]
    made = view(model, "plan")
    vents = [record for record in made.records if isinstance(record, Path) and record.layer == "vents"]
    assert len(vents) == 15 * 12 + 15 * 20
    # Ø 5 at 1 : 5 is Ø 1 on paper
    xs = [x for x, _, _ in vents[0].outlines[0]]
    assert max(xs) - min(xs) == pytest.approx(1.0)
