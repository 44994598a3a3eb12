"""Designed contacts: what the male is without the rings where it may overlap, and whether the contact is there.

A pair with designed contacts is judged with the male relieved: its rings cut away. What is left fits the female
exactly where the joint is right, so any overlap that remains is a fault and is measured like any other. That a ring
really lies in the material of both is asked apart, by points half way between its radii.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import InputFault
from deskmodel.fit.placed import vec
from deskmodel.fit.problem import BodyShape, DesignedContact
from deskmodel.frames import Vec
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.settings import DELTA

__all__ = ["CONTACT_SHARE", "RelievedShape", "check_ring", "ring_key", "ring_share"]

CONTACT_SHARE = 0.5
"""A contact is there when at least this share of its ring's sample points lie in both bodies. Half, because bores may
cross a thread and a chamfer may begin it; how well the rest fits is judged by the overlap (own choice)."""

_ANGLES = 16
_LEVELS = 5


@dataclass(frozen=True, slots=True)
class RelievedShape:
    """The male of one pair without its rings; ``brep`` hands out the male's own kernel shape."""

    key: str
    rings: tuple[DesignedContact, ...]
    brep: Callable[[], Any]

    @staticmethod
    def of(male: BodyShape, rings: Sequence[DesignedContact], brep: Callable[[], Any]) -> RelievedShape:
        ordered = tuple(sorted(rings, key=ring_key)) if len(rings) > 1 else tuple(rings)
        return RelievedShape(_relieved_key((male.key, *map(ring_key, ordered))), ordered, brep)

    def build(self) -> object:
        from deskmodel.solids.relief import without_rings

        return without_rings(self.brep(), [(r.axis, r.inner, r.outer, r.start, r.end) for r in self.rings])


def check_ring(contact: DesignedContact) -> None:
    """Raises InputFault where the ring is none."""
    if not 0.0 <= contact.inner < contact.outer or not contact.start < contact.end:
        raise InputFault(f"designed contact of {contact.male!r} with {contact.female!r}: radius {contact.inner:g} to "
                         f"{contact.outer:g}, z {contact.start:g} to {contact.end:g}",
                         allowed="0 <= inner < outer and start < end")


def ring_key(contact: DesignedContact) -> str:
    """Text that is equal for rings that are equal in the male's frame."""
    axis = contact.axis
    return _ring_text((*axis.rotation, axis.origin, (contact.inner, contact.outer, contact.start, contact.end)))


@lru_cache(maxsize=1 << 16)
def _ring_text(numbers: tuple[tuple[float, ...], ...]) -> str:
    return ",".join(f"{number + 0.0:.9f}" for row in numbers for number in row)


@lru_cache(maxsize=1 << 16)
def _relieved_key(texts: tuple[str, ...]) -> str:
    return "relieved-" + hashlib.blake2b("|".join(texts).encode(), digest_size=20).hexdigest()


def ring_share(male: PreparedShape, female: PreparedShape, rotation: NDArray[np.float64], origin: NDArray[np.float64],
               contact: DesignedContact, exact: Callable[[], tuple[Any, Any]]) -> tuple[float, Vec]:
    """Share of the ring's points in both bodies (0 to 1) and, in the male's frame, the point to look at: the middle of
    those that miss. ``rotation``, ``origin``: the female in the male's frame. Rings too thin for the cores are asked
    of the B-reps, which ``exact`` hands out (male, female)."""
    points = _points(contact)
    local = (points - origin) @ rotation
    shallow = (contact.outer - contact.inner) / 2 < 2 * DELTA + max(male.max_depth, female.max_depth)
    if shallow:
        from deskmodel.solids.measure import PointTest

        brep_male, brep_female = exact()
        in_male, in_female = PointTest(brep_male), PointTest(brep_female)
        both = np.array([in_male(vec(p)) and in_female(vec(q)) for p, q in zip(points, local, strict=True)])
    else:
        both = male.inside_core(points) & female.inside_core(local)
    missed = points[~both]
    return float(both.mean()), vec((missed if len(missed) else points).mean(axis=0))


def _points(contact: DesignedContact) -> NDArray[np.float64]:
    """(k, 3) points half way between the radii, in the male's frame; at no round angle, clear of the ends."""
    radius = (contact.inner + contact.outer) / 2
    angle = (np.arange(_ANGLES) + 0.37) * (2 * np.pi / _ANGLES)
    height = contact.start + (np.arange(_LEVELS) + 0.5) / _LEVELS * (contact.end - contact.start)
    a, z = np.meshgrid(angle, height)
    local = np.column_stack([radius * np.cos(a.ravel()), radius * np.sin(a.ravel()), z.ravel()])
    made: NDArray[np.float64] = local @ np.array(contact.axis.rotation).T + np.array(contact.axis.origin)
    return made
