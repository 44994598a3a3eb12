"""Laminate: members glued face to face over their whole length, which are one piece of wood from then on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import ClassVar

from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import Stage
from deskmodel.frames import dot
from deskmodel.joints._base import Layout, Named, Site, name_of, names_of, several
from deskmodel.joints.bond import Bond
from deskmodel.joints.face_dowels import ENDS
from deskmodel.part import Member
from deskmodel.tolerances import ANGLE, FACES_APART, LENGTH

__all__ = ["Laminate"]


@dataclass(frozen=True)
class Laminate:
    """``members``, two or more in the order in which they lie on each other, glued at the stage "laminate".

    All are of one length and flush at both ends, the grain parallel: what is glued across the grain cracks. PVAc (the
    default) has no thickness; it bonds wood only. For a piece that is shorter, or a plate, take ``Bond``.
    """

    members: Named | str | Iterable[Named | str]
    glue: str = "PVAc"

    rank: ClassVar[int] = 9
    stage: ClassVar[Stage] = "laminate"

    def __post_init__(self) -> None:
        given = several(self.members)
        if len(given) < 2:
            raise InputFault(f"a laminate of {name_of(given[0])!r} alone", allowed="two members or more")
        object.__setattr__(self, "members", given)
        self._bonds()

    @property
    def title(self) -> str:
        return f"{names_of(self.members)[0]} laminate"

    def lay_out(self, site: Site, name: str) -> Layout:
        members = [site.part(each) for each in names_of(self.members)]
        for part in members:
            if not isinstance(part.part, Member):
                raise InputFault(f"{part.name!r} in a laminate", allowed="members; Bond for a plate")
        layout = Layout()
        for (a, b), bond in zip(pairwise(members), self._bonds(), strict=True):
            if abs(dot(a.pose.axis(0), b.pose.axis(0))) < 1 - ANGLE:
                raise InputFault(f"{a.name!r} and {b.name!r} laminated with the grain crossed", allowed="grain parallel")
            _check_length(a, b, site.facing(a.name, b.name))
            layout.records += [replace(record, name=f"{name}, {a.name} to {b.name}", kind="laminate",
                                       text=f"{record.text}, at the stage {self.stage}")
                               for record in bond.lay_out(site, name).records]
        return layout

    def _bonds(self) -> list[Bond]:
        """Each piece glued to the next: layer and what the glue bonds are those of a bond."""
        return [Bond(a, b, self.glue) for a, b in pairwise(several(self.members))]


def _check_length(a: PlacedPart, b: PlacedPart, pair: FacePair) -> None:
    """InputFault unless the faces meet along the grain and over the whole length of both."""
    if pair.a.name in ENDS:
        raise InputFault(f"{a.name!r} and {b.name!r} meet end to end", allowed="members that lie face to face")
    together = pair.region[2] - pair.region[0]  # u of a member's sides and edges runs along the grain
    for part in (a, b):
        assert isinstance(part.part, Member)
        if abs(part.part.length - together) >= FACES_APART - LENGTH:
            raise InputFault(f"{a.name!r} and {b.name!r} lie together over {together:g} mm, and {part.name!r} is "
                             f"{part.part.length:g} long", allowed="members of one length, flush at both ends, or Bond")
