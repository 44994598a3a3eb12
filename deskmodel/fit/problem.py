"""What the fit engine is asked and what it answers. No kernel, no mesh: plain values.

Vocabulary
    body      a shape at a pose, under a name
    role      "part": a thing that exists; "keep-out": room that must stay empty of parts; "plug": room that must
              stay empty of parts and of other plugs (two plugs cannot share it, two air spaces can)
    owner     bodies of one owner are never tested against each other (a component and its own keep-outs)
    contact   an overlap that is meant: the thread of a screw in its insert, an insert in its pilot hole
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from deskmodel.frames import Pose, Vec

__all__ = ["Body", "BodyShape", "ContactFault", "DesignedContact", "FitProblem", "FitReport", "GapFault", "NotMeasured",
           "Overlap", "OverlapKind", "RequiredGap", "Role"]

Role = Literal["part", "keep-out", "plug"]
OverlapKind = Literal["overlap", "swallowed", "duplicate"]


class BodyShape(Protocol):
    """A shape the engine can ask for. Equal keys mean equal geometry (same frame, to the last digit)."""

    @property
    def key(self) -> str: ...

    def build(self) -> object:
        """The B-rep (an OCP ``TopoDS_Shape``: one solid, or a compound of solids that don't overlap); mm."""
        ...


@dataclass(frozen=True, slots=True)
class Body:
    name: str
    shape: BodyShape
    pose: Pose
    role: Role = "part"
    owner: str | None = None


@dataclass(frozen=True, slots=True)
class RequiredGap:
    """Two bodies must keep at least ``minimum`` mm between them."""

    a: str
    b: str
    minimum: float
    reason: str


@dataclass(frozen=True, slots=True)
class DesignedContact:
    """``male`` may overlap ``female``, but only inside a ring that is given in the male's own frame.

    ``axis``: z along the ring's axis, origin where z = 0. The ring spans radius ``inner`` to ``outer`` (mm) and
    ``start`` to ``end`` along z. ``outer - inner`` is the designed radial depth: ``outer`` the male's radius
    there, ``inner`` the female's bore. Inside the ring the two must really overlap; outside it they must not.
    """

    male: str
    female: str
    axis: Pose
    inner: float
    outer: float
    start: float
    end: float
    reason: str


@dataclass(frozen=True, slots=True)
class FitProblem:
    bodies: tuple[Body, ...]
    gaps: tuple[RequiredGap, ...] = ()
    contacts: tuple[DesignedContact, ...] = ()


@dataclass(frozen=True, slots=True)
class Overlap:
    """Two bodies share material. ``penetration`` is the smallest width (mm) of the deepest overlapping piece,
    ``volume`` (mm³) and ``box`` that of all pieces, ``point`` (desk frame) lies in the deepest piece.

    kind "swallowed": b lies wholly inside a without touching its boundary (a is the one that swallows);
    "duplicate": same shape, same pose (to 1e-6 mm; a symmetric spin does not hide it)."""

    a: str
    b: str
    kind: OverlapKind
    volume: float
    penetration: float
    point: Vec
    box: tuple[Vec, Vec]
    pieces: int = 1


@dataclass(frozen=True, slots=True)
class GapFault:
    """Two bodies are nearer than required. ``gap`` is exact to 0.01 mm (0 where they touch or overlap);
    ``direction`` is the unit vector from ``point_a`` to ``point_b`` (from the faces' normal where the gap is 0)."""

    a: str
    b: str
    gap: float
    minimum: float
    point_a: Vec
    point_b: Vec
    direction: Vec
    reason: str


@dataclass(frozen=True, slots=True)
class ContactFault:
    """A designed contact that is not there: at ``point`` the female has no material inside the ring."""

    male: str
    female: str
    point: Vec
    share: float  # of the sampled ring points that lie in both bodies, 0 to 1
    reason: str


@dataclass(frozen=True, slots=True)
class NotMeasured:
    """A pair the engine could not decide, and why. Never dropped: a check that meets one has not passed."""

    a: str
    b: str
    why: str


@dataclass(frozen=True, slots=True)
class FitReport:
    overlaps: tuple[Overlap, ...] = ()
    gap_faults: tuple[GapFault, ...] = ()
    contact_faults: tuple[ContactFault, ...] = ()
    not_measured: tuple[NotMeasured, ...] = ()
    pairs: int = 0  # all pairs of bodies that had to be judged
    near: int = 0  # of these, with boxes within the required gap of each other
    measured: int = 0  # of these, measured in this run
    cached: int = 0  # of these, taken from an earlier run or an equal pair of this one
