"""Rest: a part that lies on another, with or without a pad, and what holds it there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import check_text, number
from deskmodel.joints._base import JointRecord, Layout, Named, Site, name_of, names_of, region_box, several

__all__ = ["Rest"]


@dataclass(frozen=True)
class Rest:
    """``part`` lies on each of ``on`` with ``pad`` mm between; ``held`` says by what (its weight, hook-and-loop)."""

    part: Named | str
    on: Named | str | Iterable[Named | str]
    held: str = "its weight"
    pad: float = 0.0

    rank: ClassVar[int] = 11

    def __post_init__(self) -> None:
        name_of(self.part)
        object.__setattr__(self, "on", several(self.on))
        check_text("what holds it", self.held)
        number("pad", self.pad, 0, 10, "mm")

    @property
    def title(self) -> str:
        return f"{name_of(self.part)} rest"

    def lay_out(self, site: Site, name: str) -> Layout:
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
