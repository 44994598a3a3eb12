"""Covers that turn on hinges. Sizes of hinges: common practice; angles at first contact by trigonometry."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import pytest

from deskmodel import Bond, Cover, CutOut, Desk, DowelJoint, Hinge, InputFault, Member, Plate, Rest, Veneer, rectangle
from deskmodel.cache import DiskCache
from deskmodel.catalogue import hinge_size
from deskmodel.desk import Placed
from deskmodel.fit import FitEngine
from deskmodel.hardware import hinge_leaf
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import DeskModel, freeze, read_json, write_json
from deskmodel.solids.build import volume_of
from deskmodel.solids.part_shape import shape_of
from tests.desks.build import frozen, plate, rail
from tests.planted.harness import check_model

ASH = Veneer("ash veneer", 0.6)


@pytest.fixture(scope="module")
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))


def bay(side: str = "back", veneer: Veneer | None = None, reveal: float = 2.0, wall: float | None = None, up: float = 0.0,
        rng: Random | None = None, **hinge: object) -> Desk:
    """A frame 300 × 200 × 60 with a bonded plate, its opening ``reveal`` wider than the cover all round; the cover lies 10
    mm on each member, ``up`` mm too high; ``wall``: a rail on the plate, that far behind the cover's edge."""
    d = Desk("bay")
    p: dict[str, Placed] = {"front": rail(d, "front", 300, (0, 0, 0)), "back": rail(d, "back", 300, (0, 178, 0))}
    for name, x in (("left", 0), ("right", 278)):
        p[name] = d.place(Member(name, (22, 60), 156, "ash"), at=(x, 22, 0), along="y")
    opening = CutOut(rectangle(276 + 2 * reveal, 176 + 2 * reveal, (12 - reveal, 12 - reveal)))
    p["top"] = d.place(Plate("top", rectangle(300, 200), 1.5, "aluminium", (opening,), veneer=veneer), at=(0, 0, 60.5))
    cover = d.place(Cover("cover", (276, 176), veneer=veneer), at=(12, 12, 60.5 + up))
    frame = [p[name] for name in ("front", "back", "left", "right")]
    statements = [*(lambda e=e, r=r: d.join(DowelJoint(p[e], p[r])) for e in ("left", "right") for r in ("front", "back")),
                  lambda: d.join(Bond(p["top"], frame)),
                  lambda: d.join(Rest(cover, [part for part in frame if part.name != side], pad=0.5)),
                  lambda: d.join(Hinge(cover, p[side], **hinge))]
    if wall is not None:
        d.join(Rest(rail(d, "wall", 300, (0, 188 + wall, 62.0), section=(22, 22)), p["top"]))
    if rng:
        rng.shuffle(statements)
    for statement in statements:
        statement()
    return d


def ids(model: DeskModel, lines: dict[str, str], engine: FitEngine) -> list[str]:
    run = check_model(model, lines, engine)
    assert all(o.outcome in ("passed", "findings") for o in run.outcomes), [o.reason for o in run.outcomes]
    return [f.id for f in run.findings]


@pytest.mark.parametrize("veneer", [None, ASH])
@pytest.mark.parametrize("at", ["back", "front", "left", "right"])
def test_it_fits_and_opens(engine: FitEngine, at: str, veneer: Veneer | None) -> None:
    model, lines = freeze(bay(at, veneer, count=1 if at in ("left", "right") else 2))
    assert ids(model, lines, engine) == []
    (swing,) = model.swings
    assert model.lifts == ()
    assert swing.angle == 95
    # the pin stands over the edge, knuckle / 2 - leaf over the member: 1.7 - 0.8
    across = {"back": (1, 188), "front": (1, 12), "left": (0, 12), "right": (0, 288)}[at]
    assert swing.point[across[0]] == pytest.approx(across[1])
    assert swing.point[2] == pytest.approx(60.9)
    assert swing.axis == {"back": (-1, 0, 0), "front": (1, 0, 0), "left": (0, -1, 0), "right": (0, 1, 0)}[at]
    leaves = [p.name for p in model.parts if getattr(p.part, "kind", "") == "hinge" and "moving" in p.name]
    leaf = ("cover veneer",) if veneer else ()
    assert set(swing.parts) == {"cover", "cover backing", *leaf, *leaves}
    assert read_json(write_json(model)) == model


def test_the_record_says_what_is_to_be_done() -> None:
    record = next(r for r in frozen(bay()).joints if r.kind == "hinge")
    assert (record.apart, record.layer, len(record.hardware)) == (pytest.approx(0), 0.5, 4)
    assert "fixed leaf cut to 11 mm" in record.text  # 12 behind the pin, 1 left at the edge
    assert "8 countersunk wood screws" in record.text


