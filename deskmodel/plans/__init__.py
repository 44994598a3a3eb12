"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows
from deskmodel.plans.mass import DeskMass, Moment, PartMass, desk_box, desk_mass, unmeasured_parts
from deskmodel.plans.schedule import DrillRow, Elsewhere, Schedule, Step, drilling_schedule

__all__ = ["SIDES", "BayRow", "DeskMass", "DrillRow", "Elsewhere", "Moment", "PartMass", "Schedule", "Step", "Wall",
           "bay_rows", "desk_box", "desk_mass", "drilling_schedule", "unmeasured_parts"]
