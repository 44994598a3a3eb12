"""A plate cannot be drawn for the cutting service.

Finds: plates that would be sent and have no flat of closed contours: openings that cut them to pieces, that would let a
    piece fall out with what is on it, or that touch in nothing but a point (stop); features that are not square to the
    sheet, such as a bevel (warn).
Why it matters: what is not one piece with whole contours cannot be ordered, and nobody notices before the file is sent.
How measured: openings that meet each other or the edge are made one contour, in closed form on the flat sheet; then each
    plate must be one outline.
Limits: an outline that is open cannot be given, one that crosses itself is refused where it is made. A plate with a feature
    that is not square to the sheet gets no DXF; the order list says so by name.
Sources: geometry.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, lines_of
from deskmodel.findings import Finding, Severity
from deskmodel.plans.plates import undrawn_plates

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    findings = []
    for each in undrawn_plates(facts.model):
        severity: Severity = "warn" if each.beside else "stop"
        remedy = "make it in the own workshop, or by another service" if each.beside else "openings that leave one piece"
        findings.append(Finding("plate-not-cuttable", severity, (each.name,), f"{each.name}: {each.why}", remedy,
                                point=facts.model.part(each.name).pose.origin, source="geometry",
                                lines=lines_of(facts, (each.name,))))
    return findings


CHECK = Check("plate-not-cuttable", "model", __doc__, run)
