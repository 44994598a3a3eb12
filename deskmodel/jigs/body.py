"""What is printed of a jig."""

from __future__ import annotations

from deskmodel.jigs._end_body import end_body
from deskmodel.jigs._face_body import face_body
from deskmodel.jigs._types import Jig, JigBody

__all__ = ["jig_body"]


def jig_body(jig: Jig, remark: str) -> JigBody:
    """The body of a jig; ``remark``: a short text, the revision's start, engraved last where there is room for it."""
    return end_body(jig, remark) if jig.kind == "end" else face_body(jig, remark)
