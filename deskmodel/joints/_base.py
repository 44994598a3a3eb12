"""What a joint is asked and what it answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, field
from itertools import pairwise
from typing import ClassVar, Protocol

from deskmodel._numbers import is_number, told
from deskmodel.component import KeepOut
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart, facing
from deskmodel.features import Feature
from deskmodel.frames import Pose, Vec
from deskmodel.tolerances import LENGTH

__all__ = ["Contact", "Joint", "JointRecord", "Layout", "Named", "Opening", "Site", "name_of", "names_of", "region_box",
           "several", "stations"]


class Named(Protocol):
    """A placed part, or anything with its name."""

    @property
    def name(self) -> str: ...


def name_of(part: Named | str) -> str:
    """The part's name. InputFault where it is neither a part nor a name."""
    name = part if isinstance(part, str) else getattr(part, "name", None)
    if not isinstance(name, str):
        raise InputFault(f"{told(part)} as a part", allowed="a part that place(…) returned, or its name")
    return name


def names_of(parts: Named | str | Iterable[Named | str]) -> list[str]:
    """The names of one part or of several. InputFault where there is none, or one twice."""
    return [name_of(part) for part in several(parts)]


def several(parts: Named | str | Iterable[Named | str]) -> tuple[Named | str, ...]:
    """One part or several as a tuple, which no later line of the script can change. InputFault as ``names_of``."""
    if isinstance(parts, str) or not isinstance(parts, Iterable):
        name_of(parts)
        return (parts,)
    if isinstance(parts, Set):  # its order changes from run to run, and with it the numbers of screws
        raise InputFault(f"a set of parts, {told(parts)}", allowed="a list or tuple, which has an order")
    given = tuple(parts)
    names = [name_of(part) for part in given]
    if not names:
        raise InputFault("a list of no parts", allowed="one part or more")
    for name in names:
        if names.count(name) > 1:
            raise InputFault(f"{name!r} twice in one list of parts", allowed="each part once")
    return given


def stations(what: str, given: Iterable[float] | None, apart: float) -> tuple[float, ...] | None:
    """mm along a row as a tuple of floats, None as it is. InputFault unless there is one or more, and any two lie at
    least ``apart`` from each other: nearer, their holes would run into each other."""
    if given is None:
        return None
    try:
        values = tuple(given)
    except TypeError:
        values = ()
    if isinstance(given, str) or not values or not all(is_number(v) for v in values):
        raise InputFault(f"{what} {told(given)}", allowed="one or more numbers of mm, (30, 90, …)")
    for low, high in pairwise(sorted(values)):
        if high - low < apart - LENGTH:
            raise InputFault(f"{what} {low:g} and {high:g}", allowed=f"at least {apart:g} mm from each other")
    return tuple(float(v) for v in values)


@dataclass(frozen=True, slots=True)
class Contact:
    """A designed overlap: a ring in the frame of the male, see ``fit.problem.DesignedContact``. mm."""

    male: str
    female: str
    axis: Pose
    inner: float
    outer: float
    start: float
    end: float
    reason: str


@dataclass(frozen=True, slots=True)
class JointRecord:
    """One joint between two parts as laid out. ``apart`` is how far the faces are from where the joint wants them
    (0: right), ``layer`` what the joint wants between them (glue, pad), ``point`` the middle of the faces; mm. ``pitch``:
    the most mm that the script wants between the screws of a row; ``glue``: of a bond, its kind."""

    name: str
    kind: str
    a: str
    b: str
    faces: tuple[str, str]
    apart: float
    layer: float
    point: Vec
    region: tuple[Vec, Vec]
    hardware: tuple[str, ...]
    text: str
    pitch: float | None = None
    glue: str | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """What a joint does to the way a cover opens. ``parts`` leave with it; ``tool`` is needed to open it; about ``pin`` (a
    point of the axis and its direction, desk frame) it turns by ``angle`` degrees instead of lifting off."""

    cover: str
    parts: tuple[str, ...]
    tool: str | None = None
    pin: tuple[Vec, Vec] | None = None
    angle: float = 0.0


@dataclass
class Layout:
    """What a joint adds: features by part name (by the veneer's name: what stays bare), hardware in place, designed
    contacts, records, how covers open, rooms (desk frame) that tools and hands need."""

    features: list[tuple[str, Feature]] = field(default_factory=list)
    hardware: list[PlacedPart] = field(default_factory=list)
    contacts: list[Contact] = field(default_factory=list)
    records: list[JointRecord] = field(default_factory=list)
    openings: list[Opening] = field(default_factory=list)
    rooms: list[KeepOut] = field(default_factory=list)


@dataclass(frozen=True)
class Site:
    """The desk as a joint finds it: parts with the features of the joints laid out before, and those joints."""

    parts: Mapping[str, PlacedPart]
    records: tuple[JointRecord, ...]

    def part(self, name: str) -> PlacedPart:
        if name not in self.parts:
            raise InputFault(f"no part named {name!r}", allowed="the name of a placed part")
        return self.parts[name]

    def facing(self, a: str, b: str) -> FacePair:
        return facing(self.part(a), self.part(b))


class Joint(Protocol):
    """A relation that puts matching features in its parts. ``rank``: joints of lower rank are laid out first, so
    that the order in the script changes nothing."""

    rank: ClassVar[int]

    @property
    def title(self) -> str: ...

    def lay_out(self, site: Site, name: str) -> Layout: ...


def region_box(pair: FacePair) -> tuple[Vec, Vec]:
    """Opposite corners of the facing region, in the desk frame."""
    u0, v0, u1, v1 = pair.region
    p, q = pair.a.point(u0, v0), pair.a.point(u1, v1)
    return ((min(p[0], q[0]), min(p[1], q[1]), min(p[2], q[2])), (max(p[0], q[0]), max(p[1], q[1]), max(p[2], q[2])))
