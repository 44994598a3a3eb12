"""What gap-too-small tells to do, and what cover-strikes leaves to parts-overlap, from facts as the engine would state them
(distances by hand from the places of the parts)."""

from __future__ import annotations

import re
from random import Random

import pytest

from deskmodel import Component, Cover, CutOut, Desk, Member, Plate, rectangle
from deskmodel.checks import Facts, Strike, cover_strikes, gap_too_small, keep_out_invaded, parts_overlap
from deskmodel.component import Port
from deskmodel.component._part import box_prism
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import FitReport, GapFault, Overlap
from deskmodel.frames import Vec
from deskmodel.model import DeskModel, freeze
from deskmodel.session.fit_problem import fit_question, part_shapes


def shelf(x: float = 102.0, opening: float = 300.0) -> DeskModel:
    """A switch beside a rail, and a cover 296 long from ``x`` on in an opening from 100 on."""
    d = Desk("shelf")
    d.place(Member("rail", (22, 60), 600, "ash"), at=(0, 378, 1.5))
    d.place(Component("switch", "s.toml", "invented", (box_prism((100, 60, 20), (0, 0, 0)),), 0.2), at=(50, 310, 1.5))
    d.place(Plate("top", rectangle(600, 400), 1.5, "aluminium", (CutOut(rectangle(opening, 200, (100, 100))),)),
            at=(0, 0, 62))
    d.place(Cover("cover", (296, 196)), at=(x, 102, 62))
    return freeze(d)[0]


def remedy(model: DeskModel, a: str, b: str, gap: float, minimum: float, direction: Vec, reason: str = "air") -> str:
    fault = GapFault(a, b, gap, minimum, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0), direction, reason)
    finding, = gap_too_small.CHECK.run(Facts(model, FitReport(gap_faults=(fault,))))
    assert finding.message.endswith(f"; {minimum:g} mm are required: {reason}")
    return finding.remedy


@pytest.mark.parametrize(("a", "b", "direction", "told"), [
    ("switch", "rail", (0.0, 1.0, 0.0), "move switch 3.00 mm to the front (-y)"),
    ("rail", "switch", (0.0, -1.0, 0.0), "move switch 3.00 mm to the front (-y)"),
    ("top", "rail", (0.0, 0.0, -1.0), "move top 3.00 mm up (+z)"),
    ("cover backing", "rail", (0.0, 1.0, 0.0), "move cover 3.00 mm to the front (-y)"),
    ("switch", "top", (-0.6, 0.0, 0.8), "move switch 2.40 mm down (-z) and 1.80 mm to the right (+x)")])
def test_the_looser_part_is_moved_away(a: str, b: str, direction: Vec, told: str) -> None:
    assert remedy(shelf(), a, b, 5.0, 8.0, direction, "to lift the tray out") == told


def test_a_cover_too_large_for_its_opening() -> None:
    # 300 - 296 leaves 4: 2.5 on each side ask 5, however the cover lies
    told = "make cover smaller or its opening larger, 2.5 mm on each side are needed"
    assert remedy(shelf(), "cover", "top", 2.0, 2.5, (-1.0, 0.0, 0.0)) == told
    assert remedy(shelf(), "top", "cover", 2.0, 2.5, (1.0, 0.0, 0.0)) == told


def test_a_cover_that_lies_out_of_the_middle() -> None:
    # 1 to the left, 3 to the right: 2 on each side fit
    assert remedy(shelf(101.0), "cover", "top", 1.0, 2.0, (-1.0, 0.0, 0.0)) == "move cover 1.00 mm to the right (+x)"


def test_a_gap_beside_an_overlap() -> None:
    d = Desk("two")
    for name, y in (("a", 0), ("b", 20)):
        d.place(Member(name, (22, 60), 300, "ash"), at=(0, y, 0))
    d.require_gap("a", "b", 2, "to lift the tray out")
    overlap = Overlap("a", "b", "overlap", 36000.0, 2.0, (0.0, 21.0, 0.0), ((0.0, 20.0, 0.0), (300.0, 22.0, 60.0)))
    finding, = parts_overlap.CHECK.run(Facts(freeze(d)[0], FitReport(overlaps=(overlap,))))
    assert finding.remedy.endswith("2 mm are required between them: to lift the tray out")


