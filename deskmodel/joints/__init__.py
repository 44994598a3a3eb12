"""Joints. One joint, one file; ``JOINTS`` lists them all."""

from deskmodel.joints._base import Contact, Joint, JointRecord, Layout, Named, Site, name_of
from deskmodel.joints.bond import GLUES, Bond
from deskmodel.joints.dowel_joint import DowelJoint
from deskmodel.joints.insert_fixing import InsertFixing
from deskmodel.joints.rest import Rest

__all__ = ["GLUES", "JOINTS", "Bond", "Contact", "DowelJoint", "InsertFixing", "Joint", "JointRecord", "Layout", "Named",
           "Rest", "Site", "name_of"]

JOINTS = (DowelJoint, Bond, Rest, InsertFixing)
