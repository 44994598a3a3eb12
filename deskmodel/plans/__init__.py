"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows

__all__ = ["SIDES", "BayRow", "Wall", "bay_rows"]
