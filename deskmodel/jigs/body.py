"""What is printed of a jig."""

from __future__ import annotations

from deskmodel.jigs._end_body import end_body, form_of_end
from deskmodel.jigs._face_body import face_body
from deskmodel.jigs._types import Jig, JigBody

__all__ = ["jig_body", "widest_stop"]


def jig_body(jig: Jig, remark: str) -> JigBody:
    """The body of a jig; ``remark``: a short text, the revision's start, engraved last where there is room for it."""
    return end_body(jig, remark) if jig.kind == "end" else face_body(jig, remark)


def widest_stop(jig: Jig) -> float | None:
    """mm across of the stop on the bit that still comes down on the face it is set for: of an end jig with fences on both
    sides that lies in the hollow round the bush. None: any."""
    return 2 * form_of_end(jig).relief if jig.kind == "end" and jig.hand is None else None
