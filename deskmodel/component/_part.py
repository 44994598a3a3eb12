"""A component: bodies, mounting holes, ports with the room of the mating plug, keep-outs with their reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deskmodel._numbers import number, told
from deskmodel.errors import InputFault
from deskmodel.features import Feature, Prism
from deskmodel.frames import Pose, Vec, pose_from_axes, scale, sub, unit
from deskmodel.part import Bodies, check_name, settle
from deskmodel.profiles import circle, rectangle

__all__ = ["DIRECTIONS", "Component", "KeepOut", "KeepOutKind", "Port", "box_prism", "cylinder_prism"]

KeepOutKind = Literal["plug", "air", "service", "cable", "no-metal"]

DIRECTIONS: dict[str, Vec] = {"+x": (1.0, 0.0, 0.0), "-x": (-1.0, 0.0, 0.0), "+y": (0.0, 1.0, 0.0),
                              "-y": (0.0, -1.0, 0.0), "+z": (0.0, 0.0, 1.0), "-z": (0.0, 0.0, -1.0)}


def box_prism(size: Vec, at: Vec) -> Prism:
    """A box of ``size`` with its lowest corner at ``at``."""
    return Prism(rectangle(size[0], size[1]), Pose(origin=at), size[2])


def cylinder_prism(diameter: float, length: float, at: Vec, towards: Vec) -> Prism:
    """A cylinder from the centre ``at`` of one end, ``length`` along ``towards``."""
    direction = unit(towards)
    x = (0.0, 1.0, 0.0) if abs(direction[0]) > 0.5 else (1.0, 0.0, 0.0)
    # any x square to the axis will do for a circle
    x = unit(sub(x, scale(direction, x[0] * direction[0] + x[1] * direction[1] + x[2] * direction[2])))
    return Prism(circle(diameter), pose_from_axes(at, x, direction), length)


@dataclass(frozen=True, slots=True)
class KeepOut:
    """Room (a prism, in the frame of whatever carries it) that must stay empty, and why.

    "plug" is also kept clear of other plugs; "air", "service" and "cable" only of parts; "no-metal" only of metal."""

    name: str
    kind: KeepOutKind
    reason: str
    room: Prism


@dataclass(frozen=True, slots=True)
class Port:
    """A socket: ``at`` the centre of its mouth, ``towards`` where the plug sticks out, ``plug`` = (width, height,
    length) of the mating plug with its cable's bend, the length along ``towards``. mm, component frame. ``mains``: it
    carries mains voltage."""

    name: str
    at: Vec
    towards: str
    plug: Vec
    mains: bool = False

    def __post_init__(self) -> None:
        if self.towards not in DIRECTIONS:
            raise InputFault(f"port {self.name!r} towards {told(self.towards)}", allowed=", ".join(DIRECTIONS))
        if not isinstance(self.mains, bool):
            raise InputFault(f"mains {told(self.mains)} of port {self.name!r}", allowed="True or False")

    @property
    def keep_out(self) -> KeepOut:
        """The plug's box: width across, height upwards (for a port that looks up or down: width x, height y)."""
        width, height, length = self.plug
        z = DIRECTIONS[self.towards]
        # the box's own x is the height of a sideways port, so that its y, z x x, is the width
        x = (0.0, 0.0, 1.0) if z[2] == 0 else (1.0, 0.0, 0.0)
        across, up = (height, width) if z[2] == 0 else (width, height)
        pose = pose_from_axes(self.at, x, z)
        room = Prism(rectangle(across, up, (-across / 2, -up / 2)), pose, length)
        return KeepOut(f"plug of {self.name}", "plug", f"plug and bend of port {self.name!r}", room)


@dataclass(frozen=True, slots=True)
class Component:
    """Equipment from a data sheet. ``bodies`` in its own frame (mm), ``mass`` kg, ``heat`` W, ``source`` of the
    sheet ("invented" says so). ``features`` are its mounting holes."""

    name: str
    sheet: str
    source: str
    bodies: tuple[Prism, ...]
    mass: float
    heat: float = 0.0
    ports: tuple[Port, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    features: tuple[Feature, ...] = ()
    material: str = "equipment"

    def __post_init__(self) -> None:
        check_name(self.name)
        if not self.bodies:
            raise InputFault("a component without a body", allowed="one [[body]] or more")
        number("mass", self.mass, 0, 200, "kg")
        number("heat", self.heat, 0, 5000, "W")
        settle(self)

    @property
    def blank(self) -> Bodies:
        return Bodies(self.bodies)

    def all_keep_outs(self) -> tuple[KeepOut, ...]:
        """Plug boxes of the ports and the sheet's own keep-outs."""
        return (*(port.keep_out for port in self.ports), *self.keep_outs)
