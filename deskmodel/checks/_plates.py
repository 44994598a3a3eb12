"""What the checks on plates for the cutting service share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from deskmodel._edges import Point
from deskmodel.checks._base import Facts, at, lines_of
from deskmodel.cutting import Work
from deskmodel.findings import Finding, Severity
from deskmodel.plans.plates import CutPlate, cut_plates, undrawn_plates
from deskmodel.service import Limit

__all__ = ["Short", "cut_plates", "middle", "plural", "short_of", "sinks_of", "undrawn", "worst_of"]


@dataclass(frozen=True)
class Short:
    """One place of a plate, ``p`` of its sheet, where ``measured`` mm is less than ``limit`` asks; ``what`` it is."""

    measured: float
    limit: Limit
    p: Point
    what: str


def worst_of(places: Iterable[Short]) -> tuple[Short, int] | None:
    """The worst place, and how many there are besides; None without any."""
    found = sorted(places, key=lambda each: (round(each.measured - each.limit.value, 6), each.p, each.what))
    return (found[0], len(found) - 1) if found else None


def sinks_of(plate: CutPlate) -> Iterator[Work]:
    """Its countersinks, on either side."""
    return (work for work in plate.sheet.works if work.kind == "countersink")


def short_of(facts: Facts, check_id: str, plate: CutPlate, places: Iterable[Short], remedy: str, *,
             guideline: bool = False) -> Iterator[Finding]:
    """One finding for each plate, at its worst place. What the service states is a fact of it and stops the build; what is
    assumed warns. ``remedy`` may say {required}. ``guideline``: nothing that a service profile can state."""
    worst = worst_of(places)
    if worst is None:
        return
    place, more = worst
    point = plate.in_desk(place.p)
    severity: Severity = "stop" if place.limit.stated else "warn"
    others = f"; so in {more} more {plural(more, 'place')}" if more else ""
    assumed = "" if place.limit.stated or guideline else "; state what your service asks in service.toml beside the script"
    yield Finding(
        check_id, severity, (plate.name,), f"{place.what} in {plate.name}: {place.measured:.2f} mm, at {at(point)}{others}",
        remedy.format(required=f"{place.limit.value:.4g}") + assumed, point=point, measured=place.measured,
        required=place.limit.value, unit="mm", source=place.limit.source, lines=lines_of(facts, (plate.name,)))


def undrawn(facts: Facts) -> list[str]:
    """What could not be looked at, and why."""
    return [f"{each.name}: {each.why}" for each in undrawn_plates(facts.model)]


def middle(p: Point, q: Point) -> Point:
    return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2


def plural(count: int, word: str) -> str:
    return word if count == 1 else f"{word}s"
