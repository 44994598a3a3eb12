"""Plans: what a maker reads of a desk, as data. Facts that need the kernel come in as arguments."""

from deskmodel.plans.bays import SIDES, BayRow, Wall, bay_rows
from deskmodel.plans.cut_list import CutList, CutRow, Seam, cut_list
from deskmodel.plans.mass import DeskMass, Moment, PartMass, desk_box, desk_mass, mass_text, unmeasured_parts
from deskmodel.plans.pieces import Piece, numbers_of, pieces
from deskmodel.plans.plates import SentPlate, Undrawn, cut_plates, drawn_side, sent_plates, undrawn_plates
from deskmodel.plans.schedule import DrillRow, Elsewhere, Schedule, Step, drilling_schedule
from deskmodel.plans.story_stick import StickMark, StorySticks, Tile, tiles_of
from deskmodel.plans.works import Work, works_of

__all__ = ["SIDES", "BayRow", "CutList", "CutRow", "DeskMass", "DrillRow", "Elsewhere", "Moment", "PartMass", "Piece",
           "Schedule", "Seam", "SentPlate", "Step", "StickMark", "StorySticks", "Tile", "Undrawn", "Wall", "Work",
           "bay_rows", "cut_list", "cut_plates", "desk_box", "desk_mass", "drawn_side", "drilling_schedule", "mass_text",
           "numbers_of", "pieces", "sent_plates", "tiles_of", "undrawn_plates", "unmeasured_parts", "works_of"]
