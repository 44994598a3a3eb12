"""Joints. One joint, one file; ``JOINTS`` lists them all."""

from deskmodel.joints._base import Contact, Joint, JointRecord, Layout, Named, Opening, Site, name_of
from deskmodel.joints.bond import GLUES, Bond
from deskmodel.joints.cover_screws import CoverScrews
from deskmodel.joints.dowel_joint import DowelJoint
from deskmodel.joints.hinge import Hinge
from deskmodel.joints.insert_fixing import InsertFixing
from deskmodel.joints.rest import Rest

__all__ = ["GLUES", "JOINTS", "Bond", "Contact", "CoverScrews", "DowelJoint", "Hinge", "InsertFixing", "Joint",
           "JointRecord", "Layout", "Named", "Opening", "Rest", "Site", "name_of"]

JOINTS = (DowelJoint, Bond, Rest, Hinge, InsertFixing, CoverScrews)
