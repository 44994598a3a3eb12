"""What a problem asks, by number of body, and which of its pairs are near enough to be looked at."""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import partial

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import InputFault
from deskmodel.fit.broad import box_gap, may_overlap, sweep
from deskmodel.fit.contacts import RelievedShape, check_ring
from deskmodel.fit.placed import Placed, place
from deskmodel.fit.problem import DesignedContact, FitProblem, RequiredGap
from deskmodel.fit.roles import Roles
from deskmodel.fit.shapes import ShapeTable
from deskmodel.meshes.store import ShapeStore

__all__ = ["Asked", "Near", "near_pairs"]


class Asked:
    """Names to numbers. ``gaps`` and ``contacts`` by pair (lower number first). Raises InputFault."""

    def __init__(self, problem: FitProblem) -> None:
        self.problem = problem
        self.index = {body.name: k for k, body in enumerate(problem.bodies)}
        if len(self.index) != len(problem.bodies):
            names = [body.name for body in problem.bodies]
            twice = next(name for name in names if names.count(name) > 1)
            raise InputFault(f"two bodies are called {twice!r}", allowed="one name a body")
        self.roles = Roles(problem.bodies)
        self.gaps: dict[tuple[int, int], list[RequiredGap]] = {}
        self.contacts: dict[tuple[int, int], list[DesignedContact]] = {}
        for gap in problem.gaps:
            if not 0.0 <= gap.minimum < 1e6:
                raise InputFault(f"a gap of {gap.minimum!r} mm between {gap.a!r} and {gap.b!r}",
                                 allowed="0 or more, and finite")
            self.gaps.setdefault(self._pair(gap.a, gap.b, "a required gap"), []).append(gap)
        for contact in problem.contacts:
            check_ring(contact)
            pair = self._pair(contact.male, contact.female, "a designed contact")
            self.contacts.setdefault(pair, []).append(contact)

    def relieved(self, contacts: list[DesignedContact], store: ShapeStore) -> list[tuple[int, RelievedShape]]:
        """Numbers of the males of one pair, each with its shape without its rings."""
        found = []
        for name in dict.fromkeys(contact.male for contact in contacts):
            male = self.index[name]
            rings = [contact for contact in contacts if contact.male == name]
            shape = self.problem.bodies[male].shape
            found.append((male, RelievedShape.of(shape, rings, partial(store.brep, shape))))
        return found

    def _pair(self, a: str, b: str, what: str) -> tuple[int, int]:
        for name in (a, b):
            if name not in self.index:
                like = get_close_matches(name, self.index, 3, 0.5)
                raise InputFault(f"{what} names {name!r}, which is no body",
                                 allowed=f"names of bodies, such as {', '.join(map(repr, like))}" if like
                                 else "names of bodies")
        i, j = self.index[a], self.index[b]
        if i == j:
            raise InputFault(f"{what} names {a!r} twice", allowed="two bodies")
        return (i, j) if i < j else (j, i)


@dataclass(frozen=True, slots=True, eq=False)
class Near:
    """Pairs to look at, i < j (m,). ``minimum``: the largest gap required of each, 0 for none; ``overlaps``: whether it
    is judged for overlap; ``contacts``: rows with designed contacts. ``count``: pairs whose boxes lie within the
    required gap of each other; those that boxes alone settle are counted but not listed."""

    placed: Placed
    i: NDArray[np.int64]
    j: NDArray[np.int64]
    minimum: NDArray[np.float64]
    overlaps: NDArray[np.bool_]
    contacts: list[tuple[int, list[DesignedContact]]]
    count: int


def near_pairs(asked: Asked, shapes: ShapeTable) -> Near:
    bodies = asked.problem.bodies
    n = len(bodies)
    placed = place([body.pose for body in bodies], shapes.boxes[shapes.of_body])
    _check_rigid(asked.problem, placed)
    i, j = sweep(placed.low, placed.high)
    judged = asked.roles.judged(i, j)
    i, j = i[judged], j[judged]
    touching = i * n + j
    deep = may_overlap(placed, i, j)
    overlapping = touching[deep]
    gap_codes = np.array([a * n + b for a, b in asked.gaps], dtype=np.int64)
    minima = np.array([max(gap.minimum for gap in gaps) for gaps in asked.gaps.values()], dtype=np.float64)
    if len(gap_codes):
        within = box_gap(placed, gap_codes // n, gap_codes % n) < minima
        gap_codes, minima = gap_codes[within], minima[within]
    codes = np.union1d(overlapping, gap_codes)
    minimum = np.zeros(len(codes))
    minimum[np.searchsorted(codes, gap_codes)] = minima
    i, j = codes // n, codes % n
    contacts = []
    if asked.contacts:
        row_of = {int(code): row for row, code in enumerate(codes)}
        for (a, b), named in asked.contacts.items():
            row = row_of.get(a * n + b)
            if row is not None:
                contacts.append((row, named))
    overlaps = np.isin(codes, overlapping, assume_unique=True)
    count = len(np.union1d(touching, gap_codes))
    return Near(placed, i, j, minimum, overlaps, contacts, count)


def _check_rigid(problem: FitProblem, placed: Placed) -> None:
    """Raises InputFault for a pose that is no rigid one: it would give wrong answers in silence."""
    square = np.abs(np.einsum("nki,nkj->nij", placed.rotation, placed.rotation) - np.eye(3)).max(axis=(1, 2))
    right = np.linalg.det(placed.rotation) > 0
    good = np.isfinite(placed.origin).all(axis=1) & (square < 1e-6) & right
    if not good.all():
        body = problem.bodies[int(np.argmin(good))]
        raise InputFault(f"the pose of {body.name!r} is not rigid: {body.pose}",
                         allowed="finite numbers, a rotation without scale or mirror")
