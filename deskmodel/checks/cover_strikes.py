"""A cover cannot be opened.

Finds: whatever a cover, with its backing, its veneer, its screws or its hinge leaves, meets on its way up, or when it turns
    about its hinges; each obstacle once, where it is met first.
Why it matters: the bay under it cannot be reached, or the cover jams and is levered out.
How measured: the swept volume of all that leaves over the whole travel, exact for a straight lift. A turn is looked at in
    steps within which nothing can pass that is thicker than 0.02 mm and the depths of both cores.
Limits: straight lifts and turns about one pin only; a cover that tilts out past something is taken to strike it. What
    overlaps the cover before it moves is the finding of parts-overlap, and told here only where that is accepted.
Sources: DEVELOPERS.md, travel by the swept shell; deskmodel/fit/swung.py for turns.
"""

from __future__ import annotations

from deskmodel.checks._base import Check, Facts, Strike, at, lines_of
from deskmodel.checks._fit import part_overlaps
from deskmodel.findings import Finding

__all__ = ["CHECK"]

_MOVED = {"mm": "lifted", "°": "turned"}
_SPACE = {"mm": " ", "°": ""}


def run(facts: Facts) -> list[Finding]:
    travels = {lift.cover: lift.travel for lift in facts.model.lifts}
    travels |= {swing.cover: swing.angle for swing in facts.model.swings}
    told = _told_as_overlap(facts)
    first: dict[tuple[str, str], Strike] = {}  # where the plate is stopped, the backing under it does not arrive
    for strike in sorted(facts.strikes or (), key=lambda s: (s.travel, s.moving)):
        if frozenset((strike.moving, strike.part)) not in told:
            first.setdefault((strike.cover, strike.part), strike)
    return [Finding(
        "cover-strikes", "stop", (strike.cover, strike.part),
        f"{strike.moving}, {_MOVED[strike.unit]}, strikes {strike.part} after {strike.travel:.1f}{_SPACE[strike.unit]}"
        f"{strike.unit} at {at(strike.point)}",
        f"give {strike.cover} more room in its opening, or move {strike.part} aside", point=strike.point,
        measured=strike.travel, required=travels.get(strike.cover), unit=strike.unit, source="how the cover opens",
        lines=lines_of(facts, (strike.cover, strike.part))) for strike in first.values()]


def _told_as_overlap(facts: Facts) -> set[frozenset[str]]:
    """Pairs that overlap before anything moves, but for those whose overlap is accepted: it no longer stops the build,
    what it does to the cover may."""
    if facts.fit is None:
        return set()
    accepted = {frozenset(each.parts) for each in facts.model.acceptances if each.id == "parts-overlap"}
    return {frozenset((each.a, each.b)) for each in part_overlaps(facts, "overlap")} - accepted


CHECK = Check("cover-strikes", "travel", __doc__, run, lambda facts: list(facts.unlifted))
