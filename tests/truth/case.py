"""A placed pair and what is true of it.

The band rule (DEVELOPERS.md, promises of the fit engine): an overlap of 0.01 mm or more must be reported; at 0 or below
it never may be; in between either answer is right. Gaps are exact to 0.01 mm, so a requirement is judged strictly
where it differs from the true gap by more than that, and either way within.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from deskmodel.fit.problem import Body, DesignedContact, FitProblem, OverlapKind, RequiredGap, Role
from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.recipe import Recipe

__all__ = ["BAND", "SEED", "Case", "Family", "Truth", "Verdict", "gap_verdict", "make_case", "overlap_verdict",
           "random_motion"]

SEED = 20_240_611  # of the whole suite; a case is named by family and index and depends on nothing else
BAND = 0.01
NOISE = 1e-9  # mm: float noise of a rigid motion at desk size is 1e-12

Verdict = Literal["must", "never", "either"]
A, B = "first part", "second part"


@dataclass(frozen=True, slots=True)
class Truth:
    """``depth``: penetration, mm, 0 or below where nothing is shared; ``gap``: mm, 0 where they touch or overlap.

    ``convex``: the overlap body is convex, so that ``depth`` is its smallest width and the reported penetration must
    equal it. Otherwise (sleeves, crescents) ``depth`` is its largest thickness and ``hull``, where known, the smallest
    width of its hull.
    ``reached``: ``depth`` is how deep a surface point of the one was found in the other, the kernel's booleans having
    failed: that they overlap is sure, but at a tip the overlap body may be thinner than that.
    ``listed``: whether the pair is to be judged at all (roles and owners exempt some).
    """

    depth: float
    gap: float
    convex: bool = True
    hull: float = math.inf
    kinds: tuple[OverlapKind, ...] = ("overlap",)
    volume: float | None = None
    swallower: str | None = None  # A or B, where kind is "swallowed"
    contact_fault: Verdict = "never"
    listed: bool = True
    reached: bool = False


@dataclass(frozen=True, slots=True)
class Case:
    family: str
    index: int
    a: Recipe
    pose_a: Pose
    b: Recipe
    pose_b: Pose
    truth: Truth | None  # None: the oracle is asked
    slack: float | None = None  # required gap less true gap, mm; None: no gap is required
    contacts: tuple[DesignedContact, ...] = ()
    roles: tuple[Role, Role] = ("part", "part")
    owners: tuple[str | None, str | None] = (None, None)
    swapped: bool = False  # order of the bodies in the problem
    note: str = ""

    @property
    def name(self) -> str:
        return f"{self.family}:{self.index}"

    def minimum(self, gap: float) -> float | None:
        """The required gap, mm, once the true one is known."""
        if self.slack is None or gap + self.slack <= 0.0:
            return None
        return gap + self.slack

    def problem(self, gap: float) -> FitProblem:
        bodies = (Body(A, self.a, self.pose_a, self.roles[0], self.owners[0]),
                  Body(B, self.b, self.pose_b, self.roles[1], self.owners[1]))
        minimum = self.minimum(gap)
        gaps = () if minimum is None else (RequiredGap(A, B, minimum, "air"),)
        return FitProblem(bodies[::-1] if self.swapped else bodies, gaps, self.contacts)

    def reproduce(self) -> str:
        """Source text that builds both bodies again."""
        return (f"{self.name} (seed {SEED}) {self.note}\n"
                f"  a = Body({A!r}, {self.a},\n           {self.pose_a}, {self.roles[0]!r}, {self.owners[0]!r})\n"
                f"  b = Body({B!r}, {self.b},\n           {self.pose_b}, {self.roles[1]!r}, {self.owners[1]!r})\n"
                f"  swapped = {self.swapped}, contacts = {self.contacts}\n"
                f"  again: python -m tests.truth.replay {self.name}")


Family = Callable[[random.Random, int], Case]


def overlap_verdict(truth: Truth) -> Verdict:
    if not truth.listed or truth.depth <= NOISE:
        return "never"
    return "must" if truth.depth >= BAND - NOISE else "either"


def gap_verdict(truth: Truth, minimum: float | None) -> Verdict:
    if minimum is None or not truth.listed:
        return "never"
    if truth.gap < minimum - BAND - NOISE:
        return "must"
    return "never" if truth.gap > minimum + BAND + NOISE else "either"


def random_motion(rng: random.Random) -> Pose:
    """A rigid motion: a rotation uniform over all, and up to 1 m in each direction."""
    axis = (rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1))
    origin = (rng.uniform(-1000, 1000), rng.uniform(-1000, 1000), rng.uniform(-1000, 1000))
    return Pose(axis_angle(axis, rng.uniform(1, 359)).rotation, origin)


# Required less true gap, mm: beyond the band on either side, in it, far off.
SLACKS = (-0.5, -0.05, -0.0201, -0.0101, -0.005, -1e-6, 1e-6, 0.005, 0.0101, 0.0201, 0.05, 0.5, 3.0)


def make_case(name: str, family: Family, index: int) -> Case:
    """The case as the family draws it, then moved, swapped and given a required gap at random."""
    rng = random.Random(f"{SEED}/{name}/{index}")
    case = replace(family(rng, index), family=name, index=index)
    kind = rng.random()
    motion = random_motion(rng) if kind < 0.65 else IDENTITY
    if 0.65 <= kind < 0.8:
        motion = axis_angle(rng.choice(((1, 0, 0), (0, 1, 0), (0, 0, 1))), rng.choice((90, 180, 270)))
    plain = not case.contacts and case.roles == ("part", "part") and case.owners == (None, None)
    return replace(case, pose_a=motion @ case.pose_a, pose_b=motion @ case.pose_b, swapped=rng.random() < 0.5,
                   slack=rng.choice(SLACKS) if plain and rng.random() < 0.6 else None)
