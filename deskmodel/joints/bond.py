"""Bond: a part glued to the faces of others. Glue has a thickness, and the stack counts it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import Face
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, names_of, region_box, several
from deskmodel.materials import material

__all__ = ["GLUES", "Bond"]

GLUES: dict[str, tuple[float, float, float]] = {"elastic": (0.5, 0.3, 3.0), "contact": (0.15, 0.1, 0.2),
                                                "PVAc": (0.0, 0.0, 0.0)}
"""Usual, least and most thickness of the layer, mm (common practice)."""

_OPEN_PORED = {"timber", "ply", "veneer"}


@dataclass(frozen=True)
class Bond:
    """``part`` glued to each of ``to``, which lie ``thickness`` mm away. PVAc needs wood on both sides.

    For plates, and for members that meet over part of their length, across the grain (elastic glue gives way to the
    wood's movement) or with glue of some thickness. Members glued to one thicker piece, grain to grain: ``Laminate``.
    """

    part: Named | str
    to: Named | str | Iterable[Named | str]
    glue: str = "elastic"
    thickness: float | None = None

    rank: ClassVar[int] = 10

    def __post_init__(self) -> None:
        name_of(self.part)
        object.__setattr__(self, "to", several(self.to))
        if not isinstance(self.glue, str) or self.glue not in GLUES:
            raise InputFault(f"glue {told(self.glue)}", allowed=", ".join(GLUES))
        if self.thickness is not None:
            _, least, most = GLUES[self.glue]
            if not is_number(self.thickness) or not least <= self.thickness <= most:
                raise InputFault(f"glue thickness {told(self.thickness)}",
                                 allowed=f"{least:g} to {most:g} mm for {self.glue} glue")

    @property
    def title(self) -> str:
        return f"{name_of(self.part)} bond"

    def lay_out(self, site: Site, name: str) -> Layout:
        layer = GLUES[self.glue][0] if self.thickness is None else self.thickness
        part = site.part(name_of(self.part))
        layout = Layout()
        for each in names_of(self.to):
            other = site.part(each)
            pair = site.facing(part.name, other.name)
            self._refuse_wrong_glue((part, pair.a), (other, pair.b))
            layout.records.append(JointRecord(
                f"{name}, {other.name}", "bond", part.name, other.name, (pair.a.name, pair.b.name), pair.apart - layer,
                layer, pair.middle, region_box(pair), (), f"{self.glue} glue, {layer:g} mm",
                glue=self.glue))
        return layout

    def _refuse_wrong_glue(self, *sides: tuple[PlacedPart, Face]) -> None:
        if self.glue == "PVAc":
            for part, face in sides:
                there = part.material_at(face.name)
                if material(there).kind not in _OPEN_PORED:
                    raise InputFault(f"PVAc glue on {part.name!r} of {there}",
                                     allowed="elastic or contact glue: PVAc does not bond it")
