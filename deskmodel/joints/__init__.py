"""Joints. One joint, one file; ``JOINTS`` lists them all."""

from deskmodel.joints._base import Contact, Joint, JointRecord, Layout, Named, Opening, Site, name_of
from deskmodel.joints.bond import GLUES, Bond
from deskmodel.joints.cover_screws import CoverScrews
from deskmodel.joints.dowel_joint import DowelJoint
from deskmodel.joints.face_dowels import FaceDowels
from deskmodel.joints.hinge import Hinge
from deskmodel.joints.insert_fixing import InsertFixing
from deskmodel.joints.laminate import Laminate
from deskmodel.joints.leg_mount import LegMount
from deskmodel.joints.rest import Rest
from deskmodel.joints.screw_mount import ScrewMount
from deskmodel.joints.stand_off_mount import StandOffMount
from deskmodel.joints.through_dowels import ThroughDowels
from deskmodel.joints.wood_screw_fixing import WoodScrewFixing

__all__ = [
    "GLUES",
    "JOINTS",
    "Bond",
    "Contact",
    "CoverScrews",
    "DowelJoint",
    "FaceDowels",
    "Hinge",
    "InsertFixing",
    "Joint",
    "JointRecord",
    "Laminate",
    "Layout",
    "LegMount",
    "Named",
    "Opening",
    "Rest",
    "ScrewMount",
    "Site",
    "StandOffMount",
    "ThroughDowels",
    "WoodScrewFixing",
    "name_of",
]

JOINTS = (
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
