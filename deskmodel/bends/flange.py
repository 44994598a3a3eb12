"""A flange as a maker states it."""

from __future__ import annotations

import numbers
from dataclasses import dataclass, replace
from typing import Any, Literal, get_args

from deskmodel._numbers import LARGEST, check_text, number, told
from deskmodel.bends.allowance import k_of
from deskmodel.errors import InputFault
from deskmodel.features._base import check_length

__all__ = ["SIDES", "Flange", "Towards", "edge_told"]

SIDES = ("front", "back", "left", "right")

Towards = Literal["top", "bottom", "inside", "outside"]


@dataclass(frozen=True, slots=True)
class Flange:
    """A leg bent up or down along a straight edge of a plate. mm, degrees.

    ``edge``: "front", "back", "left" or "right", where the outline has one straight edge along that side of its box; or
    the number of an edge of the outline, from 0 in the order of its vertices; or the name of another flange: then it is
    bent at that flange's far edge (Z, hat and return bends).

    Lengths are outside dimensions, as a maker measures them on the folded piece, each to the outer corner: the
    outline's edge *is* that corner, so that at 90° the flange's outer face is flush with the edge (beyond 90° the corner
    is a point of measure outside the rounding). ``length``: the leg, from the outer corner to its end. ``angle``: by how
    much the leg is turned from flat, above 0, below 180.

    ``radius``: inside; None: the thickness (common practice). ``k``: where the neutral fibre runs, as a share of the
    thickness; None: by material, see ``K_FACTORS``. ``towards``: "top" or "bottom" of the plate; on another flange that
    flange's "inside" or "outside"; None: "top" or "inside".

    ``start`` and ``stop`` are u on the flange: along the edge, from the left or from the front at a named side, else in
    the outline's direction; on another flange that flange's u. None: to the end of the edge. Where two such flanges meet
    at a right-angled corner both end clear of the other's bend (an open corner). ``relief``: width of the slit beside a
    flange that ends within its edge; None: the thickness; it reaches half a thickness past the bend line (common
    practice).

    Faces for features and joints are "<name> outside" and "<name> inside": u as above, v up the leg from the outer
    corner. ``name``; None: "back flange", "edge 3 flange", on another flange "back flange return".
    """

    edge: str | int
    length: float
    angle: float = 90.0
    radius: float | None = None
    k: float | None = None
    towards: Towards | None = None
    start: float | None = None
    stop: float | None = None
    relief: float | None = None
    name: str | None = None

    def __post_init__(self) -> None:
        if isinstance(self.edge, numbers.Integral) and not isinstance(self.edge, bool):
            object.__setattr__(self, "edge", int(self.edge))
            if self.edge < 0:
                raise InputFault(f"a flange on edge {self.edge}", allowed="0 or more")
        else:
            check_text("edge of a flange", self.edge)
        check_length("flange length", self.length)
        number("bend angle", self.angle, 0.01, 179.99, "degrees")
        for what, value in (("bend radius", self.radius), ("relief", self.relief)):
            if value is not None:
                check_length(what, value)
        if self.k is not None:
            number("K factor", self.k, 0, 1)
        for what, value in (("start", self.start), ("stop", self.stop)):
            if value is not None:
                number(f"flange {what}", value, -LARGEST, LARGEST, "mm")
        if self.towards is not None and (not isinstance(self.towards, str) or self.towards not in get_args(Towards)):
            raise InputFault(f"a flange towards {told(self.towards)}", allowed=", ".join(get_args(Towards)))
        if self.name is not None:
            check_text("name of a flange", self.name)
            if self.name in (*SIDES, "base"):
                raise InputFault(f"a flange named {self.name!r}", allowed="a name that is no side of the plate")

    @property
    def title(self) -> str:
        """Its name, or the one that it gets from its edge."""
        if self.name is not None:
            return self.name
        if isinstance(self.edge, int):
            return f"edge {self.edge} flange"
        return f"{self.edge} flange" if self.edge in SIDES else f"{self.edge} return"

    def resolved(self, thickness: float, material: str) -> Flange:
        """The flange with all that follows from the plate filled in. InputFault where no K is known."""
        return replace(self, length=float(self.length), angle=float(self.angle), name=self.title,
                       radius=float(thickness if self.radius is None else self.radius),
                       k=float(k_of(material) if self.k is None else self.k),
                       relief=float(thickness if self.relief is None else self.relief))


def edge_told(flange: Any) -> str:
    """The flange for a message."""
    return f"flange {flange.title!r}"
