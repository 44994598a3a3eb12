"""The cut list: what the workshop cuts itself, finished and rough, with all that is cut into it and glued to it.

With the drilling schedule it is enough to make each piece: sizes, cuts and holes are all measured from the marked faces.

    rough length = finished length (between long points) + allowance, and so width and thickness: the smaller side of a
    section is planed from the thickness of a board, the larger one from a ripped width. Rough sizes are rounded up to whole
    mm. Leaves of veneer stand out over their plates all round and are trimmed; ply is sawn to size.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import Face, Hole, Stage
from deskmodel.frames import Pose
from deskmodel.joints import JointRecord
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Member, Plate
from deskmodel.plans._datums import Span, datums_of, span_from_datums
from deskmodel.plans.pieces import Piece, pieces
from deskmodel.plans.schedule import marks_of
from deskmodel.plans.works import Work, end_cuts, works_of
from deskmodel.profiles import Profile, rectangle
from deskmodel.workshop import Allowance, allowance_of

__all__ = ["STAGES", "CutList", "CutRow", "Seam", "cut_list", "stages_of"]

STAGES: tuple[str, ...] = get_args(Stage)
Size = tuple[float, float, float]
Box = tuple[Size, Size]


@dataclass(frozen=True, slots=True)
class Seam:
    """Where ``part`` is glued or dowelled to ``other``: on ``face`` (of the other on ``other_face``) the rectangle ``x``,
    ``y`` from its datums, None on a face that a cut has left. ``what``: how, as the joint tells it. ``margins``: where the
    other is a plate, by how much it stands out there beyond what is glued: left, right, front, back, seen on its top; mm."""

    part: str
    other: str
    stage: str
    kind: str
    face: str
    other_face: str
    x: Span | None
    y: Span | None
    x_from: str
    y_from: str
    what: str
    margins: tuple[float, float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class CutRow:
    """A piece. ``finished`` and ``rough``: length along the grain, width, thickness; of a member its width lies along the
    face edge and its thickness is its height. ``ends``: degrees by which the saw leans from square at the datum end and the
    far end; lengths are those between long points. ``outline``: of a plate that is no rectangle, from left and front edge.
    ``marks``: by part, where its marked faces look in the desk. ``laminated``: names of the parts each is laminated to."""

    piece: Piece
    grain: str
    finished: Size
    rough: Size
    ends: tuple[float, float]
    outline: Profile | None
    marks: dict[str, str]
    works: tuple[Work, ...]
    seams: tuple[Seam, ...]
    holes: dict[str, int]

    @property
    def quantity(self) -> int:
        return len(self.piece.alike)

    @property
    def laminated(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(seam.other for seam in self.seams if seam.stage == "laminate"))


@dataclass(frozen=True, slots=True)
class CutList:
    rows: tuple[CutRow, ...]
    allowance: Allowance

    def of(self, part: str) -> CutRow:
        """The row of a part. KeyError where it is cut elsewhere."""
        for row in self.rows:
            if part in row.piece.names:
                return row
        raise KeyError(part)


def cut_list(model: DeskModel) -> CutList:
    """Members, sawn plates and veneer; plates of metal and glass are ordered, and stand in the shopping list."""
    allowance = allowance_of(model.workshop)
    seams: dict[str, list[Seam]] = {}
    for joint in model.joints:
        for seam in _seams(model, joint):
            seams.setdefault(seam.part, []).append(seam)
    return CutList(tuple(_row(piece, allowance, seams) for piece in pieces(model) if piece.number[0] != "P"), allowance)


def stages_of(row: CutRow) -> tuple[str, ...]:
    """The stages that a piece goes through, in their order."""
    wanted = {work.stage for work in row.works} | set(row.holes) | {seam.stage for seam in row.seams} | {"crosscut"}
    if isinstance(row.piece.part, Member):
        wanted |= {"plane", "finish"}
    return tuple(stage for stage in STAGES if stage in wanted)


def _row(piece: Piece, allowance: Allowance, seams: dict[str, list[Seam]]) -> CutRow:
    part = piece.part
    holes: dict[str, int] = {}
    for feature in part.features:
        if isinstance(feature, Hole):
            holes[feature.stage] = holes.get(feature.stage, 0) + 1
    own = tuple(seam for name in piece.names for seam in seams.get(name, ()))
    marks = {placed.name: marks_of(placed.pose) for placed in piece.alike} if isinstance(part, Member) else {}
    if isinstance(part, Member):
        finished = (part.length, *part.section)
        return CutRow(piece, "along the length", finished, _rough_member(finished, allowance), end_cuts(part), None, marks,
                      works_of(part), own, holes)
    x0, y0, x1, y1 = part.outline.bounds
    finished = (x1 - x0, y1 - y0, part.thickness)
    kind = material(part.material).kind
    grain = {"veneer": "along x", "timber": "along x"}.get(kind, "either way")
    over = 2 * allowance.veneer if kind == "veneer" else 0.0
    rough = _up(finished[0] + over), _up(finished[1] + over), finished[2]
    if kind == "timber":
        rough = (_up(finished[0] + allowance.length), _up(finished[1] + allowance.width),
                 _up(finished[2] + allowance.thickness))
    outline = part.outline.moved(-x0, -y0)
    square = rectangle(finished[0], finished[1])
    plain = outline.as_circle is None and abs(outline.area - square.area) < 1e-6
    return CutRow(piece, grain, finished, rough, (0.0, 0.0), None if plain else outline, marks, works_of(part), own, holes)


def _rough_member(finished: Size, allowance: Allowance) -> Size:
    length, width, height = finished
    flat = width <= height  # the smaller side comes from the thickness of the board
    return (_up(length + allowance.length), _up(width + (allowance.thickness if flat else allowance.width)),
            _up(height + (allowance.width if flat else allowance.thickness)))


def _up(value: float) -> float:
    """To whole mm, upwards; what is whole but for noise stays."""
    return float(math.ceil(value - 1e-6))


def _seams(model: DeskModel, joint: JointRecord) -> Iterator[Seam]:
    """Seen from both parts, where they are pieces."""
    stage = _stage(model, joint)
    if stage is None:
        return
    for name, other, face, other_face in ((joint.a, joint.b, *joint.faces), (joint.b, joint.a, *joint.faces[::-1])):
        placed = model.part(name)
        if isinstance(placed.part, Member | Plate):
            x, y = _region(placed, face, joint.region)
            x_from, y_from = datums_of(placed.part, face)
            yield Seam(name, other, stage, joint.kind, face, other_face, x, y, x_from, y_from, _what(model, joint),
                       _margins(model.part(other), other_face, joint.region))


def _margins(placed: PlacedPart, face: str, region: Box) -> tuple[float, float, float, float] | None:
    if not isinstance(placed.part, Plate) or face not in ("top", "bottom"):
        return None
    x, y = _region(placed, face, region)
    if x is None or y is None:
        return None
    x0, y0, x1, y1 = placed.part.outline.bounds
    return x[0], x1 - x0 - x[1], y[0], y1 - y0 - y[1]


def _stage(model: DeskModel, joint: JointRecord) -> str | None:
    """When a joint is glued; None for one that is screwed or lies loose."""
    if joint.kind == "laminate":
        return "laminate"
    if joint.kind == "bond":
        return "finish" if "veneer" in (model.part(joint.a).role, model.part(joint.b).role) else "glue-up"
    return "glue-up" if any(_is_dowel(model.part(name)) for name in joint.hardware) else None


def _is_dowel(placed: PlacedPart) -> bool:
    return getattr(placed.part, "kind", None) == "dowel"


def _what(model: DeskModel, joint: JointRecord) -> str:
    dowels = [getattr(model.part(name).part, "designation", "") for name in joint.hardware if _is_dowel(model.part(name))]
    if dowels:
        return f"{len(dowels)} × {dowels[0]}"
    layer = f", {joint.layer:g} mm" if joint.layer else ""
    return f"{joint.glue} glue{layer}" if joint.glue else joint.text


def _region(placed: PlacedPart, face: str, region: Box) -> tuple[Span | None, Span | None]:
    part = placed.part
    assert isinstance(part, Member | Plate)
    try:
        own: Face = part.blank.face(face)
    except InputFault:
        return None, None
    back: Pose = placed.pose.inverse()
    (ua, va, _), (ub, vb, _) = (own.coordinates(back.apply(corner)) for corner in region)
    box = min(ua, ub), min(va, vb), max(ua, ub), max(va, vb)
    x, y = span_from_datums(part, own, box)
    return x, y
