"""Cuts, sizes and shifts of a comparison in words."""

from __future__ import annotations

from typing import Any

from deskmodel.cli.text import one_line
from deskmodel.plans.compare_cuts import Cut, CutChange, Place, near
from deskmodel.plans.compare_parts import Changed, Move
from deskmodel.plans.compare_recut import Blocker, FurtherCut

__all__ = ["blocker_told", "change_told", "cut_change_told", "cut_told", "further_told", "mm", "shift_told", "value_told"]

_PLATE_WORDS = {"too short": "too small from left to right", "too narrow": "too small from front to back"}
_ROOM = {f"room {side}": f"room {word}" for side, word in (("x0", "left"), ("x1", "right"), ("y0", "front"), ("y1", "back"),
                                                           ("z0", "below"), ("z1", "above"))}
_LONG = 60  # characters of a value on the terminal


def mm(value: float) -> str:
    """To a thousandth; what is less is told with all it has."""
    text = f"{value + 0.0:.3f}".rstrip("0").rstrip(".")
    return text if value == 0 or text not in ("0", "-0") else f"{value:.1e}"


def _signed(value: float) -> str:
    return f"+{mm(value)}" if value > 0 else mm(value)


def value_told(value: Any) -> str:
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return mm(value)
    if isinstance(value, str):
        return one_line(value) if len(value) <= _LONG else one_line(value[:_LONG - 1]) + "…"
    if isinstance(value, list | tuple) and len(value) <= 6 and all(
            each is None or isinstance(each, int | float) for each in value):
        return " × ".join("open" if each is None else mm(each) for each in value)
    if isinstance(value, list | tuple) and all(isinstance(each, str) for each in value):
        return ", ".join(value_told(each) for each in value) or "nothing"
    return ""


def change_told(each: Changed) -> str:
    """"length 1436 → 1456"."""
    what = one_line(_ROOM.get(each.what, each.what))
    if what in ("place", "pin, from the cover's origin") and each.old is not None and each.new is not None:
        shift = ", ".join(f"{axis} {_signed(b - a)}" for axis, a, b in zip("xyz", each.old, each.new, strict=True)
                          if abs(b - a) > 1e-6)
        return f"{what} {shift}"
    old, new = value_told(each.old), value_told(each.new)
    if each.old is None and each.new is not None:
        return f"{what} {new}" if new else what
    if each.new is None and each.old is not None and what != "veneer":
        return f"{what} was {old}" if old else what
    return f"{what} {old} → {new}" if old and new and old != new else f"{what} is another"


def cut_told(cut: Cut) -> str:
    """"hole Ø8 × 26, far end, 11 from the face side, 15 from the face edge"."""
    figures = dict(cut.figures)
    size = ""
    if "diameter" in figures and "columns" not in figures:
        size = f" Ø{mm(figures['diameter'])}"
        size += f" × {mm(figures['depth'])}" if figures.get("depth") is not None else ""
    elif "size" in figures:
        size = f" {value_told(figures['size'])}"
    elif "columns" in figures:
        size = f" {figures['columns']} × {figures['rows']} of Ø{mm(figures['diameter'])} at {mm(figures['pitch'])}"
    elif "length" in figures:
        size = f" {mm(figures['length'])}" + (f" × {mm(figures['width'])}" if "width" in figures else "")
        size += f", {mm(figures['depth'])} deep" if figures.get("depth") is not None else ""
    elif "angle" in figures:
        size = f" {mm(figures['width'])} at {mm(figures['angle'])}°"
    place = "".join(f", {mm(at)} from the {datum}" for datum, at in cut.place)
    return f"{cut.kind}{size}, {one_line(cut.face)}{place}"


def cut_change_told(change: CutChange) -> str:
    """"moved, datum end +10"; equal for cuts that changed alike."""
    if change.what in ("added", "removed"):
        return change.what
    sized = any(what == "size" for what, _, _ in change.figures)  # another outline goes without saying
    told = [f"{what} {_figure(old)} → {_figure(new)}" if _figure(old) != _figure(new) else f"{what} is another"
            for what, old, new in change.figures if not (sized and what == "outline")]
    if change.shift:
        told.insert(0, f"moved, {_place(change.shift)}")
    return "; ".join(told)


def _figure(value: Any) -> str:
    return "through or flat" if value is None else value_told(value)


def _place(shift: Place) -> str:
    return ", ".join(f"{datum} {_signed(by)}" for datum, by in shift)


def shift_told(move: Move | None) -> str:
    assert move is not None
    told = "  ".join(f"{axis} {_signed(by)}" for axis, by in zip("xyz", move.shift, strict=True) if abs(by) > 1e-6)
    if move.turned:
        return f"turned, {told}" if told else "turned"
    return told


def blocker_told(each: Blocker, role: str) -> str:
    """"too short by 3 mm", "hole Ø8 × 26, far end, …, would have to go 3 further from the face edge"."""
    if each.cut is not None:
        return f"{cut_told(each.cut)}: {_becomes(each.cut, each.becomes)}"
    if each.reason == "outline":
        return "the new outline does not fit on it"
    if each.figures is not None:
        return f"{each.reason} {one_line(each.figures[0])}, now {one_line(each.figures[1])}"
    reason = each.reason if role == "member" else _PLATE_WORDS.get(each.reason, each.reason)
    return f"{reason} by {mm(each.by or 0.0)} mm"


def _becomes(old: Cut, new: Cut | None) -> str:
    if new is None:
        return "the new part is whole there"
    if old.face != new.face:
        return f"belongs in the {one_line(new.face)} now"
    shift = tuple((datum, now - was) for (datum, was), (_, now) in zip(old.place, new.place, strict=False)
                  if abs(now - was) > 1e-6)
    told = [f"it would have to lie elsewhere, {_place(shift)}"] if shift else []
    now_all = dict(new.figures)
    told += [f"{name} {_figure(was)}, now {_figure(now_all.get(name))}" for name, was in old.figures
             if not near(was, now_all.get(name)) and name != "outline"]
    return "; ".join(told) or "its outline is another"


def further_told(each: FurtherCut) -> str:
    if each.side == "outline":
        return "cut to the new outline"
    if each.side in ("datum end", "far end"):
        return f"crosscut {mm(each.by)} off the {each.side}"
    if each.side in ("face side", "back side", "under edge", "face edge"):
        return f"plane {mm(each.by)} off the {each.side}"
    if each.side is not None:
        return f"trim {mm(each.by)} off the {each.side}"
    assert each.cut is not None
    return f"{'enlarge' if each.widened else 'cut'} {cut_told(each.cut)}"
