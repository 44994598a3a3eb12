"""Every family of pairs, how many of each the slow suite takes, and the seeded sample of the ordinary one."""

from __future__ import annotations

import random
from dataclasses import dataclass

from tests.truth import balls, boxes, edges, near, presses, rounds, sinks, special, tight
from tests.truth.case import SEED, Case, Family, make_case

__all__ = ["FAMILIES", "Group", "all_names", "case_named", "sample_names"]


@dataclass(frozen=True, slots=True)
class Group:
    draw: Family
    count: int
    closed: bool = True  # False: the oracle says what is true


FAMILIES: dict[str, Group] = {
    "box-on-box": Group(boxes.box_on_box, 160),
    "boxes-any-order": Group(boxes.boxes_in_any_order, 160),
    "swallowed-box": Group(boxes.swallowed_box, 60),
    "box-in-hollow": Group(boxes.box_in_hollow, 90),
    "component-on-rail": Group(boxes.component_on_rail, 90),
    "cover-on-seat": Group(boxes.cover_on_seat, 90),
    "notch-and-rail": Group(boxes.notch_and_rail, 90),
    "linked-frames": Group(boxes.linked_frames, 60),
    "edge-on-face": Group(edges.edge_on_face, 90),
    "corner-on-face": Group(edges.corner_on_face, 90),
    "edge-across-edge": Group(edges.edge_across_edge, 90),
    "wedge-on-face": Group(edges.wedge_on_face, 90),
    "bevel-on-bevel": Group(edges.bevel_on_bevel, 90),
    "bars-beside": Group(rounds.bars_beside, 90),
    "bars-across": Group(rounds.bars_across, 90),
    "bars-end-to-end": Group(rounds.bars_end_to_end, 90),
    "pin-in-hole": Group(rounds.pin_in_hole, 120),
    "pin-off-axis": Group(rounds.pin_off_axis, 120),
    "dowel-at-bottom": Group(rounds.dowel_at_bottom, 90),
    "sleeve-in-pilot": Group(rounds.sleeve_in_pilot, 90),
    "pin-through-ring": Group(rounds.pin_through_ring, 90),
    "pin-in-vent": Group(rounds.pin_in_vent, 90),
    "pin-swallowed": Group(rounds.pin_swallowed, 40),
    "two-pins": Group(rounds.two_pins, 40),
    "screw-in-countersink": Group(sinks.screw_in_countersink, 120),
    "screw-off-axis": Group(sinks.screw_off_axis, 90),
    "button-on-plate": Group(sinks.button_on_plate, 60),
    "screw-swallowed": Group(sinks.screw_swallowed, 20),
    "bosses-and-lands": Group(sinks.bosses_and_lands, 90),
    "ball-on-face": Group(balls.ball_on_face, 60),
    "ball-on-ball": Group(balls.ball_on_ball, 60),
    "ball-in-hole": Group(balls.ball_in_hole, 60),
    "ball-in-countersink": Group(balls.ball_in_countersink, 60),
    "ring-on-face": Group(balls.ring_on_face, 60),
    "ring-on-bar": Group(balls.ring_on_bar, 60),
    "duplicates": Group(special.duplicates, 70),
    "roles-and-owners": Group(special.roles_and_owners, 84),
    "press-fits": Group(presses.press_fits, 120),
    "kinds-meet": Group(near.kinds_meet, 1386, closed=False),  # 231 pairs of kinds, 6 times
    "fits-disturbed": Group(tight.fits_disturbed, 540, closed=False),
}


def all_names() -> list[str]:
    return [f"{family}:{i}" for family, group in FAMILIES.items() for i in range(group.count)]


def sample_names(count: int, least: int = 3) -> list[str]:
    """A seeded sample that gives each family its share, at least ``least``."""
    total = sum(g.count for g in FAMILIES.values())
    names = []
    for family, group in FAMILIES.items():
        share = max(least, round(count * group.count / total))
        names += [f"{family}:{i}" for i in sorted(random.Random(f"{SEED}/{family}").sample(range(group.count), share))]
    return names


def case_named(name: str) -> Case:
    family, index = name.rsplit(":", 1)
    return make_case(family, FAMILIES[family].draw, int(index))
