"""What one round of the watch prints: what is new in full, what went and what is still there by a line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from deskmodel.cli.text import Style, build_fault_text, findings_text, input_fault_text, one_line
from deskmodel.errors import InputFault
from deskmodel.findings import CheckOutcome, Finding

if TYPE_CHECKING:
    from deskmodel.session.run import Checked
    from deskmodel.session.watch import Round

__all__ = ["round_text"]

_LISTED = 12


def round_text(told: Round, style: Style) -> str:
    return "\n".join(_lines(told, style))


def _lines(told: Round, style: Style) -> Iterator[str]:
    if told.fault is not None:
        say = input_fault_text(told.fault, style) if isinstance(told.fault, InputFault) else build_fault_text(
            str(told.fault), style)
        yield _title(told, style)
        yield say
        if told.good is not None:
            yield f"    the desk before it still stands: revision {told.good.revision}"
        return
    assert told.good is not None
    assert told.changes is not None
    changes, good = told.changes, told.good
    new = findings_text(_as_outcomes(good, changes.new), style)
    if new:
        yield f"{new}\n"
    yield _title(told, style)
    yield from _listed("gone", changes.gone, style, "good")
    yield from _listed("still there", changes.still, style, "label")
    undone = [each for each in good.outcomes if each.outcome in ("not-checked", "crashed")]
    for each in undone:
        label = style.paint(each.outcome.replace("-", " "), "stop")
        yield f"    {label}  {each.id}: {one_line(each.reason or 'no reason given')}"
    stops = sum(finding.stops for outcome in good.outcomes for finding in outcome.findings)
    verdict = (f"{stops} {'finding stops' if stops == 1 else 'findings stop'} the build" if stops
               else "not all was checked" if undone else "nothing stops the build")
    yield f"    {style.paint(verdict, 'stop' if stops or undone else 'good')}"


def _title(told: Round, style: Style) -> str:
    name = style.paint(one_line(told.good.loaded.model.name), "title") if told.good is not None else "no desk yet"
    stages = ", ".join(f"{stage} {seconds:.2f}" for stage, seconds in told.seconds.items()
                       if stage != "all" and seconds >= 0.005)
    counts = "" if told.changes is None else (f", {len(told.changes.new)} new, {len(told.changes.gone)} gone, "
                                               f"{len(told.changes.still)} still there")
    taken = style.paint(f"{told.seconds['all']:.2f} s ({stages})", "label")
    return f"{name}  round {told.number}{counts}  {taken}"


def _listed(what: str, findings: Sequence[Finding], style: Style, kind: str) -> Iterator[str]:
    label = style.paint(what, kind)
    for finding in findings[:_LISTED]:
        accepted = ", accepted" if finding.accepted is not None else ""
        yield f"    {label}  {finding.id}  {' × '.join(map(one_line, finding.parts))}{accepted}"
    if len(findings) > _LISTED:
        yield f"    {label}  and {len(findings) - _LISTED} more"


def _as_outcomes(good: Checked, findings: Sequence[Finding]) -> list[CheckOutcome]:
    wanted = {id(finding) for finding in findings}
    return [CheckOutcome(each.id, each.outcome, tuple(f for f in each.findings if id(f) in wanted), each.reason)
            for each in good.outcomes]
