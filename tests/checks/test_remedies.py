"""What gap-too-small tells to do, and what cover-strikes leaves to parts-overlap, from facts as the engine would state them
(distances by hand from the places of the parts)."""

from __future__ import annotations

import pytest

from deskmodel import Component, Cover, CutOut, Desk, Member, Plate, rectangle
from deskmodel.checks import Facts, Strike, cover_strikes, gap_too_small, parts_overlap
from deskmodel.component._part import box_prism
from deskmodel.fit.problem import FitReport, GapFault, Overlap
from deskmodel.frames import Vec
from deskmodel.model import DeskModel, freeze


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
