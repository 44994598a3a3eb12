"""A bend does not come out as the flat assumes.

Finds: bends of plates that are sent to the cutting service, where it states how it bends: without a tool for that sheet;
    with a radius or K of the script that make a flat more than 0.1 mm longer or shorter than its own do; longer than
    its tool.
Why it matters: the flat is cut for another bend; every flange comes out too long or too short, and its holes with it.
How measured: the bend deduction with the script's radius and K against that with the radius and K of the service's tool of
    the nearest radius; the length of the bend line against its longest bend. One finding for each plate, at the worst bend.
Limits: where the service states no bends nothing is compared: the flat then rests on K from tables, and a trial bend tells.
Sources: the service profile, service.toml beside the script; bend deduction: standard sheet-metal formulas, as in
    Machinery's Handbook; 0.1 mm: ISO 2768-1, class m, up to 6 mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from deskmodel._edges import Point
from deskmodel.bends import bend_deduction
from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.checks._plates import cut_plates, undrawn
from deskmodel.findings import Finding
from deskmodel.flat import BendLine
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]

OFF = 0.1
"""mm, ISO 2768-1 class m for sizes up to 6 mm: a flat that is off by more than that is another part."""


@dataclass(frozen=True)
class _Unlike:
    measured: float | None
    required: float | None
    p: Point
    what: str
    remedy: str
    source: str


def run(facts: Facts) -> list[Finding]:
    findings = []
    if facts.model.service.states("bend"):
        for plate in cut_plates(facts.model):
            found = sorted(_unlike(plate, facts.model.service), key=lambda each: (-(each.measured or 1e9), each.p))
            if found:
                worst = found[0]
                point = plate.in_desk(worst.p)
                findings.append(Finding(
                    "bend-unlike-service", "stop", (plate.name,), f"{plate.name}: {worst.what}, at {at(point)}",
                    worst.remedy, point=point, measured=worst.measured, required=worst.required,
                    unit=None if worst.measured is None else "mm", source=worst.source,
                    lines=lines_of(facts, (plate.name,))))
    return findings


def _unlike(plate: CutPlate, service: Service) -> Iterator[_Unlike]:
    material, t = plate.sheet.material, plate.sheet.thickness
    for line in plate.sheet.bends:
        p = (line.start[0] + line.stop[0]) / 2, (line.start[1] + line.stop[1]) / 2
        tool = service.bend_of(material, t, line.radius)
        if tool is None:
            yield _Unlike(None, None, p, f"the service states no bend of {material} {t:g} mm, for {line.flange}",
                          "take a sheet that it bends, or state the bend in service.toml", service.source)
            continue
        off = abs(_deduction(line, t, line.radius, line.k) - _deduction(line, t, tool.radius, tool.k))
        if off > OFF + LENGTH:
            yield _Unlike(off, OFF, p, f"with R {tool.radius:g} and K {tool.k:g} of the service the flat of {line.flange} "
                          f"would be {off:.2f} mm off, it is drawn with R {line.radius:g} and K {line.k:g}",
                          f"state radius={tool.radius:g}, k={tool.k:g} on the flange", tool.source)
        long = ((line.stop[0] - line.start[0]) ** 2 + (line.stop[1] - line.start[1]) ** 2) ** 0.5
        if tool.longest is not None and long > tool.longest + LENGTH:
            yield _Unlike(long, tool.longest, p, f"the bend of {line.flange} is {long:.4g} long, the service bends "
                          f"{tool.longest:g}", "make the plate of two, or the flange shorter along its edge", tool.source)


def _deduction(line: BendLine, thickness: float, radius: float, k: float) -> float:
    return bend_deduction(line.angle, radius, thickness, k)


CHECK = Check("bend-unlike-service", "model", __doc__, run, undrawn)
