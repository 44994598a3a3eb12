"""A part lies wholly inside another one's material.

Finds: a part that touches nothing because it is buried in another part.
Why it matters: it cannot be there; usually a pocket or a bore was forgotten, or a coordinate is wrong.
How measured: a point of the inner part is tested against the other's material. A part in a hollow is not swallowed.
Limits: none known; a part that also breaks the other's surface is an overlap instead.
Sources: DEVELOPERS.md, promises of the fit engine.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import part_overlaps, unmeasured_parts
from deskmodel.findings import Finding

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    return [Finding(
        "part-swallowed", "stop", (o.a, o.b), f"{o.b} lies wholly inside {o.a} at {at(o.point)}",
        f"cut a pocket or bore for {o.b}, or move it out", point=o.point, measured=o.penetration, required=0.0, unit="mm",
        source="fit engine: containment is an overlap", lines=lines_of(facts, (o.a, o.b)), shared=(o.a, o.b))
        for o in part_overlaps(facts, "swallowed")]


CHECK = Check("part-swallowed", "fit", __doc__, run, unmeasured_parts)
