"""The same part stands twice in the same place.

Finds: two parts of equal shape at one place, also where one is turned about its own axis of symmetry.
Why it matters: a loop in the script ran over a place twice; the list would buy and cut one too many.
How measured: equal hashes of blank and features, and poses equal to 1e-6 mm.
Limits: two parts that differ in the last digit of a length overlap instead.
Sources: DEVELOPERS.md, promises of the fit engine.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._fit import part_overlaps, unmeasured_parts
from deskmodel.findings import Finding

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    return [Finding(
        "duplicate-part", "stop", (o.a, o.b), f"{o.a} and {o.b} are the same part in the same place, {at(o.point)}",
        "place it once, or give the second one its own place", point=o.point, measured=o.penetration, required=0.0,
        unit="mm", source="fit engine: equal shape and pose", lines=lines_of(facts, (o.a, o.b)), shared=(o.a, o.b))
        for o in part_overlaps(facts, "duplicate")]


CHECK = Check("duplicate-part", "fit", __doc__, run, unmeasured_parts)
