"""A hole that the workshop has no tool for.

Finds: holes for which the workshop profile has no bit of their diameter (0.05 mm is the same) or only one that is too short,
    counterbores without a bit, countersinks without a tool of that angle (1° is the same) or only with a smaller one; one
    finding for each tool that is missing, at the hole that asks for most.
Why it matters: a hole drilled with the next size does not hold its dowel or insert; a bit that ends above the depth leaves
    the joint open, and that shows when the glue is on.
How measured: from the drilling schedule. A bit goes in by the depth and its own tip; in a dowel hole also by the bush that
    the profile has for its diameter, since it is drilled by jig; right through, its full diameter comes out at the other
    face. Where it is too short for that and long enough to meet from both faces, that is a warning.
Limits: the gap for chips between bush and wood is the jig's and not counted, nor is how far the chuck stays off. Whether the
    bit's tip, where it is longer than the designed one, comes out at the other face is not looked at. Holes that come with
    their part (laser, printer, glazier) are not drilled. Tools that the profile does not state are assumed, and what is said
    because of them is a warning.
Sources: the workshop profile, workshop.toml beside the script; where it says nothing, the defaults of the catalogue, common
    practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deskmodel.checks._base import Check, Facts, lines_of
from deskmodel.findings import Finding, Severity
from deskmodel.frames import Vec
from deskmodel.plans import DrillRow, Step, drilling_schedule
from deskmodel.workshop import Section

__all__ = ["CHECK"]

_SHOWN = 3


@dataclass(frozen=True)
class _Miss:
    """A step of a hole of one part that no tool makes; ``joint`` as of the row."""

    part: str
    joint: str
    row: DrillRow
    step: Step


def run(facts: Facts) -> list[Finding]:
    missing: dict[tuple[object, ...], list[_Miss]] = {}
    for row in drilling_schedule(facts.model).rows:
        for step in row.steps:
            if step.fault is not None:
                group = missing.setdefault((*_tool_asked_for(step), _assumed(facts, step)), [])
                group.extend(_Miss(part, joint, row, step) for part, joint in zip(row.parts, row.joints, strict=True))
    return [_finding(facts, group) for _, group in sorted(missing.items(), key=lambda each: repr(each[0]))]


def _tool_asked_for(step: Step) -> tuple[object, ...]:
    """What one tool of the shop would put right."""
    fault = "short" if step.fault == "short below bush" else step.fault
    if step.kind == "countersink":
        return step.kind, step.angle
    return step.kind, round(step.diameter, 3), fault


def _finding(facts: Facts, group: Sequence[_Miss]) -> Finding:
    worst = min(group, key=lambda miss: (-round(miss.step.needed, 6), -round(miss.row.shoulder, 6), miss.part, miss.row.face,
                                         miss.row.at))
    step, assumed = worst.step, _assumed(facts, worst.step)
    severity: Severity = "warn" if assumed or step.fault == "both faces" else "stop"
    parts = tuple(sorted({miss.part for miss in group}))
    holes = f"{len(group)} {'hole' if len(group) == 1 else 'holes'}"
    message = f"{holes} in {_names(parts)}: {_what(step)}"
    remedy = _remedy(step)
    if assumed:
        message += "; tools that workshop.toml does not state are assumed"
        remedy += "; or state yours in workshop.toml beside the script"
    source = step.tool.source if step.tool is not None else facts.model.workshop.source
    return Finding("hole-not-drillable", severity, parts, message, remedy, _mouth(facts, worst), step.has,
                   None if step.has is None else step.needed, None if step.has is None else "mm", source,
                   lines=lines_of(facts, (worst.joint, f"{worst.joint}, {worst.part}", worst.part)))


def _assumed(facts: Facts, step: Step) -> bool:
    sections: tuple[Section, ...] = ("countersink",) if step.kind == "countersink" else ("bit",)
    if step.fault == "short below bush":  # without the bush it would do
        sections = (*sections, "bush")
    return bool(set(sections) & set(facts.model.workshop.assumed))


def _what(step: Step) -> str:
    if step.kind == "countersink":
        wide = f"a countersink of {step.angle:g}°, {step.diameter:g} wide"
        return f"no tool for {wide}" if step.has is None else f"{wide}; that of the shop cuts {step.has:g}"
    if step.tool is None:
        near = "" if step.has is None else f"; the nearest is {step.has:g}"
        return f"no bit for Ø {step.diameter:g}{' of a counterbore' if step.kind == 'counterbore' else ''}{near}"
    text = f"the {step.tool.text} goes {step.has:g} mm in, {step.needed:.2f} mm are needed"
    if step.bush is not None:
        return f"{text}, {step.bush.length:g} of them for the {step.bush.text}"
    return f"{text} from one face; from both faces it does" if step.fault == "both faces" else text


def _remedy(step: Step) -> str:
    if step.kind == "countersink":
        return f"get a countersink of {step.angle:g}°, {step.needed:g} mm or wider, or another screw"
    if step.tool is None:
        return f"get a bit of {step.diameter:g} mm, or drill to a size there is"
    if step.fault == "both faces":
        return f"drill from both faces, marked out on each, or get a bit of {step.needed:.1f} mm usable length"
    shorter = ", a shorter bush" if step.bush is not None else ""
    return f"get a bit of {step.needed:.1f} mm usable length{shorter}, or drill less deep"


def _mouth(facts: Facts, miss: _Miss) -> Vec:
    return facts.model.part(miss.part).face(miss.row.face).point(*miss.row.at)


def _names(parts: Sequence[str]) -> str:
    more = len(parts) - _SHOWN
    return ", ".join(parts[:_SHOWN]) + (f" and {more} more" if more > 0 else "")


CHECK = Check("hole-not-drillable", "model", __doc__, run)