@pytest.mark.parametrize("designation", ["40x30", "50x40", "60x50", "80x50"])
def test_leaves_are_what_the_catalogue_says(designation: str) -> None:
    size = hinge_size(designation)
    assert size.knuckle == pytest.approx(size.pin + 2 * size.leaf)
    r, t, gap = size.knuckle / 2, size.leaf, 0.2
    # a root of the leaf under the knuckle: the area of the strip y -r to t - r, x 0 to r + 0.3, outside the circle
    segment = r * r * math.acos((r - t) / r) - (r - t) * math.sqrt(r * r - (r - t) ** 2)
    strip = (r + 0.3) * t - segment / 2
    for moving, share in ((True, size.length / 3 - gap), (False, 2 * (size.length / 3 - gap / 2))):
        leaf = hinge_leaf("leaf", size, size.width, moving=moving)
        by_hand = (size.width - r - 0.3) * t * size.length + share * (math.pi * r * r + strip)
        assert volume_of(shape_of(leaf).build()) == pytest.approx(by_hand, rel=1e-6)


def test_a_wall_behind_is_struck(engine: FitEngine) -> None:
    # the cover's top stands 61.5 + 0.5 - 60.9 = 1.1 over the pin; the wall's upper edge lies 5 behind it, 84 - 60.9 over it
    up, behind = 84 - 60.9, 5.0
    expected = math.degrees(math.atan2(up, -behind) - math.asin(1.1 / math.hypot(up, behind)))
    (found,) = check_model(*freeze(bay(wall=5.0, angle=120)), engine).findings
    assert (found.id, found.parts, found.unit) == ("cover-strikes", ("cover", "wall"), "°")
    assert found.measured == pytest.approx(expected, abs=0.1)
    assert found.required == 120
    assert "turned, strikes wall" in found.message
    assert ids(*freeze(bay(wall=5.0, angle=95)), engine) == []  # before 99.5°


def test_a_reveal_too_narrow_for_the_corner(engine: FitEngine) -> None:
    # veneered the cover's top stands 1.7 over the pin: its corner comes 1.7 back and meets a plate 1.5 behind, 0.2 deep
    run = check_model(*freeze(bay(veneer=ASH, reveal=1.5)), engine)
    assert "cover-strikes" in {f.id for f in run.findings}
    struck = next(f for f in run.findings if f.id == "cover-strikes" and set(f.parts) == {"cover", "top"})
    assert struck.measured == pytest.approx(math.degrees(math.asin(1.5 / 1.7)), abs=0.5)


def test_hinges_0_3_out_of_place_are_found(engine: FitEngine) -> None:
    model, lines = freeze(bay())
    for name, by in (("cover hinge, hinge 1, moving leaf", (0, 0, -0.3)), ("cover hinge, hinge 2, fixed leaf", (0.3, 0, 0))):
        parts = tuple(replace(p, pose=p.pose.moved(by)) if p.name == name else p for p in model.parts)
        assert "parts-overlap" in ids(replace(model, parts=parts), lines, engine), name
    assert "joint-faces-apart" in ids(*freeze(bay(up=0.3)), engine)


def test_order_of_statements_changes_nothing() -> None:
    assert len({write_json(frozen(bay(rng=Random(seed)))) for seed in range(5)}) == 1


@pytest.mark.parametrize(("more", "problem"), [
    ({"hinge": "1x1"}, "hinge '1x1'"), ({"count": 0}, "count"), ({"count": 5}, "5 hinges 50 long"), ({"angle": 0}, "angle"),
    ({"at": (20,)}, "at 8 of a seat"), ({"at": (100, 120)}, "hinges at"), ({"pad": -1}, "pad"),
    ({"hinge": "40x30"}, "reaches 3 mm into 'cover backing'")])
def test_refused(more: dict[str, object], problem: str) -> None:
    with pytest.raises(InputFault, match=problem):
        frozen(bay(**more))


def test_hinges_on_two_edges_are_told_at_their_line() -> None:
    d = bay("back")
    d.join(Hinge("cover", "left"))
    with pytest.raises(InputFault, match="hinges of 'cover' that are not in line") as caught:
        freeze(d)
    # the second one by the names of their leaves: "cover hinge 2, …"
    assert caught.value.file == __file__
    assert caught.value.line in {where.line for joint, where in d.joints if isinstance(joint, Hinge)}


def test_no_room_behind_the_edge() -> None:
    d = Desk("narrow")
    r = rail(d, "r", 300, (0, 0, 0), section=(12, 60))
    d.join(Hinge(d.place(Cover("c", (276, 176)), at=(12, -166, 60.5)), r))  # its edge 2 mm before the member's far side
    with pytest.raises(InputFault, match="no room behind the edge"):
        frozen(d)
    d = Desk("wrong")
    d.join(Hinge(plate(d, "p", 300, 100, (0, 0, 60)), rail(d, "r", 300, (0, 0, 0))))
    with pytest.raises(InputFault, match="as the cover of a hinge"):
        frozen(d)
