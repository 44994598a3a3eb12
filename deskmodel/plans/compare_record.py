"""A comparison as JSON values."""

from __future__ import annotations

import dataclasses
from typing import Any

from deskmodel.model import encode
from deskmodel.plans.compare import Comparison, Side
from deskmodel.plans.compare_cost import CostSide
from deskmodel.plans.compare_cuts import Cut, CutChange
from deskmodel.plans.compare_parts import Changed, PartChange
from deskmodel.plans.compare_recut import Blocker, FurtherCut, Recut
from deskmodel.plans.compare_rest import Named

__all__ = ["SCHEMA", "compare_record"]

SCHEMA = 1


def compare_record(made: Comparison) -> dict[str, object]:
    """mm, degrees, kg. Places and shifts of cuts by datum; of parts in the desk frame."""
    parts = made.parts
    return {
        "schema": SCHEMA, "equal": made.equal, "written_differently": made.written_differently,
        "old": _side(made.old, made.revisions[0]), "new": _side(made.new, made.revisions[1]),
        "parts": {
            "added": [{"name": name, "role": role} for name, role in parts.added],
            "removed": [{"name": name, "role": role} for name, role in parts.removed],
            "renamed": [{"old": old, "new": new} for old, new in parts.renamed],
            "changed": [_part(each) for each in parts.changed],
            "serves": [{"part": each.part, "piece": each.piece, "made": _recut(each.recut)} for each in parts.serves],
            "shape_not_compared": list(parts.unresolved),
        },
        "joints": [_named(each) for each in made.joints],
        "hardware": [dataclasses.asdict(each) for each in made.hardware],
        "bays": [_named(each) for each in made.bays],
        "demands": [_named(each) for each in made.demands],
        "findings": {
            "compared": made.findings.why_not is None, "why_not": made.findings.why_not,
            "new": [_value(each) for each in made.findings.new], "gone": [_value(each) for each in made.findings.gone],
            "there": [{"old": _value(old), "new": _value(new)} for old, new in made.findings.there],
            "checked_on_one_side_only": list(made.findings.unchecked),
        },
        "mass": {"unit": "kg", "old": round(made.mass.old, 6), "new": round(made.mass.new, 6),
                 "not_known": dict(made.mass.unknown), "unchanged_not_weighed": made.mass.unweighed},
        "cost": {"compared": made.cost.why_not is None, "why_not": made.cost.why_not, "old": _cost(made.cost.old),
                 "new": _cost(made.cost.new), "difference": made.cost.difference},
    }


def _cost(side: CostSide) -> dict[str, object]:
    return {"known": side.known, "currency": side.currency or None, "lines_with_price": side.priced,
            "lines_without_price": side.unpriced}


def _side(side: Side, revision: str | None) -> dict[str, object]:
    return {"source": side.source, "desk": side.model.name, "revision": revision,
            "parameters": dict(side.model.parameters)}


def _part(change: PartChange) -> dict[str, object]:
    moved = change.moved
    return {"name": change.name, "role": change.role, "shape_changed": change.shape_changed,
            "properties": [_changed(each) for each in change.properties],
            "cuts": [_cut_change(each) for each in change.cuts],
            "moved": None if moved is None else {"shift": _value(moved.shift), "turned": moved.turned},
            "made": None if change.recut is None else _recut(change.recut)}


def _cut_change(change: CutChange) -> dict[str, object]:
    return {"what": change.what, "old": _cut(change.old), "new": _cut(change.new), "shift": dict(change.shift),
            "figures": [{"what": what, "old": _value(old), "new": _value(new)} for what, old, new in change.figures]}


def _cut(cut: Cut | None) -> dict[str, object] | None:
    if cut is None:
        return None
    return {"kind": cut.kind, "name": cut.name, "face": cut.face, "place": dict(cut.place),
            "figures": {name: _value(value) for name, value in cut.figures}, "purpose": cut.purpose, "stage": cut.stage}


def _recut(made: Recut) -> dict[str, object]:
    return {"outcome": made.outcome, "laid": made.laid, "cuts": [_further(each) for each in made.cuts],
            "blockers": [_blocker(each) for each in made.blockers], "good_before": made.good_before, "reason": made.reason}


def _further(cut: FurtherCut) -> dict[str, object]:
    return {"side": cut.side, "by": round(cut.by, 6), "cut": _cut(cut.cut), "widened": cut.widened}


def _blocker(each: Blocker) -> dict[str, object]:
    return {"reason": each.reason, "by": None if each.by is None else round(each.by, 6),
            "figures": _value(each.figures), "cut": _cut(each.cut), "becomes": _cut(each.becomes)}


def _named(each: Named) -> dict[str, object]:
    return {"kind": each.kind, "name": each.name, "what": each.what, "changes": [_changed(one) for one in each.changes]}


def _changed(each: Changed) -> dict[str, object]:
    return {"what": each.what, "old": _value(each.old), "new": _value(each.new)}


def _value(value: Any) -> Any:
    """Dataclasses say what they are, lengths to a thousandth of a micrometre."""
    if isinstance(value, dict):
        return {key: _value(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_value(each) for each in value]
    if isinstance(value, float):
        return round(value, 6) + 0.0
    return value if value is None or isinstance(value, str | bool | int) else _value(encode(value))
