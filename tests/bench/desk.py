"""A desk of 271 parts for the benchmark, as shapes and poses only. Invented; every contact is legal.

        y ^  +--+--------+--------+----  back rail
          |  |  cross     members    |     2 rows, ``columns`` in each, two dowels at each end
             +--+--------+--------+----  middle rail
             |                         |
             +--+--------+--------+----  front rail -> x

Members 22 x 60 stand on a 1.5 mm under-plate (z 0 to 1.5), a top plate lies on them. Dowels 8 x 40: 16 in the rail, 24
in the cross member's 26. Inserts of 6.5 in pilots of 6.0, button-head M4 screws from below through 4.5 holes into
them: both with a designed contact. Covers of plate and backing in openings of the top plate, components on the
under-plate, each with a plug's room beside it.

Parts: 3 + 2c members, 8c dowels, 4 (3 + 2c) inserts and as many screws, 2 plates, 4 covers, 4 components; c = 9: 271.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field

from deskmodel.fit.problem import Body, DesignedContact, FitProblem, RequiredGap
from deskmodel.frames import IDENTITY, Pose, Vec, axis_angle
from tests.truth.recipe import Recipe

__all__ = ["DeskPlan", "desk_problem", "desks_problem", "vent_field"]

T, H, W = 1.5, 60.0, 22.0  # plate, member height, member width
DEPTH = 600.0
GAP = 5.0  # mm of air round a component
ALONG_Y = axis_angle((0, 0, 1), 90)  # a member along +y; its blank's y then points to -x
INTO_BACK, INTO_FRONT = axis_angle((1, 0, 0), -90), axis_angle((1, 0, 0), 90)  # z turned to +y, to -y
UPSIDE_DOWN = axis_angle((1, 0, 0), 180)


@dataclass(frozen=True, slots=True)
class DeskPlan:
    """The numbers that tell one desk from another. ``moves`` shifts a part by name; cuts change two parts' features."""

    columns: int = 9
    pitch: float = 160.0
    jitter: int = 0  # seed of small differences from desk to desk; 0: none
    extra_bore: float = 0.0  # x of a cable bore in the first cross member; 0: none
    vent: float = 5.0  # diameter of the under-plate's vents
    moves: tuple[tuple[str, Vec], ...] = ()


@dataclass(slots=True)
class _Draft:
    at: Vec
    prefix: str
    bodies: list[Body] = field(default_factory=list)
    gaps: list[RequiredGap] = field(default_factory=list)
    contacts: list[DesignedContact] = field(default_factory=list)

    def add(self, name: str, shape: Recipe, pose: Pose, owner: str | None = None, plug: bool = False) -> str:
        name = self.prefix + name
        self.bodies.append(Body(name, shape, pose.moved(self.at), "plug" if plug else "part", owner))
        return name


def vent_field(x: float, y: float, nx: int, ny: int, d: float) -> tuple[tuple[float, float, float], ...]:
    return tuple((x + 8.0 * i, y + 8.0 * j, d) for i in range(nx) for j in range(ny))


def desk_problem(plan: DeskPlan = DeskPlan(), at: Vec = (0.0, 0.0, 0.0), prefix: str = "") -> FitProblem:
    draft = _Draft(at, prefix)
    _fill(draft, plan)
    return _moved(FitProblem(tuple(draft.bodies), tuple(draft.gaps), tuple(draft.contacts)), plan.moves)


def desks_problem(count: int, distinct: bool) -> FitProblem:
    """Several desks in a row as one problem: all alike, or each with its own positions."""
    problems = [desk_problem(DeskPlan(jitter=i + 1 if distinct else 0), (0.0, 1000.0 * i, 0.0), f"desk {i + 1} ")
                for i in range(count)]
    return FitProblem(tuple(b for p in problems for b in p.bodies), tuple(g for p in problems for g in p.gaps),
                      tuple(c for p in problems for c in p.contacts))


def _moved(problem: FitProblem, moves: tuple[tuple[str, Vec], ...]) -> FitProblem:
    by = dict(moves)
    bodies = tuple(Body(b.name, b.shape, b.pose.moved(by[b.name]), b.role, b.owner) if b.name in by else b
                   for b in problem.bodies)
    return FitProblem(bodies, problem.gaps, problem.contacts)


