"""Holes and dowels where they stand in the desk: ``deskmodel.plans.bored``, which the jigs read as well."""

from deskmodel.plans.bored import (
    DOWEL_JOINTS,
    Bored,
    Doweled,
    HardwareGrid,
    Mates,
    across,
    bored,
    doweled,
    ends,
    enters,
    facing_holes,
    opposed,
    wooden,
)

__all__ = ["DOWEL_JOINTS", "Bored", "Doweled", "HardwareGrid", "Mates", "across", "bored", "doweled", "ends", "enters",
           "facing_holes", "opposed", "wooden"]
