"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows
from deskmodel.plans.mass import DeskMass, Moment, PartMass, desk_box, desk_mass, unmeasured_parts
from deskmodel.plans.schedule import DrillRow, Elsewhere, Schedule, Step, drilling_schedule
from deskmodel.plans.story_stick import StickMark, StorySticks, Tile, tiles_of

__all__ = ["SIDES", "BayRow", "DeskMass", "DrillRow", "Elsewhere", "Moment", "PartMass", "Schedule", "Step", "StickMark",
           "StorySticks", "Tile", "Wall", "bay_rows", "desk_box", "desk_mass", "drilling_schedule", "tiles_of",
           "unmeasured_parts"]
