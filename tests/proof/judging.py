"""The verdict on one use of a jig: what is wrong, by name, with what was measured and what is allowed.

Offsets count in the joint's own terms: stock off in thickness or height keeps its holes at their distance from face side,
face edge and datum end, and at their depth from the side that is drilled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from tests.proof.contract import Use
from tests.proof.drilling import Drilled, drill, room_behind
from tests.proof.laid import SAME_SEAT, STARTS, Body, Stock, cut_into, read_body, rough_pose, seat_from, spread, stops_of
from tests.proof.members import SIDES, Hole, Member, read_member
from tests.proof.seating import Pose
from tests.proof.tools import Tools

LIMIT = 0.05
"""mm: axis and depth of a drilled hole against the designed one, beside the bound of the mesh."""
OFF = 0.3
"""mm: by how much stock may be off in thickness and height (common practice for planed timber)."""
SEAT_PLAY = (0.0, 0.3)
"""mm on each side between bush and printed seat (common practice: 0.05 to 0.15 presses, 0.3 slides)."""
BUSH_HOME = 0.1
"""mm: a seat is no longer than its bush and begins at the gap, or the bush's place along it is nobody's."""
LEAD = 1.0
"""mm that a seat may be shorter than its bush, for the chamfer where the bush goes in."""


@dataclass(frozen=True)
class Complaint:
    """``fault``: axis, angle, depth, missing, extra, seat, bush, guide, gap, reach, body, cut, unsteady, pair, hand."""

    fault: str
    where: str
    measured: float
    allowed: float

    def __str__(self) -> str:
        return f"{self.where}: {self.fault} {self.measured:.3f}, allowed {self.allowed:.3f}"


@dataclass(frozen=True)
class Seated:
    """A jig at rest on a piece of stock, and the holes it gives there."""

    use: Use
    timber: Stock
    pose: Pose
    drilled: tuple[Drilled, ...]


body_of = cache(read_body)
member_of = cache(read_member)


def pieces(member: Member) -> list[Stock]:
    """Stock thin and low, and thick and high: 21.7 and 22.3 of 22."""
    length, thickness, height = member.size
    return [Stock(height, length, thickness + off, height + off) for off in (-OFF, OFF)]


def seat_and_drill(body: Body, use: Use, timber: Stock, starts: int = STARTS) -> tuple[Seated, list[Complaint]]:
    """The seat from ``starts`` random poses, and the holes. ValueError where it finds no seat."""
    rough = rough_pose(body, use, timber)
    stops = stops_of(body, use, rough, timber)
    rng = np.random.default_rng(20)
    poses = [seat_from(body, rough, stops, rng) for _ in range(starts)]
    holes = drill(body, use, poses[0], timber.side(use.place))
    return Seated(use, timber, poses[0], tuple(holes)), list(_rest(body, use, timber, poses))


def _rest(body: Body, use: Use, timber: Stock, poses: list[Pose]) -> Iterator[Complaint]:
    apart = spread(body, poses)
    if apart > SAME_SEAT:
        yield Complaint("unsteady", str(use), apart, SAME_SEAT)
    deep = cut_into(body, poses[0], timber)
    if deep > 0:
        yield Complaint("cut", str(use), deep, 0)


def under(member: Member, use: Use) -> list[Hole]:
    """The holes of the member that this use is for: as deep, in this side, and of a face with many joints those between its
    line and the far end of what the jig covers."""
    near = [h for h in member.holes_in(use.place, use.jig.drill) if abs(h.depth - use.depth) < 1.0]
    if use.mark is None:
        return near
    wide = float(np.ptp([use.jig.turn[0] @ seat.point for seat in body_of(use.jig.stl).seats])) + use.jig.bush.outside
    return [h for h in near if 0 < (h.entry[0] - use.mark) * use.along < max(use.jig.far_sight or 0.0, wide)]


def designed(member: Member, use: Use, timber: Stock) -> list[Hole]:
    """The holes under this use, moved to where the sides of this piece are."""
    axis, _ = SIDES[use.place]
    side = timber.side(use.place)
    return [Hole(h.side, np.where(np.arange(3) == axis, side.low, h.entry), h.way, h.radius, h.depth)
            for h in under(member, use)]


def compare(seated: Seated, holes: list[Hole]) -> list[Complaint]:
    """Each designed hole against the nearest drilled one."""
    use, found = seated.use, []
    left = list(seated.drilled)
    for hole in holes:
        if not left:
            found.append(Complaint("missing", str(use), len(seated.drilled), len(holes)))
            break
        made = min(left, key=lambda d: float(np.linalg.norm(d.entry - hole.entry)))
        left.remove(made)
        found += _difference(made, hole, use)
    if left:
        found.append(Complaint("extra", str(use), len(seated.drilled), len(holes)))
    return found


def _difference(made: Drilled, hole: Hole, use: Use) -> Iterator[Complaint]:
    allowed = LIMIT + made.bound
    off = float(np.linalg.norm(made.entry - hole.entry))
    if off > allowed:
        yield Complaint("axis", str(use), off, allowed)
    lean = float(np.linalg.norm(np.cross(made.way, hole.way)))
    if lean * hole.depth > allowed:
        yield Complaint("angle", str(use), float(np.degrees(np.arcsin(min(lean, 1.0)))),
                        float(np.degrees(allowed / hole.depth)))
    if abs(made.depth - hole.depth) > allowed:
        yield Complaint("depth", str(use), made.depth, hole.depth)


def guided(seated: Seated, body: Body, tools: Tools) -> Iterator[Complaint]:
    """Whether bush and seat are made for each other, the bit reaches, and the drill's body has room."""
    use, jig = seated.use, seated.use.jig
    for made in seated.drilled:
        play = made.seat.radius - jig.bush.outside / 2
        if not SEAT_PLAY[0] - made.bound <= play <= SEAT_PLAY[1]:
            yield Complaint("seat", str(use), play, SEAT_PLAY[1])
        if made.seat.residual > made.bound + 0.002:
            yield Complaint("seat", str(use), made.seat.residual, made.bound)
        if not -LEAD <= made.seat.length - jig.bush.length <= BUSH_HOME:
            yield Complaint("bush", str(use), made.seat.length, jig.bush.length)
        if abs(jig.guide - jig.bush.length) > BUSH_HOME:
            yield Complaint("guide", str(use), jig.bush.length, jig.guide)
        if abs(made.foot - jig.gap) > BUSH_HOME:
            yield Complaint("gap", str(use), made.foot, jig.gap)
        # The shortest bit that does it is the one that a maker may hold in the hand: one must reach, and with that one the
        # drill must have room.
        bits = [bit for bit in tools.bits_of(jig.drill) if bit.length >= use.stop + bit.tip]
        if not bits:
            longest = max((bit.length - bit.tip for bit in tools.bits_of(jig.drill)), default=0.0)
            yield Complaint("reach", str(use), longest, use.stop)
            continue
        room = max(room_behind(body.mesh, seated.pose, made, bit.length - bit.tip - use.depth) for bit in bits)
        if room < tools.body / 2:
            yield Complaint("body", str(use), room, tools.body / 2)


def judge(use: Use, tools: Tools, starts: int = STARTS) -> tuple[list[Seated], list[Complaint]]:
    """The whole verdict on a use, on both pieces of stock. A jig that cannot be seated at all is "unsteady"."""
    body, member = body_of(use.jig.stl), member_of(use.file)
    all_seated, found = [], []
    for timber in pieces(member):
        try:
            seated, complaints = seat_and_drill(body, use, timber, starts)
        except ValueError:
            return all_seated, [*found, Complaint("unsteady", str(use), np.inf, SAME_SEAT)]
        holes = designed(member, use, timber)
        found += complaints
        if not holes:
            found.append(Complaint("missing", str(use), 0, 1))
        found += compare(seated, holes)
        found += guided(seated, body, tools)
        all_seated.append(seated)
    return all_seated, found
