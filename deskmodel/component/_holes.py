"""The mounting holes of a data sheet: [[hole]] one by one, [pattern] those of a published form."""

from __future__ import annotations

from deskmodel.catalogue import hole_pattern
from deskmodel.component._table import Table
from deskmodel.errors import InputFault
from deskmodel.features import Hole, Prism
from deskmodel.frames import Vec
from deskmodel.part import Bodies

__all__ = ["holds", "mounting_holes"]

_DEEPEST = 100.0  # mm of thread; more is a slip of the decimal point


def mounting_holes(sheet: Table, bodies: tuple[Prism, ...]) -> tuple[Hole, ...]:
    """Each looked at on ``bodies``. InputFault at its line where one leaves them or cuts nothing."""
    holes = []
    for number, entry in enumerate(sheet.tables("hole"), 1):
        hole = _hole(entry, number)
        _look(entry, hole, bodies)
        holes.append(hole)
    for number, entry in enumerate(sheet.one_or_more("pattern"), 1):
        for hole in _pattern(entry, bodies, f"pattern {number}, " if number > 1 else ""):
            _look(entry, hole, bodies)
            holes.append(hole)
    return tuple(holes)


def holds(body: Prism, point: Vec) -> bool:
    x, y, z = body.pose.inverse().apply(point)
    return 0.0 <= z <= body.depth and body.profile.contains((x, y))


def _hole(entry: Table, number: int) -> Hole:
    x, y = entry.vector("at", 2)
    diameter = entry.number("diameter", low=0.5, high=100.0)
    depth = entry.number("depth", low=0.5, high=_DEEPEST) if entry.has("depth") else None
    entry.finish()
    return Hole("bottom", (x, y), diameter, depth, name=f"mounting hole {number}", purpose="screw")


def _pattern(entry: Table, bodies: tuple[Prism, ...], prefix: str) -> list[Hole]:
    (_, _, low), (_, _, high) = Bodies(bodies).bounds
    try:
        pattern = hole_pattern(entry.text("form"), high - low)
    except InputFault as fault:
        raise fault if fault.key else entry.fault("form", fault.problem, fault.allowed or "") from None
    x, y = entry.vector("at", 2)
    turn = entry.number("turn", low=0, high=270, default=0.0, unit="degrees")
    depth = None
    if entry.has("depth"):
        if not pattern.thread:
            raise entry.fault("depth", f"on the through holes of {pattern.form}", "no depth, or a form with threads")
        depth = entry.number("depth", low=0.5, high=_DEEPEST)
    entry.finish()
    try:
        places = pattern.places((x, y), turn)
    except InputFault as fault:
        raise entry.fault("turn", fault.problem, fault.allowed or "") from None
    return [Hole("bottom", hole.at, hole.diameter, depth or hole.depth, purpose="screw",
                 name=f"mounting hole {prefix}{hole.name} of {pattern.form}") for hole in places]


def _look(entry: Table, hole: Hole, bodies: tuple[Prism, ...]) -> None:
    blank = Bodies(bodies)
    try:
        hole.removals(blank)
    except InputFault as fault:
        key = "depth" if "depth" in fault.problem else "at"
        raise entry.fault(key, f"{hole.name}: {fault.problem}", fault.allowed or "") from None
    floor = blank.bounds[0][2]
    deep = float("inf") if hole.depth is None else floor + hole.depth
    if not any(low[2] < deep and holds(body, (*hole.at, (low[2] + high[2]) / 2))
               for body in bodies for low, high in (body.bounds,)):
        raise entry.fault("at", f"{hole.name} at {list(hole.at)} cuts nothing", "a place under a body")
