"""The two members of a joint put together: the holes of one, as drilled, against the holes of the other, as drilled.

Members are put where ``model.step`` has them, face side and face edge first: stock off in size differs on its back side and
under edge only. So each hole keeps its distance from what the joint registers from, and only offsets across the common axis
are told; along it the members touch.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from tests.proof.facets import Floats
from tests.proof.judging import LIMIT, Complaint, Seated
from tests.proof.seating import Pose


@dataclass(frozen=True, eq=False)
class Half:
    """One member of a joint in one piece of stock, with everything that was drilled in it for the joint: dowels between two
    faces are drilled one at a time."""

    member: str
    drilled: tuple[Seated, ...]

    def holes(self, placed: dict[str, Pose]) -> list[tuple[Floats, Floats, float]]:
        """Entry and way in the frame of the desk, and the bound of the mesh."""
        pose = placed[self.member]
        return [(pose.of(made.entry[None])[0], pose.turn @ made.way, made.bound)
                for one in self.drilled for made in one.drilled]


def joints(seated: Iterable[Seated]) -> dict[str, list[Half]]:
    """Everything that was drilled for each joint. A use lists a joint for each of its equal members."""
    found: dict[str, dict[tuple[str, float], list[Seated]]] = defaultdict(lambda: defaultdict(list))
    for one in seated:
        for member, joint in zip(one.use.members, one.use.joints, strict=True):
            if joint:
                found[joint][member, one.timber.thick].append(one)
    return {joint: [Half(member, tuple(drilled)) for (member, _), drilled in halves.items()]
            for joint, halves in found.items()}


def pairs(halves: list[Half]) -> list[tuple[Half, Half]]:
    """Every piece of stock of the first member with every piece of the others."""
    first = halves[0].member
    return [(a, b) for a in halves for b in halves if a.member == first and b.member != first]


def mate(joint: str, a: Half, b: Half, placed: dict[str, Pose]) -> Iterator[Complaint]:
    """The holes of ``a`` against those of ``b``, in the frame of the desk."""
    one, other = a.holes(placed), b.holes(placed)
    if len(one) != len(other):
        yield Complaint("pair", joint, len(one), len(other))
        return
    depth = max(seated.use.depth for half in (a, b) for seated in half.drilled)
    through = any(seated.use.through for half in (a, b) for seated in half.drilled)
    for entry, way, bound in one:
        across = [_across(entry - e, way) for e, _, _ in other]
        nearest = int(np.argmin(across))
        allowed = LIMIT + bound + other[nearest][2]
        if across[nearest] > allowed:
            yield Complaint("pair", joint, across[nearest], allowed)
        lean = float(np.linalg.norm(np.cross(way, other[nearest][1])))
        if lean * depth > allowed or (way @ other[nearest][1] > 0 and not through):
            yield Complaint("pair", f"{joint}, angle", float(np.degrees(np.arcsin(min(lean, 1.0)))),
                            float(np.degrees(allowed / depth)))


def registers(joint: str, a: Half, b: Half, placed: dict[str, Pose]) -> Iterator[Complaint]:
    """Whether a member that enters with its end has its face side (lying flat: its face edge) on the line of the other one,
    its wood on the side that is told, so that both measure from the same arris."""
    for host, entering in ((a, b), (b, a)):
        for on_host in host.drilled:
            for in_end in entering.drilled:
                if on_host.use.mark is not None and in_end.use.jig.kind == "end":
                    yield from _arris(joint, host.member, on_host, entering.member, in_end, placed)


def _arris(joint: str, host: str, on_host: Seated, entering: str, in_end: Seated,
           placed: dict[str, Pose]) -> Iterator[Complaint]:
    use, into_host, from_end = on_host.use, placed[host], placed[entering]
    assert use.mark is not None
    end = in_end.timber.long if in_end.use.place == "far end" else 0.0
    arris = np.array([end, 0.0, in_end.timber.height])
    corner = into_host.turn.T @ (from_end.of(arris[None])[0] - into_host.shift)
    # Ways from the arris into the wood: from the face side (+y) and from the face edge (-z), seen by the host.
    ways = into_host.turn.T @ from_end.turn @ np.array([[0.0, 1, 0], [0, 0, -1]]).T
    if abs(corner[0] - use.mark) > 1e-3:
        yield Complaint("hand", f"{joint}: line on {host}", use.mark, float(corner[0]))
    if max(ways[0] * use.along) < 1 - 1e-6:
        yield Complaint("hand", f"{joint}: towards on {host}", use.along, float(ways[0][np.argmax(np.abs(ways[0]))]))


def _across(offset: Floats, way: Floats) -> float:
    return float(np.linalg.norm(offset - (offset @ way) * way))

