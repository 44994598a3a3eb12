"""What people read on the terminal: a card for each finding, with a label in front of each thing it says."""

from __future__ import annotations

import os
import re
import shutil
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TextIO

from deskmodel.errors import InputFault
from deskmodel.findings import Acceptance, CheckOutcome, Finding

__all__ = ["Style", "build_fault_text", "findings_text", "input_fault_text", "made_text", "one_line", "summary_text"]

_LABEL = 12
_NAMED = 12  # findings of one card told by their parts; all of them are in the JSON
_CODES = {"stop": "31;1", "warn": "33;1", "note": "36", "accepted": "2", "label": "2", "good": "32", "title": "1"}
_ORDER = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, slots=True)
class Style:
    """Colour or not, and how wide."""

    colour: bool = False
    width: int = 100

    @staticmethod
    def of(stream: TextIO, *, wanted: bool) -> Style:
        """Colour only on a terminal that takes it; https://no-color.org is honoured."""
        terminal = stream.isatty() and os.environ.get("TERM") != "dumb"
        width = shutil.get_terminal_size((100, 24)).columns if terminal else 100
        return Style(wanted and terminal and not os.environ.get("NO_COLOR"), max(50, min(width, 120)))

    def paint(self, text: str, kind: str) -> str:
        return f"\x1b[{_CODES[kind]}m{text}\x1b[0m" if self.colour else text


def one_line(text: str) -> str:
    """A name as data: what would move the cursor or start a new line is shown, not obeyed."""
    return "".join(c if c.isprintable() else f"\\x{ord(c):02x}" if ord(c) < 256 else f"\\u{ord(c):04x}" for c in text)


def findings_text(outcomes: Sequence[CheckOutcome], style: Style) -> str:
    """All findings, those that stop the build first, accepted ones last; empty where there are none.

    Findings of one check that come from the same script lines and ask for the same, as when one number is wrong in a row
    of screws, share a card: the worst is told in full, the others by their parts.
    """
    kinds: dict[tuple[object, ...], list[Finding]] = {}
    for outcome in outcomes:
        for finding in outcome.findings:
            same = (finding.lines, finding.required) if finding.lines else (id(finding),)
            kinds.setdefault((finding.id, finding.severity, finding.accepted, *same), []).append(finding)
    groups = sorted(kinds.values(), key=lambda g: (g[0].accepted is not None, _ORDER[g[0].severity]))
    return "\n\n".join("\n".join(_card(group, style)) for group in groups)


def _card(group: Sequence[Finding], style: Style) -> Iterator[str]:
    finding = max(group, key=_badness)
    kind = "accepted" if finding.accepted is not None else finding.severity
    yield f"{style.paint(f'[{kind.upper()}]', kind)} {style.paint(finding.id, 'title')}"
    yield from _row("parts", " × ".join(one_line(part) for part in finding.parts), style)
    if finding.point is not None:
        x, y, z = finding.point
        yield from _row("where", f"x {_number(x, 1)}  y {_number(y, 1)}  z {_number(z, 1)} mm", style)
    if finding.measured is not None:
        yield from _row("measured", _quantity(finding.measured, finding.unit), style)
    if finding.required is not None:
        yield from _row("needed", _quantity(finding.required, finding.unit), style)
    yield from _row("what", one_line(finding.message), style)
    yield from _row("do", one_line(finding.remedy), style)
    if len(group) > 1:
        yield from _row("also", _others(finding, group), style)
    if finding.lines:
        yield from _row("script", ", ".join(finding.lines), style)
    if finding.source:
        yield from _row("source", one_line(finding.source), style)
    if finding.accepted is not None:
        yield from _row("accepted", one_line(finding.accepted), style)


def _others(finding: Finding, group: Sequence[Finding]) -> str:
    """The other findings by those of their parts that not all of them share, in the order in which people count."""
    shared = set.intersection(*(set(other.parts) for other in group))
    own = [" × ".join(one_line(part) for part in other.parts if part not in shared or len(shared) == len(other.parts))
           for other in group if other is not finding]
    own = sorted(dict.fromkeys(own), key=lambda name: [(part.isdigit(), int(part) if part.isdigit() else part)
                                                       for part in re.split(r"(\d+)", name)])
    more = f" and {len(own) - _NAMED} more" if len(own) > _NAMED else ""
    return f"{len(group) - 1} more from the same line, with {'; '.join(own[:_NAMED])}{more}"


def _badness(finding: Finding) -> float:
    if finding.measured is None or finding.required is None:
        return 0.0
    return abs(finding.measured - finding.required)


