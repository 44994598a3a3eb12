"""What the exact kernel says of an edited desk: the expectation that owes nothing to the tool's engine or checks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.TopoDS import TopoDS_Shape

from deskmodel.fit.problem import Body, DesignedContact, FitProblem
from deskmodel.frames import Pose, Vec
from deskmodel.model import DeskModel
from deskmodel.solids.build import build_solid
from tests.oracle.assembly import KernelReport, candidate_pairs
from tests.oracle.distance import distance
from tests.oracle.occ import box, box_of, compound, cut, moved, revolved, solids, vertex
from tests.oracle.pair import Exact, measure

__all__ = ["Expected", "Kernel"]

REACH = 12.0  # mm; more than any gap that the desk requires
FAR = Exact(REACH, (0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
CLEAR = 0.01  # mm: the band in which either answer is right


@dataclass
class Expected:
    """``must`` have a finding, ``may`` have one; anything else is a false finding. By check id and set of parts."""

    must: set[tuple[str, frozenset[str]]] = field(default_factory=set)
    may: set[tuple[str, frozenset[str]]] = field(default_factory=set)

    def add(self, check: str, parts: frozenset[str], excess: float) -> None:
        """``excess`` mm over the threshold: must from 0.01 on, may in between."""
        if excess >= CLEAR:
            self.must.add((check, parts))
        elif excess > 1e-6:
            self.may.add((check, parts))


class Kernel:
    """Keeps shapes and pair results between edits: most of a desk is as it was.

    ``proven``: a desk whose every pair the kernel has been asked about elsewhere and that has no finding; its pairs are
    not asked about again.
    """

    def __init__(self, proven: FitProblem | None = None) -> None:
        self._shapes: dict[str, TopoDS_Shape] = {}
        self._pairs: dict[tuple[object, ...], Exact] = {}
        self._proven: set[tuple[object, ...]] = set()
        self.asked = 0
        if proven is not None:
            contacts = {(c.male, c.female): c for c in proven.contacts}
            pairs = candidate_pairs(proven, KernelReport(), self._shape)
            self._proven = {_key(a, b, contacts) for a, b, _, _ in pairs}

    def expected(self, model: DeskModel, problem: FitProblem, keep_outs: dict[str, int]) -> Expected:
        """Raises KernelFailure where the kernel contradicts itself."""
        expected = Expected()
        contacts = {(c.male, c.female): c for c in problem.contacts}
        exact: dict[frozenset[str], Exact] = {}
        report = KernelReport()
        bodies = {body.name: body for body in problem.bodies}
        wanted = {frozenset((g.a, g.b)): g.minimum for g in problem.gaps}
        layers = {frozenset((j.a, j.b)): j for j in model.joints}
        for a, b, first, second in candidate_pairs(problem, report, self._shape):
            if _key(a, b, contacts) not in self._proven:
                exact[frozenset((a.name, b.name))] = self._measure(a, b, first, second, contacts)
        for pair, found in exact.items():
            self._overlap(expected, model, keep_outs, pair, found)
            if pair in wanted:
                expected.add("gap-too-small", pair, wanted[pair] - found.gap)
        for pair, joint in layers.items():
            names = sorted(pair)
            a, b = sorted((bodies[name] for name in names), key=problem.bodies.index)
            if _key(a, b, contacts) in self._proven:
                continue
            found = exact.get(pair) or self._measure(a, b, moved(self._shape(a.shape), a.pose),
                                                     moved(self._shape(b.shape), b.pose), contacts)
            off = found.depth if found.depth > 0 else abs(found.gap - joint.layer)
            expected.add("joint-faces-apart", pair, off)
        if model.envelope is not None:
            for part in model.parts:
                body = bodies[part.name]
                low, high = box_of(moved(self._shape(body.shape), body.pose))
                out = max(max(-low[i], high[i] - model.envelope[i]) for i in range(3))
                expected.add("outside-envelope", frozenset((part.name,)), out)
        return expected

    def away(self, problem: FitProblem, parts: tuple[str, ...], point: Vec) -> float:
        """mm from the point to the farther of the parts; a gap is pointed at from the nearer one, so it counts less."""
        gaps = {frozenset((gap.a, gap.b)): gap.minimum for gap in problem.gaps}
        bodies = [body for body in problem.bodies if body.name in parts]
        shapes = [moved(self._shape(body.shape), body.pose) for body in bodies]
        return max(distance(vertex(point), shape).value for shape in shapes) - gaps.get(frozenset(parts), 0.0)

    def _overlap(self, expected: Expected, model: DeskModel, keep_outs: dict[str, int], pair: frozenset[str],
                 found: Exact) -> None:
        depth = max(found.depth, found.hull) if not found.exact_depth else found.depth
        if found.swallowed:
            depth = max(depth, 1.0)
        rooms = [name for name in sorted(pair) if name in keep_outs]
        if not rooms:
            check = "part-swallowed" if found.swallowed else "parts-overlap"
            expected.add(check, pair, depth)
            return
        parts = {model.keep_outs[keep_outs[name]].owner if name in keep_outs else name for name in pair} - {None}
        expected.add("keep-out-invaded", frozenset(str(name) for name in parts), depth)

    def _shape(self, shape: object) -> TopoDS_Shape:
        key = shape.key  # type: ignore[attr-defined]  # a BodyShape
        if key not in self._shapes:
            inner = getattr(shape, "shape", shape)
            self._shapes[key] = build_solid(inner.blank, inner.removals, inner.label)
        return self._shapes[key]

    def _measure(self, a: Body, b: Body, first: TopoDS_Shape, second: TopoDS_Shape,
                 contacts: dict[tuple[str, str], DesignedContact]) -> Exact:
        key, contact = _key(a, b, contacts), _contact(a, b, contacts)
        if key not in self._pairs:
            self.asked += 1
            if contact is not None:
                ring = revolved(((contact.inner, contact.start), (contact.outer + 1, contact.start),
                                 (contact.outer + 1, contact.end), (contact.inner, contact.end)))
                male = a if contact.male == a.name else b
                relieved = cut(first if male is a else second, [moved(ring, male.pose @ contact.axis)])
                first, second = (relieved, second) if male is a else (first, relieved)
            near_first, near_second = _near(first, second), _near(second, first)
            self._pairs[key] = FAR if near_first is None or near_second is None else measure(near_first, near_second)
        return self._pairs[key]


def _near(shape: TopoDS_Shape, other: TopoDS_Shape) -> TopoDS_Shape | None:
    """The stretch of a long shape within ``REACH`` of the other's box (a plate with two hundred holes makes the kernel
    slow); None where there is none. Within that reach distances and common bodies are those of the whole."""
    low, high = (tuple(v + sign * REACH for v in corner) for sign, corner in zip((-1, 1), box_of(other), strict=True))
    own_low, own_high = box_of(shape)
    size = [high[i] - low[i] for i in range(3)]
    if max((own_high[i] - own_low[i]) / size[i] for i in range(3)) < 2:
        return shape
    operation = BRepAlgoAPI_Common(shape, box((low[0], low[1], low[2]), (size[0], size[1], size[2])))
    pieces = solids(operation.Shape())
    return compound(pieces) if pieces else None


def _contact(a: Body, b: Body, contacts: Mapping[tuple[str, str], DesignedContact]) -> DesignedContact | None:
    return contacts.get((a.name, b.name)) or contacts.get((b.name, a.name))


def _key(a: Body, b: Body, contacts: Mapping[tuple[str, str], DesignedContact]) -> tuple[object, ...]:
    """Equal for pairs of equal shapes, relative pose and designed contact."""
    contact = _contact(a, b, contacts)
    ring = None if contact is None else (contact.male == a.name, contact.inner, contact.outer, contact.start, contact.end)
    return a.shape.key, b.shape.key, _rounded(a.pose.inverse() @ b.pose), ring


def _rounded(pose: Pose) -> tuple[Vec, ...]:
    def six(v: Vec) -> Vec:
        return (round(v[0], 7) + 0.0, round(v[1], 7) + 0.0, round(v[2], 7) + 0.0)

    return (*(six(row) for row in pose.rotation), six(pose.origin))
