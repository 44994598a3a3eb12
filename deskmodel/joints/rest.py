"""Rest: a part that lies on another, with or without a pad, and what holds it there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from deskmodel.errors import InputFault
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, names_of, region_box

__all__ = ["Rest"]


@dataclass(frozen=True)
class Rest:
    """``part`` lies on each of ``on`` with ``pad`` mm between; ``held`` says by what (its weight, hook-and-loop)."""

    part: Named | str
    on: Named | str | Sequence[Named | str]
    held: str = "its weight"
    pad: float = 0.0

    rank: ClassVar[int] = 11

    @property
    def title(self) -> str:
        return f"{name_of(self.part)} rest"

    def lay_out(self, site: Site, name: str) -> Layout:
        if isinstance(self.pad, bool) or not isinstance(self.pad, int | float) or not 0 <= self.pad <= 10:
            raise InputFault(f"pad {self.pad!r}", allowed="0 to 10 mm")
        part = site.part(name_of(self.part))
        layout = Layout()
        for each in names_of(self.on):
            other = site.part(each)
            pair = site.facing(part.name, other.name)
            pad = f"on a pad of {self.pad:g} mm, " if self.pad else ""
            layout.records.append(JointRecord(
                f"{name}, {other.name}", "rest", part.name, other.name, (pair.a.name, pair.b.name),
                pair.apart - self.pad, self.pad, pair.middle, region_box(pair), (), f"{pad}held by {self.held}"))
        return layout
