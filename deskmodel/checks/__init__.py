"""The checks, one file each, named for the fault. ``CHECKS`` lists them; ``run_checks`` runs them."""

from deskmodel.checks import (
    cover_strikes,
    duplicate_part,
    gap_too_small,
    hole_without_partner,
    joint_faces_apart,
    keep_out_invaded,
    outside_envelope,
    part_swallowed,
    parts_overlap,
    press_fit_missing,
    unfastened_part,
)
from deskmodel.checks._base import SECTIONS, Check, Facts, Need, Strike, sections
from deskmodel.checks._run import check_named, run_checks

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
    cover_strikes.CHECK,
    unfastened_part.CHECK,
)
