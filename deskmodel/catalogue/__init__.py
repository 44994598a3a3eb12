"""Standard goods by designation, from the TOML files beside this one; every entry names its source."""

from deskmodel.catalogue._forms import (
    BoardForm,
    DriveForm,
    FanSize,
    InletForm,
    ScreenMount,
    StandOffSize,
    board_form,
    drive_form,
    fan_size,
    inlet_form,
    screen_mount,
    stand_off_size,
)
from deskmodel.catalogue._goods import (
    DowelSize,
    HeadKind,
    InsertSize,
    ScrewSize,
    clearance_hole,
    dowel_size,
    insert_size,
    screw_size,
    screws_of,
    thread_core,
)
from deskmodel.catalogue._hinges import HingeSize, hinge_size
from deskmodel.catalogue._keys import hexagon_key, tool_for
from deskmodel.catalogue._nuts import NutSize, nut_size
from deskmodel.catalogue._patterns import HolePattern, PatternHole, hole_pattern, pattern_names
from deskmodel.catalogue._wood_screws import WoodScrewSize, wood_screw_size

__all__ = [
    "BoardForm",
    "DowelSize",
    "DriveForm",
    "FanSize",
    "HeadKind",
    "HingeSize",
    "HolePattern",
    "InletForm",
    "InsertSize",
    "NutSize",
    "PatternHole",
    "ScreenMount",
    "ScrewSize",
    "StandOffSize",
    "WoodScrewSize",
    "board_form",
    "clearance_hole",
    "dowel_size",
    "drive_form",
    "fan_size",
    "hexagon_key",
    "hinge_size",
    "hole_pattern",
    "inlet_form",
    "insert_size",
    "nut_size",
    "pattern_names",
    "screen_mount",
    "screw_size",
    "screws_of",
    "stand_off_size",
    "thread_core",
    "tool_for",
    "wood_screw_size",
]
