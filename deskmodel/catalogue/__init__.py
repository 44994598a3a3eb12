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
from deskmodel.catalogue._hinges import HingeSize, hinge_size
from deskmodel.catalogue._keys import hexagon_key, tool_for

__all__ = ["DowelSize", "HeadKind", "HingeSize", "InsertSize", "ScrewSize", "clearance_hole", "dowel_size", "hexagon_key",
           "hinge_size", "insert_size", "screw_size", "tool_for"]