def tray(x: float) -> DeskModel:
    """A tray of sheet 2 thick, 210 wide from ``x`` on, before a rail at 200; a cover 296 long in an opening of 300."""
    d = Desk("drawer")
    d.place(Member("rail", (22, 60), 400, "ash"), at=(200, 0, 1.5), along="y")
    sheets = (((0, 0, 0), (210, 300, 2)), ((0, 0, 2), (2, 300, 40)), ((208, 0, 2), (210, 300, 40)))
    bodies = tuple(box_prism(tuple(b - a for a, b in zip(low, high, strict=True)), low) for low, high in sheets)
    d.place(Component("tray", "t.toml", "invented", bodies, 0.4), at=(x, 50, 1.5))
    return freeze(d)[0]


def overlapping(model: DeskModel, a: str, b: str, box: tuple[Vec, Vec], by: float) -> str:
    overlap = Overlap(a, b, "overlap", 100.0, by, box[0], box)
    finding, = parts_overlap.CHECK.run(Facts(model, FitReport(overlaps=(overlap,))))
    return finding.remedy


def test_what_is_drawn_out_of_another_part() -> None:
    # 8 of the tray's 210 lie in the rail: its floor and wall are 2 thick, and 8 it must come out
    told = overlapping(tray(-2.0), "tray", "rail", ((200.0, 50.0, 1.5), (208.0, 350.0, 41.5)), 2.0)
    assert told == "move tray 8.00 mm to the left (-x), make one of the two smaller, or cut room for it"
    # its floor alone, across a post 30 wide: by the floor's thickness it would still stand in it
    d = Desk("post")
    d.place(Member("post", (30, 60), 60, "ash"), at=(100, 0, 1.5))
    d.place(Component("shelf", "s.toml", "invented", (box_prism((300, 20, 2), (0, 0, 0)),), 0.2), at=(0, 5, 20))
    # to the front 25 - 0, to the back 30 - 5: the same, down 22 - 1.5 = 20.5, which is not much less
    told = overlapping(freeze(d)[0], "shelf", "post", ((100.0, 5.0, 20.0), (160.0, 25.0, 22.0)), 2.0)
    assert told.startswith(("move shelf 25.00 mm to the front (-y)", "move shelf 25.00 mm to the back (+y)"))


def test_what_is_too_high_is_to_come_down() -> None:
    d = Desk("high")
    d.place(Member("beam", (22, 60), 600, "ash"), at=(0, 100, 40))
    d.place(Component("switch", "s.toml", "invented", (box_prism((100, 60, 42), (0, 0, 0)),), 0.2), at=(50, 80, 1.5))
    # 43.5 - 40 = 3.5, and to the sides 22 + 20 at least
    told = overlapping(freeze(d)[0], "beam", "switch", ((50.0, 100.0, 40.0), (150.0, 122.0, 43.5)), 3.5)
    assert told.startswith("move switch 3.50 mm down (-z)")


def test_a_cover_in_its_opening_is_not_sent_up() -> None:
    # 102 + 296 = 398 of 400: one too far to the right, and 1.5 thick
    assert overlapping(shelf(105.0), "top", "cover", ((400.0, 102.0, 62.0), (401.0, 298.0, 63.5)), 1.0).startswith(
        "move cover 1.00 mm to the left (-x)")
    # too large by 2 on both sides: no move helps
    told = overlapping(shelf(102.0, 292.0), "top", "cover", ((102.0, 102.0, 62.0), (398.0, 298.0, 63.5)), 1.5)
    assert told == "move or shorten one of the two, by 1.50 mm or more, or cut room for it"


