"""A plate as it is drawn for the service: which face, in which frame; outlines that no laser can follow are refused."""

from __future__ import annotations

import pytest

from deskmodel import CutOut, Desk, Finish, Flange, Hole, Member, Plate, Pocket, Profile, Veneer, circle, polygon, rectangle
from deskmodel.cutting import cut_sheet
from deskmodel.errors import InputFault
from deskmodel.model import freeze
from deskmodel.plans import cut_plates, sent_plates, undrawn_plates
from tests.hostile import HOSTILE, refused


def test_an_open_or_crossing_outline_is_refused_where_it_is_made() -> None:
    """An outline is closed by what it is: its last corner joins the first. One that crosses or touches itself is told."""
    bow = Profile(((0, 0, 0), (10, 10, 0), (10, 0, 0), (0, 10, 0)))
    for make in (lambda: Plate("p", bow, 1.5, "steel"), lambda: polygon([(0, 0), (10, 10), (10, 0), (0, 10)]),
                 lambda: Plate("p", rectangle(50, 50), 1.5, "steel", (CutOut(bow.moved(10, 10)),)),
                 lambda: Plate("p", Profile(((0, 0, 0), (0, 10, 0), (10, 0, 0))), 1.5, "steel"),
                 lambda: polygon([(0, 0), (10, 0)])):
        with pytest.raises(InputFault, match=r"crosses|clockwise|points|without area"):
            make()


@pytest.mark.parametrize("cuts", [
    (CutOut(rectangle(4, 60, (48, 0))),), (CutOut(rectangle(4, 30, (48, 0))), CutOut(rectangle(4, 30, (48, 30)))),
    (CutOut(rectangle(50, 30)), CutOut(rectangle(50, 30, (50, 30)))), (CutOut(rectangle(100, 60)),)])
def test_a_plate_that_falls_to_pieces_is_not_drawn(cuts: tuple[CutOut, ...]) -> None:
    d = Desk("d")
    d.place(Plate("p", rectangle(100, 60), 1.5, "steel", cuts), at=(0, 0, 0))
    model = freeze(d)[0]
    assert cut_plates(model) == ()
    assert [each.name for each in undrawn_plates(model)] == ["p"]
    assert undrawn_plates(model)[0].why


def test_cuts_that_meet_are_one() -> None:
    plate = Plate("p", rectangle(100, 60), 1.5, "steel", (
        CutOut(rectangle(10, 20, (90, 20)), name="notch"), CutOut(circle(10, (30, 30)), name="a"), Hole("top", (36, 30), 6),
        CutOut(rectangle(20, 20, (50, 20)), name="window"), Hole("top", (60, 30), 6)))
    sheet = cut_sheet(plate, "top")
    assert len(sheet.cuts) == 2
    assert len(sheet.outline.vertices) == 8
    assert sheet.pierces == 3


def test_frames() -> None:
    """A plate that does not begin at its own (0, 0), on both faces: there and back."""
    plate = Plate("p", polygon([(10, 20), (110, 20), (110, 70), (10, 60)]), 2, "steel", (
        Hole("top", (30, 30), 5, countersink=(8, 90)), Pocket("bottom", rectangle(10, 5, (60, 40)), 1)))
    for seen, x, drawn in (("top", 20, True), ("bottom", 80, False)):
        sheet = cut_sheet(plate, seen)
        (cut,) = sheet.cuts
        assert cut.outline.as_circle == ((x, 10), 2.5)
        assert sheet.to_flat((x, 10)) == (30, 30)
        assert sheet.to_part((x, 10)) == (30, 30, 2 if seen == "top" else 0)
        sink = next(work for work in sheet.works if work.kind == "countersink")
        pocket = next(work for work in sheet.works if work.kind == "pocket")
        assert (sink.at, sink.drawn, sink.through, sink.wide, sink.angle) == ((x, 10), drawn, True, 8, 90)
        assert (pocket.drawn, pocket.depth) == (not drawn, 1)
        assert pocket.at == ((55, 22.5) if seen == "top" else (45, 22.5))
        assert sheet.size == (100, 50)
        assert sheet.area == pytest.approx(100 * 45 - 6.25 * 3.14159265)


def test_which_face_is_seen() -> None:
    d = Desk("d")
    d.place(Member("rail", (22, 60), 300, "ash"), at=(0, 0, 0))
    d.place(Member("leg", (40, 40), 700, "ash"), at=(0, 50, -700), along="z")  # hangs: no middle of the desk
    for name, z, more in (("above", 60, {}), ("below", -2, {}), ("turned", 60, {"finish": Finish("bottom")}),
                          ("veneered below", 70, {"veneer": Veneer("ash veneer", 0.6, face="bottom")})):
        d.place(Plate(name, rectangle(100, 22), 1.5, "steel", **more), at=(0, 0, z))
    d.place(Plate("upright", rectangle(100, 50), 1.5, "steel"), at=(0, -1.5, 0), turn=90)  # its top looks to the front
    seen = {each.name: each.sheet.seen for each in cut_plates(freeze(d)[0])}
    assert seen == {"above": "top", "below": "bottom", "turned": "bottom", "veneered below": "bottom", "upright": "top"}


def test_plates_that_are_alike_are_one_line() -> None:
    d = Desk("d")
    one = {"outline": rectangle(100, 60), "thickness": 1.5, "material": "steel"}
    d.place(Plate("a", **one, features=(Hole("top", (20, 20), 5, name="x"),)), at=(0, 0, 0))
    d.place(Plate("b", **one, features=(Hole("bottom", (20, 20), 5, name="y"),)), at=(0, 100, 0))
    d.place(Plate("mirror", **one, features=(Hole("top", (80, 20), 5),)), at=(0, 200, 0))
    d.place(Plate("sunk", **one, features=(Hole("top", (20, 20), 5, countersink=(8, 90)),)), at=(0, 300, 0))
    d.place(Plate("sunk below", **one, features=(Hole("bottom", (20, 20), 5, countersink=(8, 90)),)), at=(0, 400, 0))
    d.place(Plate("coated", **one, features=(Hole("top", (20, 20), 5),), finish=Finish(coating="powder")), at=(0, 500, 0))
    d.place(Plate("ply", rectangle(100, 60), 6, "birch ply"), at=(0, 600, 0))
    d.place(Plate("glass", rectangle(100, 60), 4, "glass"), at=(0, 700, 0))
    assert [plate.names for plate in sent_plates(freeze(d)[0])] == [
        ("a", "b"), ("coated",), ("mirror",), ("sunk",), ("sunk below",)]


@pytest.mark.parametrize("value", HOSTILE, ids=lambda value: type(value).__name__)
def test_a_finish_is_taken_or_refused(value: object) -> None:
    for make in (lambda: Finish(value), lambda: Finish(brushed=value), lambda: Finish(coating=value),
                 lambda: Finish(coating="x", thickness=value), lambda: Finish(coated=value),
                 lambda: Plate("p", rectangle(9, 9), 1, "steel", finish=value),
                 lambda: Plate("p", rectangle(9, 9), 1, "steel", flanges=(Flange("back", 20),), witness=value)):
        refused(make)
    with pytest.raises(InputFault, match="without a coating"):
        Finish(thickness=0.1)
