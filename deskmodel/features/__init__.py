"""What the workshop does to a blank. One feature, one file; ``FEATURES`` lists them all."""

from deskmodel.features._base import Box3, Face, Feature, Prism, Purpose, Removal, Revolve, Stage
from deskmodel.features.bevel import Bevel
from deskmodel.features.cut_out import CutOut
from deskmodel.features.groove import Groove
from deskmodel.features.hole import TWIST_DRILL_POINT, Hole
from deskmodel.features.notch import Notch
from deskmodel.features.pocket import Pocket
from deskmodel.features.slot import Slot
from deskmodel.features.vent_field import VentField

__all__ = ["FEATURES", "TWIST_DRILL_POINT", "Bevel", "Box3", "CutOut", "Face", "Feature", "Groove", "Hole", "Notch",
           "Pocket", "Prism", "Purpose", "Removal", "Revolve", "Slot", "Stage", "VentField"]

FEATURES = (Bevel, CutOut, Groove, Hole, Notch, Pocket, Slot, VentField)