def _row(label: str, text: str, style: Style) -> Iterator[str]:
    if not text:
        return
    lines = textwrap.wrap(text, style.width - _LABEL - 4, break_on_hyphens=False) or [""]
    yield f"    {style.paint(f'{label:<{_LABEL}}', 'label')}{lines[0]}"
    for line in lines[1:]:
        yield " " * (4 + _LABEL) + line


def _number(value: float, decimals: int = 3) -> str:
    if value != 0.0 and abs(value) < 0.5 * 10.0**-decimals:
        return f"{value:.1e}"
    text = f"{value + 0.0:,.{decimals}f}"  # -0 is 0
    return text.rstrip("0").rstrip(".") if decimals > 1 else text


def _quantity(value: float, unit: str | None) -> str:
    return f"{_number(value)} {unit}" if unit else _number(value)


def summary_text(desk: str, revision: str, parts: int, pairs: int, outcomes: Sequence[CheckOutcome],
                 style: Style, needless: Sequence[tuple[Acceptance, str | None]] = ()) -> str:
    """What was looked at, what was not and why, and what follows. ``needless``: what is accepted and was not found, with
    its script line."""
    lines = [f"{style.paint(one_line(desk), 'title')}  revision {revision[:12]}",
             f"    {parts:,} parts, {pairs:,} pairs"]
    ran = [outcome for outcome in outcomes if outcome.outcome in ("passed", "findings")]
    lines += _row("checked", ", ".join(outcome.id for outcome in ran) or "nothing", style)
    undone: dict[tuple[str, str], list[str]] = {}
    for outcome in outcomes:
        if outcome.outcome in ("not-checked", "crashed") and not outcome.deselected:
            reason = one_line(outcome.reason or "no reason given")
            undone.setdefault((outcome.outcome.replace("-", " "), reason), []).append(outcome.id)
    for (what, reason), ids in undone.items():
        lines += _row("open" if what == "not checked" else what, f"{', '.join(ids)} {what}: {reason}", style)
    for each, line in needless:
        lines += _row("accepted", f"{one_line(each.id)} of {' × '.join(map(one_line, each.parts))}, but not found: take it "
                      f"out{f', {line}' if line else ''}", style)
    left_out = sum(outcome.deselected for outcome in outcomes)
    if left_out:
        lines += _row("left out", f"{left_out} checks, by --only", style)
    lines += _row("result", _verdict(outcomes, style), style)
    return "\n".join(lines)


def _verdict(outcomes: Sequence[CheckOutcome], style: Style) -> str:
    findings = [finding for outcome in outcomes for finding in outcome.findings]
    counts = [(sum(f.stops for f in findings), "stops the build", "stop the build"),
              (sum(f.severity == "warn" and f.accepted is None for f in findings), "warning", "warnings"),
              (sum(f.severity == "note" and f.accepted is None for f in findings), "note", "notes"),
              (sum(f.accepted is not None for f in findings), "accepted", "accepted")]
    said = [f"{count} {one if count == 1 else many}" for count, one, many in counts if count]
    open_checks = sum(o.outcome in ("not-checked", "crashed") and not o.deselected for o in outcomes)
    if open_checks:
        said.append(f"{open_checks} {'check' if open_checks == 1 else 'checks'} not done")
    if not said:
        return style.paint("nothing found", "good")
    return style.paint(", ".join(said), "stop" if counts[0][0] or open_checks else "warn")


def made_text(folder: str, files: Mapping[str, bytes], withheld: Sequence[str], unreleased: str | None,
              style: Style) -> str:
    """What was written, what was not, and whether anybody may build from it."""
    size = sum(map(len, files.values())) / 1e6
    lines = [*_row("written", f"{one_line(folder)}: {len(files)} files, {size:.1f} MB", style)]
    if withheld:
        lines += _row("withheld", f"{', '.join(withheld)}; --unreleased writes them all the same", style)
    elif unreleased is not None:
        lines += _row("unreleased", f"every file says so: {unreleased}", style)
    return "\n".join(lines)


def input_fault_text(fault: InputFault, style: Style) -> str:
    place = ":".join(str(part) for part in (fault.file, fault.line) if part is not None)
    lines = [style.paint("the input is at fault", "stop")]
    for label, text in (("where", place), ("name", fault.key or ""), ("what", fault.problem),
                        ("allowed", fault.allowed or "")):
        lines += _row(label, one_line(text), style)
    return "\n".join(lines)


def build_fault_text(problem: str, style: Style) -> str:
    return "\n".join([style.paint("deskmodel is at fault", "stop"), *_row("what", one_line(problem), style)])
