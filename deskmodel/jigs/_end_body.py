"""The body of an end jig: two fences, and between them the web with the bushes. Printed lying on the face-side fence.

     u ^   back, open                 a cut along the member:    fence ============================
       |  +------------------+                                  wood   ######|gap|bush|gap|
       |  |  o            o  | web                                     ######|   |====|   |   drill
       |  +------------------+                                  wood   ######|   |    |   |
       |  +==================+ fence on the face side
       +-----------------------> v
"""

from __future__ import annotations

from deskmodel.features import Prism, Removal
from deskmodel.jigs._forms import CORNER, EndForm, end_form
from deskmodel.jigs._lettering import DEEP, lines_of, short_label
from deskmodel.jigs._shapes import along_u, along_v, along_w, engraved, groove, printed, teardrop, trough
from deskmodel.jigs._stencil import Line, lines_fitting
from deskmodel.jigs._types import Jig, JigBody
from deskmodel.profiles import polygon

__all__ = ["end_body", "form_of_end"]

_EASED = 1.5  # mm taken off long edges, for fingers and for the first layer
_MARGIN = 2.5  # mm that letters stay away from edges
_BEYOND = 1.0  # mm that cuts go past the surface
_PAST = (0.43, 0.31, 0.22)  # mm that the three grooves of a corner run past it: unequal, or their edges would coincide


def form_of_end(jig: Jig) -> EndForm:
    assert jig.web is not None
    assert jig.fence is not None
    # hand R: its wood lies on the other side of the web
    fences = {"L": (jig.fence, 0.0), "R": (0.0, jig.fence), None: (jig.fence, jig.fence)}[jig.hand]
    return end_form(jig.axes, jig.seat_diameter, jig.diameter, jig.web, fences, (jig.width, jig.height), jig.wall)


def end_body(jig: Jig, remark: str) -> JigBody:
    form = form_of_end(jig)
    assert jig.web is not None
    t, web, far_u, far_v = form.thick, jig.web, form.reach_u, form.reach_v
    e = _EASED
    fences = polygon([(-t + e, -t), (far_u - e, -t), (far_u, -t + e), (far_u, 0), (0, 0), (0, far_v), (-t + e, far_v),
                      (-t, far_v - e), (-t, -t + e)])
    plate = polygon([(-t / 2, -t / 2), (far_u - e, -t / 2), (far_u, -t / 2 + e), (far_u, far_v - e), (far_u - e, far_v),
                     (-t / 2, far_v)])
    added = [along_w(fences, (form.low, form.high)), along_w(plate, (0.0, web))]
    removed: list[Removal] = []
    hollows = {"low": (-_BEYOND, jig.gap), "high": (web - jig.gap, web + _BEYOND)}
    seat = [jig.gap / 2, web - jig.gap / 2]
    if jig.hand == "L":  # plain on the drill's side, where there are no fences
        del hollows["high"]
        seat[1] = web + _BEYOND
    elif jig.hand == "R":
        del hollows["low"]
        seat[0] = -_BEYOND
    for axis in jig.axes:
        removed.append(along_w(teardrop(axis, jig.seat_diameter / 2), (seat[0], seat[1])))
        removed += [along_w(trough(axis, form.relief, far_u + _BEYOND), w) for w in hollows.values()]
    removed += _corners(form, web)
    bed, edge = _letters(jig, form, remark)
    deep = max(DEEP, 1.5 * jig.nozzle)
    removed += engraved(bed, (-t, far_v, form.high), (0.0, 0.0, -1.0), (-1.0, 0.0, 0.0), deep, jig.nozzle)
    removed += engraved(edge, (-t, -t, form.high), (0.0, 0.0, -1.0), (0.0, -1.0, 0.0), deep, jig.nozzle)
    return printed(added, removed, ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)), [*bed, *edge])


def _corners(form: EndForm, web: float) -> list[Prism]:
    """Grooves in the inner corners, on each side of the web that has fences."""
    made = []
    sides = [(low, high, at) for low, high, at in ((form.low, 0.0, 0.0), (web, form.high, web)) if high - low > 2 * CORNER]
    for low, high, at in sides:
        made.append(along_v(groove((at, 0.0), CORNER), (-_PAST[0], form.reach_v + _BEYOND)))
        made.append(along_u(groove((0.0, at), CORNER), (-_PAST[1], form.reach_u + _BEYOND)))
        w = (low - _BEYOND, high + _PAST[2]) if at == 0.0 else (low - _PAST[2], high + _BEYOND)
        made.append(along_w(groove((0.0, 0.0), CORNER), w))
    return made


def _letters(jig: Jig, form: EndForm, remark: str) -> tuple[list[Line], list[Line]]:
    """On the outside of the face-side fence (x along -w from its far end, y against v) and of the face-edge fence (y along
    u). Both are read with the member lying on its under edge or its back side, datum end to the left."""
    along = form.high - form.low
    m = _MARGIN
    bed = lines_fitting(["FACE SIDE", *lines_of(jig, remark)], (m, m, along - m, form.reach_v + form.thick - m), jig.nozzle)
    edge = lines_fitting(["FACE EDGE", short_label(jig)], (m, m, along - m, form.reach_u + form.thick - m), jig.nozzle)
    return bed, edge

