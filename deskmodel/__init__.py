"""deskmodel: script a slim desk with equipment inside, check how it fits, and write what the workshop needs.

What a desk script needs is here; importing it loads no kernel. ``deskmodel.fit`` checks any assembly.
"""

from deskmodel.bay import Bay
from deskmodel.bends import Flange
from deskmodel.component import Component, read_sheet
from deskmodel.cover import Cover
from deskmodel.desk import Desk, Placed, component, custom
from deskmodel.errors import BuildFault, DeskmodelError, InputFault
from deskmodel.features import Bevel, CutOut, Groove, Hole, Notch, Pocket, Slot, VentField
from deskmodel.finish import Finish
from deskmodel.flat import flat_pattern
from deskmodel.joined import joined_rectangles
from deskmodel.joints import (
    Bond,
    CoverScrews,
    DowelJoint,
    FaceDowels,
    Hinge,
    InsertFixing,
    Laminate,
    LegMount,
    Rest,
    ScrewMount,
    StandOffMount,
    ThroughDowels,
    WoodScrewFixing,
)
from deskmodel.part import CustomShape, Member, Plate
from deskmodel.profiles import Profile, circle, obround, polygon, rectangle
from deskmodel.veneer import Veneer

__all__ = [
    "Bay",
    "Bevel",
    "Bond",
    "BuildFault",
    "Component",
    "Cover",
    "CoverScrews",
    "CustomShape",
    "CutOut",
    "Desk",
    "DeskmodelError",
    "DowelJoint",
    "FaceDowels",
    "Finish",
    "Flange",
    "Groove",
    "Hinge",
    "Hole",
    "InputFault",
    "InsertFixing",
    "Laminate",
    "LegMount",
    "Member",
    "Notch",
    "Placed",
    "Plate",
    "Pocket",
    "Profile",
    "Rest",
    "ScrewMount",
    "Slot",
    "StandOffMount",
    "ThroughDowels",
    "Veneer",
    "VentField",
    "WoodScrewFixing",
    "circle",
    "component",
    "custom",
    "flat_pattern",
    "joined_rectangles",
    "obround",
    "polygon",
    "read_sheet",
    "rectangle",
]
