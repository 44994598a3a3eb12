"""The two members of a joint put together: the holes of one, as drilled, against the holes of the other, as drilled.

Members are put where ``model.step`` has them, face side and face edge first: stock off in size differs on its back side and
under edge only. So each hole keeps its distance from what the joint registers from, and only offsets across the common axis
are told; along it the members touch.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

import numpy as np

from tests.proof.facets import Floats
from tests.proof.judging import LIMIT, Complaint, Seated
from tests.proof.members import SIDES
from tests.proof.seating import Pose

Row = tuple[str, Seated]
"""A member by name, and one of the pieces of stock that it was drilled in."""


def joints(seated: Iterable[Seated]) -> dict[str, list[Row]]:
    """Everything that was drilled for each joint. A use lists a joint for each of its equal members."""
    found: dict[str, list[Row]] = defaultdict(list)
    for one in seated:
        for member, joint in zip(one.use.members, one.use.joints, strict=True):
            if joint:
                found[joint].append((member, one))
    return dict(found)


def halves(rows: list[Row]) -> list[tuple[Row, Row]]:
    """Every piece of stock of the one member with every piece of the other."""
    first = rows[0][0]
    return [(a, b) for a in rows for b in rows if a[0] == first and b[0] != first]


def mate(joint: str, a: Row, b: Row, placed: dict[str, Pose]) -> Iterator[Complaint]:
    """The holes of ``a`` against those of ``b``, in the frame of the desk."""
    one, other = _in_desk(a, placed), _in_desk(b, placed)
    if len(one) != len(other):
        yield Complaint("pair", joint, len(one), len(other))
        return
    for entry, way, bound in one:
        across = [_across(entry - e, way) for e, _, _ in other]
        nearest = int(np.argmin(across))
        allowed = LIMIT + bound + other[nearest][2]
        if across[nearest] > allowed:
            yield Complaint("pair", joint, across[nearest], allowed)
        lean = float(np.linalg.norm(np.cross(way, other[nearest][1])))
        depth = max(a[1].use.depth, b[1].use.depth)
        if way @ other[nearest][1] > 0 or lean * depth > allowed:
            yield Complaint("pair", f"{joint}, angle", float(np.degrees(np.arcsin(min(lean, 1.0)))),
                            float(np.degrees(allowed / depth)))


def registers(joint: str, a: Row, b: Row, placed: dict[str, Pose]) -> Iterator[Complaint]:
    """Whether the member that enters has its face side (lying flat: its face edge) on the line of the other one, its wood
    on the side that is told, so that both measure from the same arris."""
    host, entering = (a, b) if a[1].use.mark is not None else (b, a)
    use = host[1].use
    if use.mark is None or use.towards is None or entering[1].use.jig.kind != "end":
        return
    into_host, from_end = placed[host[0]], placed[entering[0]]
    height = entering[1].timber.height
    arris = np.array([entering[1].timber.long if entering[1].use.place == "far end" else 0.0, 0.0, height])
    corner = into_host.turn.T @ (from_end.of(arris[None])[0] - into_host.shift)
    # Ways from the arris into the wood: from the face side (+y) and from the face edge (-z), seen by the host.
    ways = into_host.turn.T @ from_end.turn @ np.array([[0.0, 1, 0], [0, 0, -1]]).T
    if abs(corner[0] - use.mark) > 1e-3:
        yield Complaint("hand", f"{joint}: line on {host[0]}", use.mark, float(corner[0]))
    if max(ways[0] * use.along) < 1 - 1e-6:
        yield Complaint("hand", f"{joint}: towards on {host[0]}", use.along, float(ways[0][np.argmax(np.abs(ways[0]))]))
    side, _ = SIDES[use.place]
    if side == 1 and abs(corner[2] - host[1].timber.height) > 1e-3:
        yield Complaint("hand", f"{joint}: face edges", float(corner[2]), host[1].timber.height)


def _in_desk(row: Row, placed: dict[str, Pose]) -> list[tuple[Floats, Floats, float]]:
    member, one = row
    pose = placed[member]
    return [(pose.of(made.entry[None])[0], pose.turn @ made.way, made.bound) for made in one.drilled]


def _across(offset: Floats, way: Floats) -> float:
    return float(np.linalg.norm(offset - (offset @ way) * way))

