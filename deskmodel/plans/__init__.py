"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows
from deskmodel.plans.mass import DeskMass, Moment, PartMass, desk_box, desk_mass, unmeasured_parts

__all__ = ["SIDES", "BayRow", "DeskMass", "Moment", "PartMass", "Wall", "bay_rows", "desk_box", "desk_mass",
           "unmeasured_parts"]