def _fill(draft: _Draft, plan: DeskPlan) -> None:
    rng = random.Random(plan.jitter)
    c = plan.columns
    length = c * plan.pitch + 40.0
    clear = (DEPTH - 3 * W) / 2  # between rails: length of the cross members

    def slide(reach: float) -> float:
        return round(rng.uniform(-reach, reach), 2) if plan.jitter else 0.0

    # Rows are 30 apart along the middle rail, so that dowels from both sides keep 16 from each other.
    columns = [[20.0 + plan.pitch * i + (30.0 if row else 0.0) + slide(8.0) for i in range(c)] for row in (0, 1)]
    rail_y = (0.0, W + clear, 2 * (W + clear))
    plate_holes: list[tuple[float, float, float]] = []
    members = _rails(draft, length, rail_y, columns, slide, plate_holes)
    for row in (0, 1):
        y0 = rail_y[row] + W
        for i, x in enumerate(columns[row]):
            bore = plan.extra_bore if (row, i) == (0, 0) else 0.0
            name = f"cross member {row + 1}.{i + 1}"
            members.append(_cross_member(draft, name, x, y0, clear, bore, slide, plate_holes))
            _dowels(draft, name, x, y0, clear)
    _plates(draft, plan, length, columns, rail_y, plate_holes)
    _covers_and_components(draft, columns, rail_y, clear, members)


def _pilot(x: float, y: float) -> tuple[Vec, Vec, float, float]:
    return ((x, y, 0.0), (0.0, 0.0, 1.0), 6.0, 14.0)


def _fixings(draft: _Draft, member: str, places: list[tuple[float, float]],
             plate_holes: list[tuple[float, float, float]]) -> None:
    """An insert and a screw at each (x, y): insert from z = 2 to 12, screw's head under the plate, shank up to 12."""
    for k, (x, y) in enumerate(places):
        plate_holes.append((x, y, 4.5))
        insert = draft.add(f"insert {member} {k + 1}", Recipe("insert", (6.5, 3.3, 10.0)), Pose(origin=(x, y, T + 0.5)))
        # the screw's recipe has its head up and its shank from z = 0 down to -12: upside down it comes from below
        screw = draft.add(f"screw {member} {k + 1}", Recipe("button_screw", (4.0, 12.0, 7.6, 2.2)),
                          Pose(UPSIDE_DOWN.rotation, (x, y, 0.0)))
        draft.contacts.append(DesignedContact(insert, draft.prefix + member, IDENTITY, 3.0, 3.25, 0.0, 10.0, "insert"))
        draft.contacts.append(DesignedContact(screw, insert, IDENTITY, 1.65, 2.0, -12.0, -2.0, "thread"))