def test_a_plug_goes_out_of_a_rail_with_its_box() -> None:
    d = Desk("plug")
    d.place(Member("rail", (22, 60), 400, "ash"), at=(200, 0, 1.5), along="y")
    port = Port("12 V", (100, 30, 10), "+x", (11, 11, 40))
    d.place(Component("driver", "d.toml", "invented", (box_prism((100, 60, 20), (0, 0, 0)),), 0.2, ports=(port,)),
            at=(84, 100, 1.5))
    model = freeze(d)[0]
    index = next(i for i, each in enumerate(model.keep_outs) if each.keep_out.kind == "plug")
    # its plug reaches from 184 to 224, 24 into the rail, and is 11 thick
    overlap = Overlap("keep-out", "rail", "overlap", 24 * 121.0, 11.0, (210.0, 130.0, 11.0),
                      ((200.0, 124.5, 6.0), (222.0, 135.5, 17.0)))
    facts = Facts(model, FitReport(overlaps=(overlap,)), keep_outs={"keep-out": index})
    finding, = keep_out_invaded.CHECK.run(facts)
    assert finding.remedy == "move driver 24.00 mm to the left (-x), or turn what needs the room"


WAYS = {"to the right (+x)": (1, 0, 0), "to the left (-x)": (-1, 0, 0), "to the back (+y)": (0, 1, 0),
        "to the front (-y)": (0, -1, 0), "up (+z)": (0, 0, 1), "down (-z)": (0, 0, -1)}


def test_who_does_as_told_has_no_overlap() -> None:
    """Fifty places of a tray and a board about a frame, measured by the engine before and after."""
    rng, engine, told = Random(3), FitEngine(), 0
    for _ in range(50):
        at = (rng.uniform(-30, 230), rng.uniform(-30, 230), rng.uniform(-20, 40))
        for _ in range(4):
            model, report = measured(engine, at)
            found = parts_overlap.CHECK.run(Facts(model, report))
            if not found:
                break
            (part, by, way), = re.findall(r"move (\w+) ([\d.]+) mm ([a-z ]+\([+-][xyz]\))", found[0].remedy)
            assert part == "tray"
            pair = {"tray", *found[0].parts} - {"tray"}
            step = WAYS[way]
            at = (at[0] + float(by) * step[0], at[1] + float(by) * step[1], at[2] + float(by) * step[2])
            _, after = measured(engine, at)
            assert not [each for each in after.overlaps if {each.a, each.b} == {"tray", *pair} and each.penetration > 0.02]
            told += 1
    assert told > 20


def measured(engine: FitEngine, at: Vec) -> tuple[DeskModel, FitReport]:
    d = Desk("frame")
    for name, x, y, along in (("front", 0, 0, "x"), ("back", 0, 278, "x"), ("left", 0, 22, "y"), ("right", 278, 22, "y")):
        d.place(Member(name, (22, 60), 300 if along == "x" else 256, "ash"), at=(x, y, 0), along=along)
    sheets = (((0, 0, 0), (80, 60, 2)), ((0, 0, 2), (2, 60, 40)), ((78, 0, 2), (80, 60, 40)))
    bodies = tuple(box_prism(tuple(b - a for a, b in zip(low, high, strict=True)), low) for low, high in sheets)
    d.place(Component("tray", "t.toml", "invented", bodies, 0.4), at=at)
    model = freeze(d)[0]
    return model, engine.run(fit_question(model, part_shapes(model)).problem)


@pytest.mark.parametrize("accepted", [False, True])
def test_strikes_between_parts_that_overlap_before_the_lift(accepted: bool) -> None:
    d = Desk("lid")
    d.place(Cover("cover", (296, 196)), at=(0, 0, 62))
    d.place(Member("rail", (22, 60), 300, "ash"), at=(0, 0, 60))
    if accepted:  # then parts-overlap no longer stops the build, and the cover still cannot be opened
        d.accept("parts-overlap", ["rail", "cover"], "planed on the bench")
    strikes = tuple(Strike("cover", moving, part, travel, (0.0, 0.0, 62.0))
                    for moving, part, travel in (("cover", "rail", 0.003), ("cover backing", "post", 9.0)))
    report = FitReport(overlaps=(Overlap("cover", "rail", "overlap", 9768.0, 1.5, (0.0, 0.0, 62.0),
                                          ((0.0, 0.0, 62.0), (296.0, 22.0, 63.5))),))
    struck = [finding.parts[1] for finding in cover_strikes.CHECK.run(Facts(freeze(d)[0], report, strikes))]
    assert struck == (["rail", "post"] if accepted else ["post"])
