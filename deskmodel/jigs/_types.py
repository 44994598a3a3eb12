"""What a jig is, where it is used and how exact it is, as data. mm, degrees; frames as in ``deskmodel.jigs``."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from deskmodel.features import Prism, Removal
from deskmodel.findings import Severity
from deskmodel.frames import Pose
from deskmodel.tolerances import LENGTH
from deskmodel.workshop import Bit, Bush

__all__ = ["CAUTIONS", "Depth", "Hand", "Jig", "JigBody", "JigPlan", "JigUse", "Kind", "Lip", "NotMade", "Place", "Sight",
           "Slop", "SlopShare", "Towards", "likely", "worst"]

Kind = Literal["end", "face"]
Hand = Literal["L", "R"]
Place = Literal["datum end", "far end", "face side", "back side", "face edge", "under edge"]
Towards = Literal["datum end", "far end"]
Sight = Literal["first", "second"]
Lip = Literal["face edge", "face side"]

CAUTIONS = (
    "Clamp the jig and the member; never hold either by hand while drilling.",
    "Keep the other hand off the fence and out of the line of the bit; no gloves, no loose sleeves at the drill.",
    "Deburr the bushes at both ends, fix them with a drop of glue, and let them run in before the first real hole.",
    "Set the stop, then drill a trial hole in scrap and measure its depth.",
    "Clear fuzz and chips from fences, floor and plate before every seat.",
    "Wood dust harms: extract it, wear a mask; eye protection at the drill. Local codes and licensed practice come first.",
)


@dataclass(frozen=True, slots=True)
class Depth:
    """``depth`` of the full diameter in the wood; ``stop``: from the rim of the bit's cutting edge to its stop, which bears
    on the jig; ``tip_stop``: the same from the bit's tip; ``through``: right through."""

    depth: float
    stop: float
    tip_stop: float
    through: bool = False


@dataclass(frozen=True)
class Jig:
    """One printed guide. ``axes``: the bushes' (u, v); ``diameter`` of the holes. ``gap``: from the wood to the bush;
    ``above``: from the wood to what the stop bears on. ``width``, ``height``: the widest and highest section it sits on;
    of a face jig the least thickness behind the drilled face, and the least breadth of that face. ``wall``, ``nozzle``: of
    the printer that it was laid out for.

    End jig: ``web`` its thickness, ``fence`` how far the fences stand out of it on each side, where it has a hand on the
    wood's side only. Face jig: ``lip`` the edge it registers from, ``lip_depth`` how far it reaches over it, ``far_sight``
    where the second sight edge stands (0: there is one only), ``span`` its length along the member."""

    number: str
    kind: Kind
    hand: Hand | None
    axes: tuple[tuple[float, float], ...]
    diameter: float
    bit: Bit
    bush: Bush
    seat_diameter: float
    gap: float
    above: float
    width: float
    height: float
    wall: float
    nozzle: float
    depths: tuple[Depth, ...]
    web: float | None = None
    fence: float | None = None
    lip: Lip | None = None
    lip_depth: float | None = None
    far_sight: float | None = None
    span: float | None = None

    @property
    def guide(self) -> float:
        return self.bush.length

    @property
    def label(self) -> str:
        """"J1", with its hand where it has one: "J1 L"."""
        return self.number if self.hand is None else f"{self.number} {self.hand}"

    @property
    def slug(self) -> str:
        """The start of its files' names: "j1-end"."""
        return f"{self.number.lower()}-{self.kind}{'' if self.hand is None else f'-{self.hand.lower()}'}"


@dataclass(frozen=True)
class JigBody:
    """What is printed, in the frame of the print: z up from the bed, lowest corner at the origin. ``added`` less
    ``removed``. ``seat_from_print``: seat = pose · print. ``size``: x, y, z. ``lettered``: what is engraved in it."""

    added: tuple[Prism, ...]
    removed: tuple[Removal, ...]
    seat_from_print: Pose
    size: tuple[float, float, float]
    lettered: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JigUse:
    """The holes of equal ``members`` that a jig drills in one seating. ``member`` is the first of them, ``like`` the one
    whose shape stands for all members that are equal to it, whether this use is theirs or not. ``holes``: (x, y) as the
    drilling schedule has them, in the order of the jig's axes; ``at``: the same as the feature has them. ``joints``: of each
    member the joint, "" without one. ``pose``: where the jig sits, member frame = pose · seat frame (turned over, it is
    moved and not mirrored)."""

    jig: str
    member: str
    like: str
    members: tuple[str, ...]
    place: Place
    mark: float | None
    towards: Towards | None
    sight: Sight | None
    depth: Depth
    holes: tuple[tuple[float, float], ...]
    at: tuple[tuple[float, float], ...]
    joints: tuple[str, ...]
    turned_over: bool
    pose: Pose


@dataclass(frozen=True, slots=True)
class NotMade:
    """Holes that no jig serves, and why; ``severity``: how bad that is. ``place``, ``at``: the first of them as its feature
    has it, in the first of ``parts``. ``told``: the check that speaks of it already, None where nobody does."""

    parts: tuple[str, ...]
    place: str
    at: tuple[float, float]
    joints: tuple[str, ...]
    reason: str
    remedy: str
    severity: Severity
    measured: float | None = None
    required: float | None = None
    source: str = "common practice"
    told: str | None = None


@dataclass(frozen=True)
class JigPlan:
    """``jigs`` by number, ``uses`` by jig, member, place and mark. ``JigUse.jig`` is the number."""

    jigs: tuple[Jig, ...]
    uses: tuple[JigUse, ...]
    not_made: tuple[NotMade, ...]

    def jig(self, number: str) -> Jig:
        """KeyError where there is none of that number."""
        return self._by_number[number]

    def uses_of(self, number: str) -> tuple[JigUse, ...]:
        return tuple(use for use in self.uses if use.jig == number)

    @cached_property
    def _by_number(self) -> Mapping[str, Jig]:
        return {jig.number: jig for jig in self.jigs}


@dataclass(frozen=True, slots=True)
class SlopShare:
    """One cause of slop: by how much (± mm) it moves a hole's axis at its worst, and where the figure comes from."""

    cause: str
    amount: float
    source: str


@dataclass(frozen=True)
class Slop:
    """How far off the axes of two mating holes, and the distance of two holes of one joint, can be: ± mm.

    ``across``: from the face edge; ``along``: along the member that carries the mark; both holes' shares together. A joint
    gives way to what all of its dowels share: the parts then stand that far out of flush. ``pair``: what the two dowels of a
    joint do not share. ``thickness``: what stock off in thickness adds where holes are drilled from opposite faces, 0 with
    the common reference. ``allowed``: how far the axes of one dowel's holes may be apart."""

    across: tuple[SlopShare, ...]
    along: tuple[SlopShare, ...]
    pair: tuple[SlopShare, ...]
    thickness: SlopShare
    allowed: float

    @property
    def enters(self) -> bool:
        """Whether the dowels still go in, by the likely figure: each of the two takes up half of the pair's."""
        return likely(self.pair) / 2 <= self.allowed + LENGTH

    @property
    def enters_without(self) -> bool:
        """The same, the two holes of a joint drilled from opposite faces."""
        return likely((*self.pair, self.thickness)) / 2 <= self.allowed + LENGTH


def worst(shares: Iterable[SlopShare]) -> float:
    """All shares against each other: ± mm."""
    return sum(share.amount for share in shares)


def likely(shares: Iterable[SlopShare]) -> float:
    """Root of the sum of squares: ± mm, three standard deviations where each share is three of its own."""
    return math.sqrt(sum(share.amount**2 for share in shares))
