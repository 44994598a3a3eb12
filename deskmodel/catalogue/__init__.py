"""Standard goods by designation, from the TOML files beside this one; every entry names its source."""

from deskmodel.catalogue._goods import (
    DowelSize,
    HeadKind,
    InsertSize,
    ScrewSize,
    clearance_hole,
    dowel_size,
    insert_size,
    screw_size,
)
from deskmodel.catalogue._wood_screws import WoodScrewSize, wood_screw_size

__all__ = ["DowelSize", "HeadKind", "InsertSize", "ScrewSize", "clearance_hole", "dowel_size", "insert_size", "screw_size",
           "WoodScrewSize", "wood_screw_size"]
