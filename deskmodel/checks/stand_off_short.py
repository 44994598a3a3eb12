"""The room under a board on stand-offs is too low.

Finds: stand-offs that hold a board of a published form lower than its form asks; boards whose pins, or what else hangs under
    them, come nearer than 2 mm to the plate or to screw heads on it; boards drawn without anything under them, less than
    4.5 mm above the plate.
Why it matters: pins touch metal and short the board, or pierce their insulation when it is pressed down.
How measured: heights above the plate: of each body of the data sheet, of the underside of the board at its mounting holes,
    and of hardware on the plate under it, each as the box about it.
Limits: other parts under the board are left to the gaps that the script requires. Where the sheet draws nothing under the
    board, 2.5 mm of soldered leads are taken. Voltages ask for their own distances: mains under a board needs more, see the
    maker's papers and a licensed person.
Sources: 6.35 mm under Mini-ITX and the forms with its holes: open board templates, the form's own drawing from memory; leads
    of 2.5 mm at most: IPC-A-610 (from memory); 2 mm of air: common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._cells import Cells
from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart, placed_box
from deskmodel.features import Box3, Face
from deskmodel.features._base import span
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, scale
from deskmodel.hardware import Hardware
from deskmodel.joints import JointRecord
from deskmodel.joints._mounts import mounts_of
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

AIR = 2.0
"""mm between what hangs under a board and metal (common practice)."""

LEADS = 2.5
"""mm of soldered leads where the sheet draws none (IPC-A-610, from memory)."""

FORMS = {"mini-itx": 6.35, "micro-atx": 6.35, "atx": 6.35}
"""mm under a board (open board templates; the forms' own drawings from memory)."""

_PRACTICE = "common practice"


@dataclass(frozen=True)
class _Low:
    room: float
    wanted: float
    what: str
    point: Vec
    source: str


def run(facts: Facts) -> list[Finding]:
    heads: Cells[tuple[PlacedPart, Box3]] = Cells(100.0)
    for placed in sorted(facts.model.parts, key=lambda each: each.name):
        if isinstance(placed.part, Hardware):
            box = placed_box(placed)
            heads.add(*box, (placed, box))
    found = []
    for record in sorted(facts.model.joints, key=lambda each: each.name):
        if record.kind == "stand-off mount":
            for low in _lows(facts, record, heads):
                if low.room < low.wanted - LENGTH:
                    parts = (record.a, record.b)
                    found.append(Finding(
                        "stand-off-short", "warn", parts, f"{low.what}, at {at(low.point)}", "take longer stand-offs",
                        point=low.point, measured=low.room, required=low.wanted, unit="mm", source=low.source,
                        lines=lines_of(facts, parts)))
    return found


def _lows(facts: Facts, record: JointRecord, heads: Cells[tuple[PlacedPart, Box3]]) -> Iterator[_Low]:
    board, plate = facts.model.part(record.a), facts.model.part(record.b)
    assert isinstance(board.part, Component)
    face = next(each for each in plate.joint_faces() if each.name == record.faces[1])
    try:
        seat = min(mount.seat for mount in mounts_of(board, face))
    except InputFault:
        return  # no mounting holes are left: pattern-unmet and hole-without-partner tell
    boxes = [(body, _in_face(board, body.bounds, face)) for body in board.part.bodies]
    mounted = min((box for _, box in boxes if abs(box[2][0] - seat) <= LENGTH), default=boxes[0][1],
                  key=lambda box: -(box[0][1] - box[0][0]) * (box[1][1] - box[1][0]))
    under = [box for _, box in boxes if box[2][0] < seat - LENGTH]
    middle = _point(face, mounted, seat)
    if under:
        lowest = min(under, key=lambda box: (round(box[2][0], 6), box))
        yield _Low(lowest[2][0], AIR, f"what hangs under {board.name} leaves {lowest[2][0]:.2f} mm to {plate.name}",
                   _point(face, lowest, lowest[2][0]), _PRACTICE)
    else:
        yield _Low(seat, AIR + LEADS, f"{board.name} stands {seat:.2f} mm above {plate.name}, its soldered leads not "
                   "counted", middle, f"IPC-A-610 (from memory); {_PRACTICE}")
    form = _form(board.part)
    if form is not None:
        yield _Low(seat, FORMS[form], f"{board.name}, a {form} board, stands {seat:.2f} mm above {plate.name}", middle,
                   f"{form}: open board templates; its own drawing from memory")
    yield from _over_heads(record, board, face, [box for _, box in boxes], heads)


_Spans = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]


def _over_heads(record: JointRecord, board: PlacedPart, face: Face, boxes: list[_Spans],
                heads: Cells[tuple[PlacedPart, Box3]]) -> Iterator[_Low]:
    nearest: _Low | None = None
    for piece, box in heads.near(*placed_box(board)):
        (u0, u1), (v0, v1), (w0, w1) = _in_desk(box, face)
        if piece.name in record.hardware or w1 <= LENGTH:
            continue
        for body in boxes:
            room = body[2][0] - w1
            if body[0][0] < u1 and u0 < body[0][1] and body[1][0] < v1 and v0 < body[1][1] and body[2][0] > w0:
                point = face.point((u0 + u1) / 2, (v0 + v1) / 2, -w1)
                low = _Low(room, AIR, f"{piece.name} leaves {room:.2f} mm to {board.name} above it", point, _PRACTICE)
                if nearest is None or room < nearest.room - LENGTH:
                    nearest = low
    if nearest is not None:
        yield nearest


def _in_face(placed: PlacedPart, box: Box3, face: Face) -> _Spans:
    """A box of the part's frame as spans along u, v and the normal of a face of the desk, exact at right angles."""
    corners = [placed.pose.apply((x, y, z)) for x in (box[0][0], box[1][0]) for y in (box[0][1], box[1][1])
               for z in (box[0][2], box[1][2])]
    low = (min(p[0] for p in corners), min(p[1] for p in corners), min(p[2] for p in corners))
    high = (max(p[0] for p in corners), max(p[1] for p in corners), max(p[2] for p in corners))
    return _in_desk((low, high), face)


def _in_desk(box: Box3, face: Face) -> _Spans:
    return span(box, face.u, face.origin), span(box, face.v, face.origin), span(box, face.normal, face.origin)


def _point(face: Face, spans: _Spans, height: float) -> Vec:
    (u0, u1), (v0, v1), _ = spans
    return add(face.point((u0 + u1) / 2, (v0 + v1) / 2), scale(face.normal, height))


def _form(board: Component) -> str | None:
    """The published form that its mounting holes are named for."""
    for feature in board.features:
        told = re.search(r" of ([a-z-]+)$", feature.name)
        if told and told[1] in FORMS:
            return told[1]
    return None


CHECK = Check("stand-off-short", "model", __doc__, run)
