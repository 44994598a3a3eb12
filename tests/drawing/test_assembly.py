"""Assembly sheets: every part is on the list, every number leads to a part, and nothing lies over anything."""

from __future__ import annotations

import math
import re

import pytest

from deskmodel import Desk, Member
from deskmodel.drawing import Drawing, Path, Text
from deskmodel.drawing.assembly import assembly_sheets
from deskmodel.drawing.layers import rises
from deskmodel.drawing.parts_list import hardware_counts, parts_list
from deskmodel.drawing.piece_drawing import Made
from deskmodel.faces import placed_box
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel, freeze
from tests.cli.commands import ROOT
from tests.desks.build import frozen
from tests.desks.many_bays import many_bays
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.drawing.test_views import check_paper, text_box, texts
from tests.planted.harness import PARTS, edited_desk

MADE = Made("duty desk", "revision 0123456789ab", False)
NUMBER = re.compile(r"[MSVPEX]\d+(, [MSVPEX]\d+)*")


@pytest.fixture(scope="module")
def duty() -> DeskModel:
    return edited_desk(ROOT / "parts")[0]


def balloons(sheet: Drawing) -> list[Text]:
    return [text for text in texts(sheet) if text.bold and text.anchor == "middle" and NUMBER.fullmatch(text.text)]


def check(sheets: tuple[Drawing, ...]) -> None:
    for sheet in sheets:
        check_paper(sheet)
        assert all(text.height >= 2.0 for text in texts(sheet))


def test_every_part_is_on_the_list_once(duty: DeskModel) -> None:
    items = parts_list(duty)
    names = [name for item in items for name in item.names]
    assert sorted(names) == sorted(p.name for p in duty.parts if not isinstance(p.part, Hardware))
    assert len({item.number for item in items}) == len(items)
    assert sum(count for _, count in hardware_counts(duty)) == sum(isinstance(p.part, Hardware) for p in duty.parts)
    assert ("dowel 8 × 40", 72) in hardware_counts(duty)


def test_every_item_of_the_duty_desk_has_a_balloon(duty: DeskModel) -> None:
    sheets = assembly_sheets(duty, MADE)
    check(sheets)
    told = {number for sheet in sheets for text in balloons(sheet) for number in text.text.split(", ")}
    assert told == {item.number for item in parts_list(duty)}
    listed = [text.text for text in texts(sheets[-1])]
    for item in parts_list(duty):
        assert item.number in listed
        assert item.size in listed


def test_a_leader_ends_on_its_part(duty: DeskModel) -> None:
    """On the plan, 1 : 5: the end of each leader, or the balloon itself, lies within a part of that number."""
    plan = assembly_sheets(duty, MADE)[0]
    lines = [record for record in plan.records if isinstance(record, Path) and record.layer == "dimension"
             and not record.closed and len(record.outlines[0]) == 2]
    rise = rises(duty)
    frame = [placed_box(p) for p in duty.parts if not isinstance(p.part, Hardware) and rise[p.name] <= 0]
    left, front = min(b[0][0] for b in frame), min(b[0][1] for b in frame)
    members = [record for record in plan.records if isinstance(record, Path) and record.layer == "visible"]
    x0 = min(x for record in members for x, _, _ in record.outlines[0])
    y0 = min(y for record in members for _, y, _ in record.outlines[0])
    by_number = {item.number: item.names for item in parts_list(duty)}
    found = 0
    for text in balloons(plan):
        box = text_box(text)
        centre = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        ends = [line.outlines[0][0][:2] for line in lines if math.dist(line.outlines[0][1][:2], centre) < 8]
        spots = [((x - x0) * 5 + left, (y - y0) * 5 + front) for x, y in (*ends, centre)]
        boxes = [placed_box(duty.part(name)) for name in by_number[text.text]]
        assert any(low[0] - 0.5 <= x <= high[0] + 0.5 and low[1] - 0.5 <= y <= high[1] + 0.5
                   for x, y in spots for low, high in boxes)
        found += 1
    assert found > 40


def test_other_desks() -> None:
    check(assembly_sheets(freeze(many_bays())[0], MADE))
    check(assembly_sheets(edited_desk(PARTS)[0], Made("d", "UNRELEASED revision 0123456789ab", True)))
    check(assembly_sheets(frozen(Desk("nothing")), MADE))
    tiny = Desk("tiny")
    tiny.place(Member("m", (5, 5), 30, "ash"), at=(0, 0, 0))
    check(assembly_sheets(frozen(tiny), MADE))


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names(name: str) -> None:
    model = freeze(small_desk(lambda key: name[:250] + key if len(name) > 200 else f"{name}{key}{name}"))[0]
    check(assembly_sheets(model, Made(name, "revision 0123456789ab", False)))
