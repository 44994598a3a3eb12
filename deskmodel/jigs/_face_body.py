"""The body of a face jig: a T that lies on the drilled face, with a lip over the edge beside it. Printed on its drill side.

        lip over the edge                      a cut through a bush:    stop
      +---------------------+                               +--+ |  | +--+   w = above
      |        bar          |                               |  | |  | |  |
      +-----+         +-----+                               |  +-+  +-+  |   shoulder under the bush
    mark -> |    o    | <- sight edges                      +---+    +---+
            |  stem   |                                         |    |       way out for chips
            |    o    |                                  #####################  wood
            +---------+
"""

from __future__ import annotations

from deskmodel.features import Removal, Revolve
from deskmodel.frames import Pose
from deskmodel.jigs._forms import CORNER, FaceForm, face_form
from deskmodel.jigs._lettering import DEEP, lines_of, short_label
from deskmodel.jigs._shapes import along_u, along_w, box, engraved, groove, printed
from deskmodel.jigs._stencil import Line, lines_fitting
from deskmodel.jigs._tools import STEEP, gap_of, shoulder_opening
from deskmodel.jigs._types import Jig, JigBody
from deskmodel.profiles import polygon

__all__ = ["face_body", "form_of_face"]

_EASED = 1.5
_LEAD = 0.8  # mm of chamfer where a bush goes in
_MARGIN = 2.5
_BEYOND = 1.0
_FAR = 25.0  # mm from a bush to the way out, from which on it gets one of its own


def form_of_face(jig: Jig) -> FaceForm:
    assert jig.far_sight is not None
    assert jig.lip_depth is not None
    assert jig.span is not None
    return face_form(jig.axes, jig.seat_diameter, shoulder_opening(jig.bush), jig.diameter, jig.above, jig.far_sight,
                     jig.hand, jig.height, jig.lip_depth, jig.wall, jig.span)


def face_body(jig: Jig, remark: str) -> JigBody:
    form = form_of_face(jig)
    assert jig.lip_depth is not None
    t, e, above = form.thick, _EASED, jig.above
    left, right, low, high = form.left, form.right, form.low, form.high
    plan = polygon([(low, -t + e), (low + e, -t), (high - e, -t), (high, -t + e), (high, form.bar - e), (high - e, form.bar),
                    (right + e, form.bar), (right, form.bar + e), (right, form.reach - e), (right - e, form.reach),
                    (left + e, form.reach), (left, form.reach - e), (left, form.bar + e),
                    (left - e, form.bar), (low + e, form.bar), (low, form.bar - e)])
    lip = polygon([(-t, -jig.lip_depth + e), (-t + e, -jig.lip_depth), (-e, -jig.lip_depth), (0.0, -jig.lip_depth + e),
                   (0.0, above / 2), (-t, above / 2)])
    added = [along_w(plan, (0.0, above)), along_u(lip, (low + e, high - e))]
    removed: list[Removal] = [_seat(jig, axis) for axis in jig.axes]
    slot = gap_of(jig.diameter)
    for u in sorted({u for u, _ in jig.axes}):
        first = min(v for at, v in jig.axes if at == u)
        removed.append(box((u - form.slot, u + form.slot), (first - form.slot, form.reach + _BEYOND), (-_BEYOND, slot)))
    half = jig.diameter / 2
    removed += [box((left - _BEYOND, right + _BEYOND), (v - half, v + half), (-_BEYOND, slot))
                for v in sorted({v for _, v in jig.axes}) if form.reach - v > _FAR and v + half > form.bar]
    removed += [box((u0 - (_BEYOND if u0 == left else 0.0), u1 + (_BEYOND if u1 == right else 0.0)), (v0, v1),
                    (-_BEYOND, above + _BEYOND)) for u0, u1, v0, v1 in form.notches]
    removed.append(along_u(groove((0.0, 0.0), CORNER), (low - _BEYOND, high + _BEYOND)))
    edge, bed = _letters(jig, form, remark)
    deep = max(DEEP, 1.5 * jig.nozzle)
    removed += engraved(edge, (high, -t, above), (-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), deep, jig.nozzle)
    removed += engraved(bed, (high, form.bar, above), (-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), deep, jig.nozzle)
    return printed(added, removed, ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)), [*edge, *bed])


def _seat(jig: Jig, axis: tuple[float, float]) -> Revolve:
    """The seat from the drill side on: chamfer, cylinder, a shoulder that prints without support, and below it the
    opening. (r, depth from the drill side.)"""
    r, hole, length = jig.seat_diameter / 2, shoulder_opening(jig.bush) / 2, jig.bush.length
    bottom = jig.above - gap_of(jig.diameter) / 2  # within the way out for chips
    half = ((0.0, -_BEYOND), (r + _LEAD, -_BEYOND), (r + _LEAD, 0.0), (r, STEEP * _LEAD), (r, length),
            (hole, length + STEEP * (r - hole)),
            (hole, bottom), (0.0, bottom))
    down = Pose(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)), (axis[0], axis[1], jig.above))
    return Revolve(half, down)


def _letters(jig: Jig, form: FaceForm, remark: str) -> tuple[list[Line], list[Line]]:
    """On the outside of the lip (x along -u from its far end, y from the drill side to the lip's tip) and on the left wing
    of the drill side (y against v)."""
    assert jig.lip is not None
    assert jig.lip_depth is not None
    m, span, deep = _MARGIN, form.high - form.low, jig.above + jig.lip_depth
    name, *rest = lines_of(jig, "")
    depths = [" ".join(rest[i : i + 2]) for i in range(0, len(rest), 2)]
    place = (m, m, span - m, deep - m)
    edge = lines_fitting([jig.lip.upper(), f"{name} {remark}".rstrip(), *depths], place, jig.nozzle)
    if len(edge) < 2 + len(depths):  # the remark comes last and may be left out
        edge = lines_fitting([jig.lip.upper(), name, *depths, *([remark] if remark else [])], place, jig.nozzle)
    wing = form.low - form.left  # negative: from the right end of the text's plane
    bed = lines_fitting([short_label(jig)], (m, m, -wing - m, form.bar + form.thick - m), jig.nozzle)
    return edge, bed
