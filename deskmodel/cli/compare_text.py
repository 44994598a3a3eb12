"""A comparison as people read it on the terminal: first what is spoilt and what can be saved, then what was changed."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, TypeVar

from deskmodel.cli.compare_words import (
    blocker_told,
    change_told,
    cut_change_told,
    cut_told,
    further_told,
    shift_told,
)
from deskmodel.cli.text import Style, one_line
from deskmodel.plans.compare import Comparison
from deskmodel.plans.compare_cost import CostCompared, CostSide
from deskmodel.plans.compare_cuts import CutChange
from deskmodel.plans.compare_findings import Said
from deskmodel.plans.compare_parts import PartChange
from deskmodel.plans.compare_recut import Recut
from deskmodel.plans.compare_rest import Named

__all__ = ["comparison_text"]

_NAMED = 12  # names in a row; the JSON has all of them
_LABEL = 12
_KIND = {"wrong": ("WRONG", "stop"), "recut": ("CUT AGAIN", "warn"), "print again": ("PRINT AGAIN", "warn"),
         "not known": ("NOT KNOWN", "warn"), "good": ("STILL GOOD", "good")}

T = TypeVar("T")


def comparison_text(made: Comparison, style: Style) -> str:
    sections = [list(part) for part in (
        _head(made, style), _pieces(made, style), _parts(made, style), _changed(made, style), _moved(made, style),
        _list("joints", made.joints, style), _hardware(made, style), _list("bays", made.bays, style),
        _list("asked for", made.demands, style), _findings(made, style), _end(made, style))]
    return "\n\n".join("\n".join(lines) for lines in sections if lines)


def _head(made: Comparison, style: Style) -> Iterator[str]:
    for label, side, revision in (("old", made.old, made.revisions[0]), ("new", made.new, made.revisions[1])):
        name = style.paint(one_line(side.model.name), "title")
        yield f"{style.paint(label.ljust(5), 'label')}{one_line(side.source)}: {name}  " \
              f"revision {revision or 'not known, custom shapes were not made'}"
    if made.equal:
        yield f"     {style.paint('equal', 'good')}"
    elif made.written_differently:
        yield from _row("", "the same desk, written differently: names of cuts, the origin of a part, or what follows from "
                        "them", style)


# ---- what becomes of pieces already made

def _pieces(made: Comparison, style: Style) -> Iterator[str]:
    verdicts = [(each.name, each.role, each.recut) for each in made.parts.changed if each.recut is not None]
    if not verdicts and not made.parts.serves:
        return
    wrong = [verdict for _, _, verdict in verdicts if verdict.outcome != "good"]
    saved = sum(verdict.outcome == "recut" for verdict in wrong)
    yield f"{style.paint('already made', 'title')}  " + (
        f"{_count(len(wrong), 'piece is', 'pieces are')} wrong now, {saved} of them can be saved by another cut"
        if wrong else "nothing is wrong now")
    for outcome in ("wrong", "not known", "print again", "recut", "good"):
        told: dict[tuple[str, ...], list[str]] = {}
        for name, role, verdict in verdicts:
            if verdict.outcome == outcome:
                told.setdefault(tuple(_verdict(verdict, role)), []).append(name)
        for texts, names in told.items():
            word, paint = _KIND[outcome]
            yield from _tagged(word, paint, _names(names), style)
            for text in texts:
                yield from _row("", text, style, indent=8)
    for each in made.parts.serves:
        word = "as it is" if each.recut.outcome == "good" else "cut again"
        yield from _tagged("SERVES", "good", f"{one_line(each.piece)}, no longer wanted, {word} for {one_line(each.part)}",
                           style)
        for text in _verdict(each.recut, "") if each.recut.cuts else ():
            yield from _row("", text, style, indent=8)


def _verdict(made: Recut, role: str) -> Iterator[str]:
    laid = "" if made.laid == "as it was" else f"{made.laid}: "
    if made.outcome == "wrong":
        whys = [blocker_told(each, role) for each in made.blockers]
        more = f"; and {len(whys) - 4} more" if len(whys) > 4 else ""
        yield laid + "; ".join(whys[:4]) + more
        if made.good_before is not None:
            yield f"still good as long as the step {made.good_before!r} is not done"
    elif made.outcome == "recut":
        cuts = [further_told(each) for each in made.cuts]
        more = f"; and {len(cuts) - 6} more" if len(cuts) > 6 else ""
        yield laid + "; ".join(cuts[:6]) + more
    elif made.reason is not None:
        yield laid + made.reason
    elif laid:
        yield laid.rstrip(": ")


# ---- parts

def _parts(made: Comparison, style: Style) -> Iterator[str]:
    parts = made.parts
    if not (parts.added or parts.removed or parts.renamed):
        return
    yield style.paint("parts", "title")
    for label, group in (("added", parts.added), ("removed", parts.removed)):
        if group:
            yield from _row(label, _names([name for name, _ in group], len(group)), style)
    for old, new in parts.renamed:
        yield from _row("renamed", f"{one_line(old)} → {one_line(new)}", style)


def _changed(made: Comparison, style: Style) -> Iterator[str]:
    changed = [each for each in made.parts.changed if each.shape_changed]
    if not changed and not made.parts.unresolved:
        return
    yield style.paint("changed", "title")
    for lines, group in _alike(changed, lambda each: tuple(_part_lines(each))):
        yield from _row("", _names([each.name for each in group]), style)
        for line in lines:
            yield from _row("", line, style, indent=8)
    if made.parts.unresolved:
        yield from _row("", f"not compared: the shape of {_names(made.parts.unresolved)}, whose code was not run; --check "
                        "runs it", style)


def _part_lines(change: PartChange) -> Iterator[str]:
    for each in change.properties:
        yield change_told(each)
    for (_, _, text), group in _alike(change.cuts, _cut_key):
        yield f"{_cuts_counted(group)}: {text}{_which(group)}"


def _cut_key(change: CutChange) -> tuple[str, str, str]:
    cut = change.new or change.old
    assert cut is not None
    return cut.kind, cut.face, cut_change_told(change)


def _cuts_counted(group: Sequence[CutChange]) -> str:
    cut = group[0].new or group[0].old
    assert cut is not None
    if len(group) == 1:
        return cut_told(cut)
    return f"{len(group)} {cut.kind}s, {one_line(cut.face)}"


def _which(group: Sequence[CutChange]) -> str:
    if len(group) == 1:
        return ""
    names = [cut.name for change in group if (cut := change.new or change.old) is not None]
    return f" ({_names(names)})"


def _moved(made: Comparison, style: Style) -> Iterator[str]:
    moved = [each for each in made.parts.changed if each.moved is not None]
    if not moved:
        return
    yield f"{style.paint('stand elsewhere', 'title')}  x to the right, y to the back, z up; a piece is not wrong for that"
    for text, group in _alike(moved, lambda each: shift_told(each.moved)):
        yield from _row("", f"{text}: {_names([each.name for each in group])}", style)


# ---- the rest

def _list(title: str, things: Sequence[Named], style: Style) -> Iterator[str]:
    if not things:
        return
    yield style.paint(title, "title")
    kinds = title == "asked for"
    for text, group in _alike(things, lambda each: f"{f'{each.kind} ' if kinds else ''}{_what(each)}"):
        word, _, rest = text.partition("\t")
        yield from _row("", f"{word}{_names([each.name for each in group])}{rest}", style)


def _what(each: Named) -> str:
    told = "; ".join(change_told(change) for change in each.changes)
    if each.what == "changed":
        return f"\t: {told}"
    return f"{each.what} \t{f': {told}' if told else ''}"


def _hardware(made: Comparison, style: Style) -> Iterator[str]:
    if not made.hardware:
        return
    yield style.paint("hardware", "title")
    for each in made.hardware:
        count = f"{each.old} → {each.new}" if each.old != each.new else f"{each.old}"
        altered = ", not the same piece any more: sizes, material or source" if each.altered else ""
        yield from _row("", f"{one_line(each.designation)}: {count}{altered}", style)


def _findings(made: Comparison, style: Style) -> Iterator[str]:
    found = made.findings
    if found.why_not is not None:
        yield f"{style.paint('findings', 'title')}  not compared: {one_line(found.why_not)}"
        return
    yield f"{style.paint('findings', 'title')}  {len(found.new)} new, {len(found.gone)} gone, {len(found.there)} still there"
    for word, paint, group in (("NEW", "stop", found.new), ("GONE", "good", found.gone),
                               ("STILL", "label", tuple(now for _, now in found.there))):
        for said in group[:_NAMED]:
            yield from _tagged(word, paint, f"{said.severity} {one_line(said.id)}{_accepted(said)}", style)
            yield from _row("", f"{' × '.join(map(one_line, said.parts))}: {one_line(said.message)}", style, indent=8)
        if len(group) > _NAMED:
            yield f"    and {len(group) - _NAMED} more"
    if found.unchecked:
        yield from _row("", f"checked for one of the two only: {', '.join(map(one_line, found.unchecked))}", style)


def _accepted(said: Said) -> str:
    return "" if said.accepted is None else ", accepted"


def _end(made: Comparison, style: Style) -> Iterator[str]:
    mass = made.mass
    told = f"{mass.old:.2f} kg" if abs(mass.new - mass.old) < 5e-4 else f"{mass.old:.2f} → {mass.new:.2f} kg " \
        f"({mass.new - mass.old:+.3f})"
    if mass.unknown:
        told += f", without {_names(list(mass.unknown))}, whose mass is not known here"
    if mass.unweighed:
        told += f"; {_count(mass.unweighed, 'unchanged part is', 'unchanged parts are')} not weighed"
    yield from _row("mass", told, style, indent=0)
    yield from _row("cost", _cost(made.cost), style, indent=0)


def _cost(cost: CostCompared) -> str:
    """Sums of what has a price, and what is not in them."""
    old, new = cost.old, cost.new
    if cost.difference is None:
        known = [f"{which}: {_sum(side)}" for which, side in (("old", old), ("new", new)) if side.known is not None]
        return "; ".join([f"not compared: {one_line(cost.why_not or '')}", *known])
    if old == new:
        return _sum(old)
    return f"{_sum(old)} → {_sum(new)} ({cost.difference:+.2f} {one_line(new.currency)} of what has a price)"


def _sum(side: CostSide) -> str:
    said = f"{side.known:.2f} {one_line(side.currency)} for {_count(side.priced, 'line', 'lines')} with a price"
    return f"{said}, {side.unpriced} without" if side.unpriced else said


# ---- words

def _alike(things: Iterable[T], told: Callable[[T], Any]) -> list[tuple[Any, list[T]]]:
    """Those that are told in the same words, in the order of the first of them."""
    groups: dict[Any, list[T]] = {}
    for each in things:
        groups.setdefault(told(each), []).append(each)
    return list(groups.items())


def _names(names: Sequence[str], most: int = _NAMED) -> str:
    """"front; under-plate fixing, hole 1–4, 7": those that only a number tells apart are one name."""
    told: dict[str, list[int]] = {}
    for name in map(one_line, names):
        found = re.fullmatch(r"(.*\D )(\d{1,6})", name)
        told.setdefault(found[1] if found else name, []).extend([int(found[2])] if found else [])
    more = f" and {len(told) - most} more" if len(told) > most else ""
    whole = [f"{stem}{_runs(sorted(numbers))}" for stem, numbers in told.items()]
    return ("; " if any("," in name for name in whole) else ", ").join(whole[:most]) + more


def _runs(numbers: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(f"{low}" if low == high else f"{low}–{high}" for low, high in runs)


def _tagged(word: str, paint: str, text: str, style: Style) -> Iterator[str]:
    lines = textwrap.wrap(f"[{word}] {text}", style.width - 8, break_on_hyphens=False)
    yield f"    {style.paint(f'[{word}]', paint)}{lines[0].removeprefix(f'[{word}]')}"
    for line in lines[1:]:
        yield " " * 12 + line


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _row(label: str, text: str, style: Style, indent: int = 4) -> Iterator[str]:
    room = _LABEL if label else 0
    lines = textwrap.wrap(text, max(30, style.width - indent - room), break_on_hyphens=False) or [""]
    head = style.paint(label.ljust(room), "label") if label else ""
    yield f"{' ' * indent}{head}{lines[0]}"
    for line in lines[1:]:
        yield " " * (indent + room) + line
