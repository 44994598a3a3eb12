"""What the exact kernel says of a pair, asked once for each distinct pair and kept on disk.

Boxes that stand square to each other are a closed form. For the rest one distance and one boolean are asked; where the tool
does not agree, ``doubted`` asks again by the way of ``tests.oracle.pair``, where every answer is asked twice.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import sqlite3
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_IN
from OCP.TopoDS import TopoDS_Shape

from deskmodel import solids as solids_folder
from deskmodel.frames import Vec
from tests.oracle.distance import boundary_distance, distance
from tests.oracle.occ import solids, surface, vertex, volume
from tests.oracle.pair import THIN, TOUCH, settle
from tests.oracle.width import depth_of
from tests.planted.local import Local, apart, share

__all__ = ["FAR", "Answer", "Answers"]

_SURE = 0.02  # mm: a body whose volume is that of a sheet so thick is an overlap, whatever its shape


@dataclass(frozen=True, slots=True)
class Answer:
    """``gap`` mm; of an overlap ``depth`` mm at the least and ``hull`` at the most; ``swallowed``: one lies in the other
    and touches no boundary; ``sure``: nobody has to be asked again."""

    gap: float
    depth: float = 0.0
    hull: float = 0.0
    swallowed: bool = False
    sure: bool = False


FAR = Answer(math.inf, sure=True)


class Answers:
    """Shared by all who are at work at once: an sqlite file below ``PLANTED_CACHE`` or the system's folder for such."""

    def __init__(self, folder: Path | None = None) -> None:
        here = Path(__file__).parent
        sources = [here / "local.py", here / "answers.py", *sorted((here.parent / "oracle").glob("*.py")),
                   *sorted(Path(solids_folder.__file__).parent.glob("*.py"))]
        version = metadata.version("cadquery-ocp")
        digest = hashlib.sha256(b"".join(p.read_bytes() for p in sources) + version.encode()).hexdigest()[:16]
        base = folder or Path(os.environ.get("PLANTED_CACHE") or Path(tempfile.gettempdir()) / "deskmodel-planted")
        base.mkdir(parents=True, exist_ok=True)
        self._file = sqlite3.connect(base / f"{digest}.sqlite", timeout=60, isolation_level=None)
        self._file.execute("create table if not exists answers (key text primary key, value text)")
        self._known: dict[str, list[float]] = {}
        self.depths: dict[tuple[object, ...], float] = {}  # of moved covers, by shapes, poses and motion
        self.proving = False  # what is asked is taken for right
        self.asked = self.boxes = self.again = 0

    def pair(self, a: Local | None, b: Local | None) -> Answer:
        if a is None or b is None:
            return FAR
        if a.plain is not None and b.plain is not None:
            self.boxes += 1
            return _boxes(a, b)
        return Answer(*self._get(_key("pair", a, b), lambda: _measured(a, b)))  # type: ignore[arg-type]

    def doubted(self, a: Local | None, b: Local | None) -> Answer:
        """The same by the long way. Raises KernelFailure where the kernel contradicts itself throughout."""
        answer = self.pair(a, b)
        if answer.sure or a is None or b is None or (a.plain is not None and b.plain is not None):
            return answer
        self.again += 1
        key = _key("pair", a, b)
        self._put(key, _settled(a, b))
        return Answer(*self._known[key])  # type: ignore[arg-type]

    def share_of(self, points: list[Vec], a: Local | None, b: Local | None) -> float:
        """Share of the points (frame of the pair) that lie in both."""
        if a is None or b is None:
            return 0.0
        told = repr([tuple(round(v, 6) for v in p) for p in points])
        return self._get(_key("share" + told, a, b), lambda: [_inside_both(points, a, b)])[0]

    def reach(self, point: Vec, a: Local | None) -> float:
        """mm from the point (frame of ``a``) to the body; inf where there is none."""
        if a is None:
            return math.inf
        shape = a.build()
        found = [distance(vertex(point), solid).value for solid in solids(shape)]
        return min(found, default=math.inf)

    def _get(self, key: str, ask: Callable[[], list[float]]) -> list[float]:
        if key not in self._known:
            row = self._file.execute("select value from answers where key = ?", (key,)).fetchone()
            if row is None:
                self.asked += 1
                self._put(key, ask())
            else:
                self._known[key] = json.loads(row[0])
        return self._known[key]

    def _put(self, key: str, value: list[float]) -> None:
        self._known[key] = value
        self._file.execute("insert or replace into answers values (?, ?)", (key, json.dumps(value)))


def _key(what: str, a: Local, b: Local) -> str:
    return hashlib.sha256(f"{what}|{a.key}|{b.key}".encode()).hexdigest()


def _boxes(a: Local, b: Local) -> Answer:
    """Two boxes square to each other: what they share is a box, its smallest side the depth."""
    assert a.plain is not None
    assert b.plain is not None
    sides = share(a.plain, b.plain)
    if min(sides) <= THIN:
        return Answer(apart(a.plain, b.plain), sure=True)
    inner = [min(high - low for low, high in zip(*each, strict=True)) for each in (a.plain, b.plain)]
    return Answer(0.0, min(sides), min(sides), any(_within(s, t) for s, t in ((a, b), (b, a))) and min(sides) in inner,
                  sure=True)


def _within(a: Local, b: Local) -> bool:
    assert a.plain is not None
    assert b.plain is not None
    return all(a.plain[0][i] > b.plain[0][i] and a.plain[1][i] < b.plain[1][i] for i in range(3))


def _measured(a: Local, b: Local) -> list[float]:
    first, second = a.build(), b.build()
    if not solids(first) or not solids(second):
        return [math.inf, 0.0, 0.0, False, False]
    gap = min(distance(s, t).value for s in solids(first) for t in solids(second))
    if gap > TOUCH:
        return [gap, 0.0, 0.0, False, False]
    pieces = [piece for s in solids(first) for t in solids(second) for piece in solids(_common(s, t))]
    depth = hull = 0.0
    for piece in pieces:
        thick = 2 * volume(piece) / surface(piece)  # no convex body is thinner than that
        if thick > THIN:
            width = depth_of(piece) if thick < _SURE else None
            depth, hull = max(depth, width.value if width else thick), max(hull, width.hull if width else math.inf)
    swallowed = depth > 0 and any(_holds(s, t) for s in solids(first) for t in solids(second))
    return [0.0, depth, hull, swallowed, False]


def _holds(s: TopoDS_Shape, t: TopoDS_Shape) -> bool:
    return distance(s, t).value <= TOUCH and boundary_distance(s, t).value > TOUCH


def _common(a: TopoDS_Shape, b: TopoDS_Shape) -> TopoDS_Shape:
    return BRepAlgoAPI_Common(a, b).Shape()


def _settled(a: Local, b: Local) -> list[float]:
    first, second = a.build(), b.build()
    if not solids(first) or not solids(second):
        return [math.inf, 0.0, 0.0, False, True]
    exact, _ = settle(first, second)
    return [exact.gap, exact.depth, exact.depth if exact.exact_depth else max(exact.depth, exact.hull),
            exact.swallowed is not None, True]


def _inside_both(points: list[Vec], a: Local, b: Local) -> float:
    both = [solids(a.build()), solids(b.build())]
    hits = [all(any(_inside(solid, p) for solid in kept) for kept in both) for p in points]
    return sum(hits) / len(points)


def _inside(solid: TopoDS_Shape, point: Vec) -> bool:
    return bool(BRepClass3d_SolidClassifier(solid, gp_Pnt(*point), 1e-7).State() == TopAbs_IN)
