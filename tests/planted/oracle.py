"""What the exact kernel says of an edited desk: the expectation that owes nothing to the tool's engine or checks."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from deskmodel.features import Box3
from deskmodel.fit.problem import Body, DesignedContact, FitProblem
from deskmodel.frames import Pose, Vec
from deskmodel.joints import JointRecord
from deskmodel.model import DeskModel
from deskmodel.solids.part_shape import PartShape
from tests.oracle.assembly import judged, required_gaps
from tests.planted.answers import Answer, Answers
from tests.planted.closed_forms import bays, envelope, holes, loose_parts, placed_boxes, stand_off_seat, tipping_covers
from tests.planted.expected import CLEAR, Expected
from tests.planted.lifting import strikes, turns
from tests.planted.local import Local, Ring, box_about, grown, local, meet, share

__all__ = ["Oracle"]

ROUND = 1.0  # mm about what two boxes share that are taken along
FACES = 12.0  # mm; opposed faces of a joint are looked for up to 10 apart
METAL = {"metal", "equipment"}


class Oracle:
    """Keeps the kernel's answers between edits: most of a desk is as it was."""

    def __init__(self, answers: Answers) -> None:
        self.answers = answers
        self._proving = False
        self._known: dict[tuple[object, ...], Answer] = {}
        self._shares: dict[tuple[object, ...], float] = {}

    def prove(self, model: DeskModel, problem: FitProblem, keep_outs: Mapping[str, int]) -> None:
        """Take a desk's pairs as they stand for right: one of which the kernel has been asked elsewhere."""
        self._proving = self.answers.proving = True
        self.expected(model, problem, keep_outs)
        self._proving = self.answers.proving = False

    def expected(self, model: DeskModel, problem: FitProblem, keep_outs: Mapping[str, int],
                 doubted: frozenset[frozenset[str]] = frozenset()) -> Expected:
        """``doubted``: pairs that the kernel is to be asked about by the long way. Raises KernelFailure where it
        contradicts itself."""
        expected = Expected()
        seen = _Seen(problem)
        for a, b in seen.near():
            pair = frozenset((a.name, b.name))
            _overlap(expected, model, keep_outs, pair, self._pair(seen, a, b, ROUND, None, pair in doubted))
        for pair, wanted in required_gaps(problem).items():
            a, b = (seen.bodies[name] for name in sorted(pair))
            found = self._pair(seen, a, b, wanted + ROUND, None, pair in doubted)
            if found.depth > 0:  # told once, as the overlap
                expected.may.add(("gap-too-small", pair))
            else:
                expected.add("gap-too-small", pair, wanted - found.gap)
        for joint in model.joints:
            self._faces(expected, model, seen, joint)
        for contact in problem.contacts:
            self._press_fit(expected, seen, contact)
        boxes = placed_boxes(model)
        envelope(expected, model, boxes)
        holes(expected, model)
        bays(expected, model, boxes)
        strikes(expected, model, seen.bodies, self.answers)
        turns(expected, model, seen.bodies, self.answers)
        expected.must |= {("unfastened-part", frozenset((name,))) for name in (*loose_parts(model), *tipping_covers(model))}
        return expected

    def away(self, problem: FitProblem, parts: Sequence[str], point: Vec) -> float:
        """mm from the point to the farther of the bodies; inf beyond 15."""
        bodies = {body.name: body for body in problem.bodies}
        here = Pose(origin=point)
        room = grown((point, point), 15.0)
        return max((self.answers.reach((0.0, 0.0, 0.0), local(_shape(bodies[name]), bodies[name].pose, room, here))
                    for name in parts if name in bodies), default=0.0)

    def _pair(self, seen: _Seen, a: Body, b: Body, reach: float, room: Box3 | None = None, doubted: bool = False,
              right: float = math.inf) -> Answer:
        """The pair's answer; what stands as it stood before an edit is not even cut down again. ``right``: the gap of a
        pair that is taken for right."""
        key = (_shape(a).key, a.pose, _shape(b).key, b.pose, seen.rings(a, b), seen.rings(b, a), reach, room)
        if self._proving:
            self._known[key] = Answer(right)
        if key not in self._known or doubted:
            ask = self.answers.doubted if doubted else self.answers.pair
            self._known[key] = ask(*seen.locals(a, b, reach, room))
        return self._known[key]

    def _faces(self, expected: Expected, model: DeskModel, seen: _Seen, joint: JointRecord) -> None:
        """The distance of the two parts where they face each other, less the layer that the joint wants."""
        pair = frozenset((joint.a, joint.b))
        if joint.kind == "stand-off mount":
            off = abs(stand_off_seat(model.part(joint.a), model.part(joint.b)) - joint.layer)
            expected.add("joint-faces-apart", pair, off)
            return
        a, b = seen.bodies[joint.a], seen.bodies[joint.b]
        answer = self._pair(seen, a, b, FACES, _facing_room(joint.region), right=joint.layer)
        several = any(model.part(name).role == "component" for name in pair)
        if several and answer.gap < joint.layer + CLEAR:
            # another body of the equipment may be the nearer one, or sit in the wood, while the faces meet
            expected.may.add(("joint-faces-apart", pair))
        elif answer.depth > 0:
            expected.add("joint-faces-apart", pair, answer.depth + joint.layer)
        elif answer.gap == math.inf:
            expected.must.add(("joint-faces-apart", pair))
        else:
            expected.add("joint-faces-apart", pair, abs(answer.gap - joint.layer))

    def _press_fit(self, expected: Expected, seen: _Seen, contact: DesignedContact) -> None:
        """Points half way through the ring must lie in both; about half of them may decide either way."""
        male, female = seen.bodies[contact.male], seen.bodies[contact.female]
        radius = (contact.inner + contact.outer) / 2
        points = [contact.axis.apply((radius * math.cos(turn), radius * math.sin(turn), z))
                  for turn in (0.2 + i * math.pi / 4 for i in range(8))
                  for z in (contact.start + (k + 0.5) / 4 * (contact.end - contact.start) for k in range(4))]
        room = meet(grown(seen.box(male), ROUND), grown(seen.box(female), ROUND))
        pair = frozenset((contact.male, contact.female))
        if room is None:
            expected.must.add(("press-fit-missing", pair))
            return
        key = (_shape(male).key, male.pose, _shape(female).key, female.pose, tuple(points))
        if self._proving:
            self._shares[key] = 1.0
        if key not in self._shares:
            parts = (local(_shape(each), each.pose, room, male.pose) for each in (male, female))
            self._shares[key] = self.answers.share_of(points, *parts)
        part_of = self._shares[key]
        if part_of < 0.4:
            expected.must.add(("press-fit-missing", pair))
        elif part_of < 0.6:
            expected.may.add(("press-fit-missing", pair))


