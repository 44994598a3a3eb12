"""A plate does not come out of a sheet of the cutting service.

Finds: plates whose flat is larger than every sheet of their material and thickness that the service has, its unused border
    taken off; plates of a material or thickness that it has no sheet of; brushed plates for which it has no brushed sheet,
    or none that is long enough in the direction of brushing.
Why it matters: the plate has to be made of two, or of another sheet, and everything that was drawn on it moves.
How measured: the box about the flat, as it lies and turned by a quarter, against length and width of the sheets; a brushed
    plate as its brushing runs. Where the service states no sheets, against the bed of its machine.
Limits: a plate laid askew might fit a little longer. Several plates on one sheet are not looked at.
Sources: the service profile, service.toml beside the script, whose figures stop the build; where it says nothing, sheets of
    3000 × 1500, common practice, a warning.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, lines_of
from deskmodel.checks._plates import cut_plates, undrawn
from deskmodel.findings import Finding, Severity
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    return [finding for plate in cut_plates(facts.model) if (finding := _judged(facts, plate)) is not None]


def _judged(facts: Facts, plate: CutPlate) -> Finding | None:
    service, sheet = facts.model.service, plate.sheet
    brushed = plate.plate.finish.brushed if plate.plate.finish is not None else None
    stated = service.states("sheet")
    same = service.sheets_of(sheet.material, sheet.thickness)
    fit = [each for each in same if brushed is None or each.brushed]
    what = f"{'brushed ' if brushed else ''}{sheet.material} {sheet.thickness:g} mm"
    if stated and not fit:
        there = sorted({f"{each.material} {each.thickness:g}" for each in service.sheets})
        return _finding(facts, plate, "stop", f"{plate.name}: the service has no sheet of {what}",
                        f"take one of its sheets ({', '.join(there) or 'none stated'}), or state the sheet in service.toml",
                        None, service.source)
    sizes = [(each.size, each.source) for each in fit] if stated else [(service.laser.bed, service.laser.source)]
    over = [(_over(plate, size, service, brushed), size, source) for size, source in sizes]
    least, size, source = min(over, key=lambda each: each[0][0])
    if least[0] <= LENGTH:
        return None
    severity: Severity = "stop" if stated or service.states("laser") else "warn"
    x, y = sheet.size
    return _finding(facts, plate, severity,
                    f"{plate.name} is {x:.4g} × {y:.4g} in the flat; the largest sheet of {what} is {size[0]:g} × "
                    f"{size[1]:g}, {service.laser.margin:g} of it unused all round",
                    "make it smaller, or of two plates", least[1:], source)


def _over(plate: CutPlate, size: tuple[float, float], service: Service, brushed: str | None) -> tuple[float, float, float]:
    """(mm by which it sticks out of a sheet the better way round, its length there, the sheet's)."""
    x, y = plate.sheet.size
    length, width = (side - 2 * service.laser.margin for side in size)
    ways = []
    for along, across, way in ((x, y, "x"), (y, x, "y")):
        if brushed in (None, way):
            ways.append((along - length, along, length) if along - length > across - width
                        else (across - width, across, width))
    return min(ways)


def _finding(facts: Facts, plate: CutPlate, severity: Severity, message: str, remedy: str,
             figures: tuple[float, float] | None, source: str) -> Finding:
    x, y = plate.sheet.size
    measured, required = figures or (None, None)
    return Finding("plate-larger-than-sheet", severity, (plate.name,), message, remedy, point=plate.in_desk((x / 2, y / 2)),
                   measured=measured, required=required, unit=None if measured is None else "mm", source=source,
                   lines=lines_of(facts, (plate.name,)))


CHECK = Check("plate-larger-than-sheet", "model", __doc__, run, undrawn)
