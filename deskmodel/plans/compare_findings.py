"""Findings of two revisions: which are new, which are gone, which are still there. Read from findings.json records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from deskmodel._numbers import told
from deskmodel.errors import InputFault
from deskmodel.plans.compare_cuts import near

__all__ = ["FindingsCompared", "Said", "compare_findings", "findings_said"]


@dataclass(frozen=True, slots=True)
class Said:
    """One finding of a record."""

    id: str
    severity: str
    parts: tuple[str, ...]
    message: str
    measured: float | None
    unit: str | None
    accepted: str | None


@dataclass(frozen=True, slots=True)
class FindingsCompared:
    """``there``: (old, new) of a finding that both have. ``unchecked``: checks that were not done for one of the desks: of
    those nothing is gone and nothing is new. ``why_not``: why nothing was compared at all."""

    gone: tuple[Said, ...] = ()
    new: tuple[Said, ...] = ()
    there: tuple[tuple[Said, Said], ...] = ()
    unchecked: tuple[str, ...] = ()
    why_not: str | None = None

    @property
    def differ(self) -> bool:
        return bool(self.gone or self.new or self.unchecked) or any(
            (a.severity, a.accepted) != (b.severity, b.accepted) or not near(a.measured, b.measured) for a, b in self.there)


def findings_said(record: Any) -> tuple[tuple[Said, ...], frozenset[str]]:
    """(findings, ids of the checks that were done) of a findings.json. InputFault where it is none."""
    try:
        if record["schema"] != 1:
            raise InputFault(f"findings of schema {told(record['schema'])}", allowed="schema 1")
        done = frozenset(check["id"] for check in record["checks"] if check["outcome"] in ("passed", "findings"))
        said = tuple(Said(_text(each["id"]), _text(each["severity"]), tuple(map(_text, each["parts"])),
                          _text(each["message"]), _number(each["measured"]),
                          None if each["unit"] is None else _text(each["unit"]),
                          None if each["accepted"] is None else _text(each["accepted"])) for each in record["findings"])
    except InputFault:
        raise
    except (KeyError, TypeError, ValueError, AttributeError) as fault:
        raise InputFault(f"not a findings.json: {type(fault).__name__} {told(str(fault))}",
                         allowed="what 'deskmodel make' writes") from None
    return said, done


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"{told(value)} is no text")
    return value


def _number(value: Any) -> float | None:
    if value is not None and (isinstance(value, bool) or not isinstance(value, int | float)):
        raise ValueError(f"{told(value)} is no number")
    return value


def compare_findings(old: Any, new: Any, renamed: Mapping[str, str]) -> FindingsCompared:
    """Of two records. A finding is the same where its id and its parts are; of several such the nearest in measure."""
    (was, done_before), (now, done_after) = findings_said(old), findings_said(new)
    both = done_before & done_after
    left = [each for each in was if each.id in both]
    right = [each for each in now if each.id in both]
    there: list[tuple[Said, Said]] = []
    gone: list[Said] = []
    for each in left:
        key = (each.id, frozenset(renamed.get(part, part) for part in each.parts))
        alike = [other for other in right if (other.id, frozenset(other.parts)) == key]
        if not alike:
            gone.append(each)
            continue
        same = min(alike, key=lambda other: _distance(each, other))
        right.remove(same)
        there.append((each, same))
    return FindingsCompared(_ordered(gone), _ordered(right), tuple(there),
                            tuple(sorted(done_before ^ done_after)))


def _distance(a: Said, b: Said) -> float:
    if a.measured is None or b.measured is None:
        return 0.0 if a.measured is b.measured else 1e9
    return abs(a.measured - b.measured)


def _ordered(said: Sequence[Said]) -> tuple[Said, ...]:
    return tuple(sorted(said, key=lambda each: (each.severity != "stop", each.severity, each.id, each.parts)))
