"""Duplicates, and who is judged against whom: roles and owners. Closed form (boxes and dowels)."""

from __future__ import annotations

import random
from dataclasses import replace

from deskmodel.fit.problem import OverlapKind, Role
from deskmodel.frames import IDENTITY, Pose
from tests.truth.boxes import box_on_box, size
from tests.truth.case import Case, Truth
from tests.truth.recipe import Recipe
from tests.truth.rounds import spin
from tests.truth.sweep import placed

__all__ = ["duplicates", "roles_and_owners"]


def duplicates(rng: random.Random, index: int) -> Case:
    """The same part twice in one place; or nearly, or the same geometry from another recipe.

    Offsets: 0, float noise (1e-9) or 2e-7 are "same place" (to 1e-6 mm); 1e-4 and more are not.
    """
    offset = rng.choice((0.0, 0.0, 1e-9, 2e-7, 1e-4, 0.01, 0.3))
    same: tuple[OverlapKind, ...] = ("duplicate",) if offset < 1e-6 else ("overlap",)
    kind = index % 5
    if kind == 0:
        b = size(rng, 20, 80)
        # the common body is the block less the offset along x: its smallest width is its smallest side, within 0.3
        return placed(Recipe("block", b), IDENTITY, Recipe("block", b), Pose(origin=(offset, 0, 0)),
                      Truth(min(b[0] - offset, b[1], b[2]), 0.0, kinds=same))
    if kind == 1:
        d, length = round(rng.uniform(5, 12), 3), round(rng.uniform(30, 50), 3)
        dowel = Recipe("dowel", (d, length, 0.8))
        # a turn about its own axis does not make it another dowel
        return placed(dowel, spin(rng), dowel, Pose(origin=(0, 0, offset)) @ spin(rng),
                      Truth(d, 0.0, kinds=same))
    if kind == 2:
        # the shank, moved along itself, is shared over its whole diameter
        screw = Recipe("countersunk_screw", (4.0, 20.0, 8.96))
        return placed(screw, spin(rng), screw, Pose(origin=(0, 0, offset)) @ spin(rng),
                      Truth(4.0, 0.0, convex=False, hull=8.96, kinds=same))
    if kind == 3:
        holes = tuple((20.0 + 8 * i, 20.0, 5.0) for i in range(rng.randint(2, 6)))
        plate = Recipe("vent_plate", (90.0, 60.0, 1.5, holes))
        return placed(plate, IDENTITY, plate, Pose(origin=(0, 0, offset)),
                      Truth(1.5 - offset, 0.0, convex=False, kinds=same))
    b = size(rng, 20, 80)
    # a bar of the same numbers, but built another way: the same solid under another key
    other = Recipe("fused_boxes", (((0.0, 0.0, 0.0, b[0] / 2, b[1], b[2]), (b[0] / 2, 0.0, 0.0, *b)),))
    either: tuple[OverlapKind, ...] = ("duplicate", "overlap") if offset < 1e-6 else ("overlap",)
    return placed(Recipe("block", b), IDENTITY, other, Pose(origin=(offset, 0, 0)),
                  Truth(min(b[0] - offset, b[1], b[2]), 0.0, kinds=either))


PAIRS: tuple[tuple[tuple[Role, Role], bool], ...] = (
    (("part", "part"), True), (("part", "keep-out"), True), (("part", "plug"), True), (("plug", "plug"), True),
    (("keep-out", "keep-out"), False), (("keep-out", "part"), True), (("plug", "part"), True),
)


def roles_and_owners(rng: random.Random, index: int) -> Case:
    """Two blocks by roles: two air spaces may share room, two plugs may not; one owner's bodies never clash."""
    case = box_on_box(rng, index)
    (roles, judged) = PAIRS[index % len(PAIRS)]
    owners = rng.choice(((None, None), ("unit", None), ("unit", "supply"), ("unit", "unit")))
    assert case.truth is not None
    judged = judged and not (owners[0] is not None and owners[0] == owners[1])
    return replace(case, roles=roles, owners=owners, truth=replace(case.truth, listed=judged))