def _overlap(expected: Expected, model: DeskModel, keep_outs: Mapping[str, int], pair: frozenset[str],
             found: Answer) -> None:
    if found.depth <= 0:
        return
    rooms = [model.keep_outs[keep_outs[name]] for name in sorted(pair) if name in keep_outs]
    if not rooms:
        expected.add("overlap", pair, found.depth, found.hull)
        return
    parts = [name for name in pair if name not in keep_outs]
    if any(room.keep_out.kind == "no-metal" for room in rooms):
        kinds = {each.name: each.kind for each in model.materials}
        if any(kinds.get(model.part(name).part.material, "metal") not in METAL for name in parts):
            return
    owners = [room.owner for room in rooms if room.owner is not None]
    expected.add("keep-out-invaded", frozenset((*owners, *parts)), found.depth, found.hull)


def _facing_room(region: Box3) -> Box3:
    """A little less than the faces that meet, and to both sides of them."""
    sides = [high - low for low, high in zip(*region, strict=True)]
    across = min(range(3), key=lambda i: sides[i])
    low, high = list(region[0]), list(region[1])
    for i in range(3):
        by = FACES if i == across else -min(0.05, sides[i] / 4)
        low[i], high[i] = low[i] - by, high[i] + by
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


class _Seen:
    """A problem's bodies with their boxes, and the stretches of them that pairs are about."""

    def __init__(self, problem: FitProblem) -> None:
        self.problem = problem
        self.bodies = {body.name: body for body in problem.bodies}
        self._boxes = {body.name: box_about(_shape(body).blank.bounds, body.pose) for body in problem.bodies}
        self._rings: dict[tuple[str, str], tuple[Ring, ...]] = {}
        for c in problem.contacts:
            ring = (c.axis, c.inner, c.outer, c.start, c.end)
            self._rings[c.male, c.female] = (*self._rings.get((c.male, c.female), ()), ring)

    def box(self, body: Body) -> Box3:
        return self._boxes[body.name]

    def near(self) -> list[tuple[Body, Body]]:
        """Pairs to be judged whose boxes share room."""
        boxes = np.array([self._boxes[body.name] for body in self.problem.bodies])
        low, high = boxes[:, 0], boxes[:, 1]
        shared = (np.minimum(high[:, None], high[None]) - np.maximum(low[:, None], low[None])).min(axis=2) > 1e-6
        bodies = self.problem.bodies
        pairs = ((bodies[i], bodies[j]) for i, j in zip(*np.nonzero(np.triu(shared, 1)), strict=True))
        return [(a, b) for a, b in pairs if judged(a, b)]

    def locals(self, a: Body, b: Body, reach: float, room: Box3 | None = None) -> tuple[Local | None, Local | None]:
        """Both where they may come within ``reach`` of each other (and in ``room``), in the frame of the smaller one."""
        near = meet(grown(self.box(a), reach), grown(self.box(b), reach))
        if near is not None and room is not None:
            near = meet(near, room)
        if near is None:
            return None, None
        anchor = min((a, b), key=lambda body: (_size(self.box(body)), body.name)).pose
        return (local(_shape(a), a.pose, near, anchor, self.rings(a, b)),
                local(_shape(b), b.pose, near, anchor, self.rings(b, a)))

    def rings(self, male: Body, female: Body) -> tuple[Ring, ...]:
        return self._rings.get((male.name, female.name), ())


def _size(box: Box3) -> float:
    return round(math.prod(share(box, box)), 3)


def _shape(body: Body) -> PartShape:
    inner = getattr(body.shape, "shape", body.shape)
    assert isinstance(inner, PartShape)
    return inner
