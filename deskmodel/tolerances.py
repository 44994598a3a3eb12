"""The few lengths that say what "touching", "the same" and "over" mean, each with its reason.

A check's own threshold stands beside the check; here is only what several of them share.
"""

from __future__ import annotations

__all__ = ["ANGLE", "COAXIAL", "FACES_APART", "FACE_SEARCH", "LENGTH", "OVERLAP"]

LENGTH = 1e-6
"""mm. Two lengths nearer than this are equal: far above float noise at 2 m, far below any workshop."""

ANGLE = 1e-9
"""Cosine or sine. Directions nearer than this are parallel or square to each other."""

OVERLAP = 0.01
"""mm. From this penetration on it is always an overlap (DEVELOPERS.md, promises of the fit engine)."""

FACES_APART = 0.01
"""mm. Faces of a joint nearer than this count as touching: the overlap threshold, so that a part set in a
gap is judged by the same length whichever side it errs to."""

FACE_SEARCH = 10.0
"""mm. Opposed faces up to this far apart are taken as meant to meet; the joint then says how far they are."""

COAXIAL = 0.1
"""mm. Axes of holes or hardware nearer than this belong together; beyond it a dowel does not enter
(common practice: drilling by jig is good to about 0.1)."""