def _rails(draft: _Draft, length: float, rail_y: tuple[float, ...], columns: list[list[float]],
           slide: Callable[[float], float], plate_holes: list[tuple[float, float, float]]) -> list[str]:
    names = []
    for r, (name, y) in enumerate(zip(("front rail", "middle rail", "back rail"), rail_y, strict=True)):
        holes: list[tuple[Vec, Vec, float, float]] = []
        for row, face, d in ((r - 1, 0.0, 1.0), (r, W, -1.0)):  # the row in front of the rail, the row behind it
            if 0 <= row < 2:
                holes += [((x + W / 2, face, z), (0.0, d, 0.0), 8.0, 16.0) for x in columns[row] for z in (15.0, 45.0)]
        places = [x + 75.0 for x in columns[min(r, 1)][:: max(1, len(columns[0]) // 4)]][:4]
        holes += [_pilot(x, W / 2) for x in places]
        names.append(draft.add(name, Recipe("drilled", (length, W, H, tuple(holes), 2.4)), Pose(origin=(0.0, y, T))))
        _fixings(draft, name, [(x, y + W / 2) for x in places], plate_holes)
    return names


def _cross_member(draft: _Draft, name: str, x: float, y0: float, clear: float, bore: float, slide: Callable[[float], float],
                  plate_holes: list[tuple[float, float, float]]) -> str:
    ends = [((e, W / 2, z), (d, 0.0, 0.0), 8.0, 26.0) for e, d in ((0.0, 1.0), (clear, -1.0)) for z in (15.0, 45.0)]
    along = [45.0 + i * (clear - 90.0) / 3 + slide(4.0) for i in range(4)]
    holes = [*ends, *(_pilot(s, W / 2) for s in along)]
    if bore:
        holes.append(((bore, 0.0, 40.0), (0.0, 1.0, 0.0), 20.0, 24.0))
    shape = Recipe("drilled", (clear, W, H, tuple(holes), 2.4))
    draft.add(name, shape, Pose(ALONG_Y.rotation, (x + W, y0, T)))
    _fixings(draft, name, [(x + W / 2, y0 + s) for s in along], plate_holes)
    return draft.prefix + name


def _dowels(draft: _Draft, name: str, x: float, y0: float, clear: float) -> None:
    dowel = Recipe("dowel", (8.0, 40.0, 0.8))
    for end, (y, turn) in enumerate(((y0 - 16.0, INTO_BACK), (y0 + clear + 16.0, INTO_FRONT))):
        for k, z in enumerate((15.0, 45.0)):
            # it starts at the bottom of the rail's hole and points into the cross member
            draft.add(f"dowel {name} {end + 1}.{k + 1}", dowel, Pose(turn.rotation, (x + W / 2, y, T + z)))


def _bays(columns: list[list[float]], rail_y: tuple[float, ...]) -> list[tuple[float, float, float]]:
    """Four bays between neighbouring cross members: (x0, x1, y0)."""
    found = []
    for row, i in ((0, 0), (0, 3), (1, 1), (1, 5)):
        found.append((columns[row][i] + W, columns[row][i + 1], rail_y[row] + W))
    return found


def _plates(draft: _Draft, plan: DeskPlan, length: float, columns: list[list[float]], rail_y: tuple[float, ...],
            plate_holes: list[tuple[float, float, float]]) -> None:
    clear = (DEPTH - 3 * W) / 2
    vents = []
    openings = []
    for x0, x1, y0 in _bays(columns, rail_y):
        vents += list(vent_field(x0 + 20.0, y0 + 30.0, 12, 10, plan.vent))
        openings.append((x0 - 12.0, y0 - 12.0, x1 + 12.0, y0 + clear + 12.0))
    under = Recipe("vent_plate", (length, DEPTH, T, (*plate_holes, *vents), ()))
    draft.add("under-plate", under, IDENTITY)
    draft.add("top plate", Recipe("vent_plate", (length, DEPTH, T, (), tuple(openings))), Pose(origin=(0, 0, T + H)))


def _covers_and_components(draft: _Draft, columns: list[list[float]], rail_y: tuple[float, ...], clear: float,
                           members: list[str]) -> None:
    for k, (x0, x1, y0) in enumerate(_bays(columns, rail_y)):
        wide = x1 - x0
        # 10 mm seats all round, 2 mm reveal to the opening; the backing keeps 2 mm from the members
        draft.add(f"cover {k + 1}", Recipe("cover", (round(wide + 20.0, 6), clear + 20.0, T, 6.0, 12.0)),
                  Pose(origin=(x0 - 10.0, y0 - 10.0, T + H)))
        size = (70.0 + 4 * k, 120.0 + 10 * k, 30.0)
        boxes = ((0.0, 0.0, 0.0, *size), (10.0, size[1], 5.0, 30.0, size[1] + 8.0, 20.0))
        owner = f"{draft.prefix}component {k + 1}"
        at = (x0 + 15.0, y0 + 20.0, T)
        name = draft.add(f"component {k + 1}", Recipe("fused_boxes", (boxes,)), Pose(origin=at), owner)
        draft.add(f"plug of component {k + 1}", Recipe("block", (20.0, 30.0, 15.0)),
                  Pose(origin=(at[0] + 10.0, at[1] + size[1] + 8.0, at[2] + 5.0)), owner, plug=True)
        draft.gaps += [RequiredGap(name, member, GAP, "air") for member in members]
