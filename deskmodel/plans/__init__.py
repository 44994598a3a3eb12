"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows
from deskmodel.plans.mass import DeskMass, Moment, PartMass, desk_box, desk_mass, unmeasured_parts
from deskmodel.plans.plates import SentPlate, Undrawn, cut_plates, sent_plates, undrawn_plates
from deskmodel.plans.schedule import DrillRow, Elsewhere, Schedule, Step, drilling_schedule

__all__ = ["SIDES", "BayRow", "DeskMass", "DrillRow", "Elsewhere", "Moment", "PartMass", "Schedule", "SentPlate",
           "Step", "Undrawn", "Wall", "bay_rows", "cut_plates", "desk_box", "desk_mass", "drilling_schedule", "sent_plates",
           "undrawn_plates", "unmeasured_parts"]
