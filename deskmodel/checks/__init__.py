"""The checks, one file each, named for the fault. ``CHECKS`` lists them; ``run_checks`` runs them."""

from collections.abc import Collection

from deskmodel.checks import (
    bay_walls_apart,
    countersink_too_deep,
    cover_strikes,
    dowel_diameter_unfit,
    dowel_near_edge,
    dowel_too_shallow,
    dowels_badly_spaced,
    duplicate_part,
    fixing_pitch,
    gap_too_small,
    glue_does_not_bond,
    glue_space_unfit,
    head_proud,
    hole_breaks_through,
    hole_not_drillable,
    hole_without_partner,
    holes_cross,
    holes_misaligned,
    insert_near_edge,
    jig_off_target,
    joint_can_turn,
    joint_faces_apart,
    keep_out_invaded,
    opposed_dowels_close,
    outside_envelope,
    part_swallowed,
    parts_overlap,
    pattern_unmet,
    press_fit_missing,
    screw_too_long,
    screw_too_short,
    stand_off_short,
    unfastened_part,
)
from deskmodel.checks._base import SECTIONS, Check, Facts, Need, Strike, sections
from deskmodel.checks._run import named, run_each
from deskmodel.findings import CheckOutcome

__all__ = ["CHECKS", "SECTIONS", "Check", "Facts", "Need", "Strike", "check_named", "run_checks", "sections"]

CHECKS: tuple[Check, ...] = (
    parts_overlap.CHECK,
    part_swallowed.CHECK,
    duplicate_part.CHECK,
    press_fit_missing.CHECK,
    gap_too_small.CHECK,
    keep_out_invaded.CHECK,
    outside_envelope.CHECK,
    joint_faces_apart.CHECK,
    hole_without_partner.CHECK,
    hole_not_drillable.CHECK,
    screw_too_short.CHECK,
    screw_too_long.CHECK,
    countersink_too_deep.CHECK,
    head_proud.CHECK,
    insert_near_edge.CHECK,
    fixing_pitch.CHECK,
    stand_off_short.CHECK,
    pattern_unmet.CHECK,
    glue_does_not_bond.CHECK,
    cover_strikes.CHECK,
    unfastened_part.CHECK,
    bay_walls_apart.CHECK,
    holes_misaligned.CHECK,
    hole_breaks_through.CHECK,
    holes_cross.CHECK,
    opposed_dowels_close.CHECK,
    glue_space_unfit.CHECK,
    dowel_too_shallow.CHECK,
    joint_can_turn.CHECK,
    dowels_badly_spaced.CHECK,
    dowel_near_edge.CHECK,
    dowel_diameter_unfit.CHECK,
    jig_off_target.CHECK,
)


def check_named(check_id: str) -> Check:
    """The check of that id. InputFault lists the ids there are."""
    return named(CHECKS, check_id)


def run_checks(facts: Facts, only: Collection[str] | None = None) -> tuple[CheckOutcome, ...]:
    """The outcome of every check, in the order of ``CHECKS``; ``only`` deselects all others. InputFault where ``only``
    or the script's ``accept`` names a check that there is not."""
    for acceptance in facts.model.acceptances:
        check_named(acceptance.id)
    return run_each(CHECKS, facts, only)
