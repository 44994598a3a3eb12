"""Which cuts of a part were moved, altered, added or left out, measured as they are marked out.

    members   from the datum end, the face side and the face edge
    plates    from the left and the front edge of the box about their outline; on a flange from its start and its corner

A cut is known by where it is and what size it has; only where those differ its name helps to find the one it was.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from deskmodel.features import Bevel, CutOut, Feature, Groove, Hole, Notch, Pocket, Slot, VentField
from deskmodel.part import Member, Part, Plate
from deskmodel.profiles import Profile

__all__ = ["SAME", "Cut", "CutChange", "compare_cuts", "cut_of", "near", "outline_from"]

SAME = 1e-6
"""mm. What differs by less is the same length, worked out another way."""

Place = tuple[tuple[str, float], ...]
Figures = tuple[tuple[str, Any], ...]
What = Literal["added", "removed", "moved", "altered", "relabelled"]


@dataclass(frozen=True, slots=True)
class Cut:
    """One feature as it is marked out. ``place``: mm by datum (of outlines and stretches the end nearer to the datum);
    ``figures``: its sizes by name, None: right through, or flat; ``purpose``, ``stage``: as of the feature."""

    kind: str
    name: str
    face: str
    place: Place
    figures: Figures
    purpose: str
    stage: str


@dataclass(frozen=True, slots=True)
class CutChange:
    """``old`` and ``new`` of one cut. ``shift``: how far it was moved, mm by datum, without those it was not moved from;
    ``figures``: (name, old, new) of what else is different, the face included."""

    what: What
    old: Cut | None
    new: Cut | None
    shift: Place = ()
    figures: tuple[tuple[str, Any, Any], ...] = ()


def compare_cuts(old: Part, new: Part) -> tuple[CutChange, ...]:
    """What became of each cut, those that did not change left out; in the order of faces and places."""
    if old.features == new.features and old.blank == new.blank:
        return ()
    before, after = [cut_of(old, f) for f in old.features], [cut_of(new, f) for f in new.features]
    pairs = _paired(before, after)
    changes = [change for i, j in pairs if (change := _change(before[i], after[j])) is not None]
    kept, came = {i for i, _ in pairs}, {j for _, j in pairs}
    changes += [CutChange("removed", cut, None) for i, cut in enumerate(before) if i not in kept]
    changes += [CutChange("added", None, cut) for j, cut in enumerate(after) if j not in came]
    return tuple(sorted(changes, key=_order))


def cut_of(part: Part, feature: Feature) -> Cut:
    """The feature as it is marked out on its part."""
    face, place, figures = _marked(part, feature)
    words = type(feature).__name__
    kind = {"CutOut": "opening", "VentField": "vent field"}.get(words, words.lower())
    return Cut(kind, feature.name, face, tuple((datum, _figure(mm)) for datum, mm in place), tuple(figures),
               feature.purpose, feature.stage)


def near(a: Any, b: Any) -> bool:
    """Equal, lengths to ``SAME``."""
    if isinstance(a, int | float) and isinstance(b, int | float) and not isinstance(a, bool) and not isinstance(b, bool):
        return abs(a - b) <= SAME
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(near, a, b))
    return bool(a == b)


def outline_from(outline: Profile, x: float, y: float) -> tuple[tuple[float, float, float], ...]:
    """The vertices measured from (x, y), in the same order whichever vertex came first."""
    moved = [(_figure(u - x), _figure(v - y), _figure(bulge)) for u, v, bulge in outline.vertices]
    first = moved.index(min(moved))
    return tuple(moved[first:] + moved[:first])


def _figure(value: float) -> float:
    return round(float(value), 9) + 0.0


class _Ruler:
    """The two datums of a face, and how its (u, v) are told from them."""

    def __init__(self, part: Part, face: str) -> None:
        self.u, self.v = ("x", 0.0, 1.0), ("y", 0.0, 1.0)
        if isinstance(part, Member):
            height = float(part.section[1])
            along, side = ("datum end", 0.0, 1.0), ("face side", 0.0, 1.0)
            down = ("face edge", height, -1.0)
            self.u = side if face in ("datum end", "far end") else along
            self.v = side if face in ("under edge", "face edge") else down
        elif isinstance(part, Plate) and face in ("top", "bottom"):
            x0, y0, _, _ = part.outline.bounds
            self.u, self.v = ("left edge", -x0, 1.0), ("front edge", -y0, 1.0)
        elif isinstance(part, Plate):
            self.u, self.v = ("flange start", 0.0, 1.0), ("flange corner", 0.0, 1.0)

    def point(self, u: float, v: float) -> Place:
        return tuple((name, at + sign * value) for (name, at, sign), value in ((self.u, u), (self.v, v)))

    def low(self, u0: float, u1: float, v0: float, v1: float) -> Place:
        """The nearer ends of a stretch along either datum."""
        return tuple((name, min(at + sign * a, at + sign * b))
                     for (name, at, sign), a, b in ((self.u, u0, u1), (self.v, v0, v1)))


def _marked(part: Part, feature: Feature) -> tuple[str, Place, Iterable[tuple[str, Any]]]:
    if isinstance(feature, Bevel):
        return " / ".join(feature.between), (), [("width", feature.width), ("angle", feature.angle)]
    face: str = feature.face  # type: ignore[attr-defined]  # every feature but a bevel has one
    ruler = _Ruler(part, face)
    if isinstance(feature, Hole):
        return face, ruler.point(*feature.at), [(name, getattr(feature, name)) for name in (
            "diameter", "depth", "point", "counterbore", "countersink")]
    if isinstance(feature, Slot):
        return face, ruler.point(*feature.at), [(name, getattr(feature, name)) for name in (
            "length", "width", "depth", "angle")]
    if isinstance(feature, VentField):
        return face, ruler.point(*feature.at), [(name, getattr(feature, name)) for name in (
            "columns", "rows", "pitch", "diameter", "staggered")]
    u0, v0, u1, v1 = part.blank.face(face).outline.bounds
    if isinstance(feature, Notch):
        return face, ruler.low(feature.start, feature.start + feature.length, v0, v1)[:1], [
            ("length", feature.length), ("depth", feature.depth)]
    if isinstance(feature, Groove):
        start, stop = u0 if feature.start is None else feature.start, u1 if feature.stop is None else feature.stop
        return face, (ruler.low(start, stop, v0, v1)[0], ruler.point(start, feature.at)[1]), [
            ("length", _figure(stop - start)), ("width", feature.width), ("depth", feature.depth)]
    assert isinstance(feature, CutOut | Pocket)
    depth = [("depth", feature.depth)] if isinstance(feature, Pocket) else []
    if feature.outline.as_circle:
        centre, radius = feature.outline.as_circle
        return face, ruler.point(*centre), [("diameter", _figure(2 * radius)), *depth]
    x0, y0, x1, y1 = feature.outline.bounds
    return face, ruler.low(x0, x1, y0, y1), [("size", (_figure(x1 - x0), _figure(y1 - y0))),
                                            ("outline", outline_from(feature.outline, x0, y0)), *depth]


def _change(old: Cut, new: Cut) -> CutChange | None:
    was_all, now_all = dict(old.figures), dict(new.figures)
    figures = tuple((name, was_all.get(name), now_all.get(name)) for name in {**was_all, **now_all}
                    if (name in was_all) != (name in now_all) or not near(was_all[name], now_all[name]))
    if old.face != new.face:
        figures = (("face", old.face, new.face), *figures)
    shift: Place = ()
    if [datum for datum, _ in old.place] == [datum for datum, _ in new.place]:
        shift = tuple((datum, _figure(now - was)) for (datum, was), (_, now) in zip(old.place, new.place, strict=True)
                      if not near(was, now))
    if figures:
        return CutChange("altered", old, new, shift, figures)
    if shift:
        return CutChange("moved", old, new, shift)
    labels = tuple((name, getattr(old, name), getattr(new, name)) for name in ("purpose", "stage")
                   if getattr(old, name) != getattr(new, name))
    return CutChange("relabelled", old, new, (), labels) if labels else None


def _paired(before: Sequence[Cut], after: Sequence[Cut]) -> list[tuple[int, int]]:
    """(index before, index after) of the same cut: where all is equal; then by its name and kind where no other is called
    so, whatever else is different; then the nearest of the same size on the same face."""
    pairs: list[tuple[int, int]] = []
    left, right = dict(enumerate(before)), dict(enumerate(after))
    for key in (lambda cut: (_key(cut), cut.name), _key):
        free: dict[Any, list[int]] = {}
        for j, cut in right.items():
            free.setdefault(key(cut), []).append(j)
        for i, cut in list(left.items()):
            if free.get(key(cut)):
                pairs.append((i, free[key(cut)].pop(0)))
                del left[i], right[pairs[-1][1]]
    named: dict[tuple[str, str], tuple[list[int], list[int]]] = {}
    for side, cuts in enumerate((left, right)):
        for i, cut in cuts.items():
            named.setdefault((cut.kind, cut.name), ([], []))[side].append(i)
    for mine, theirs in named.values():
        if len(mine) == len(theirs) == 1:
            pairs.append((mine[0], theirs[0]))
            del left[mine[0]], right[theirs[0]]
    ranked = sorted((was.name != now.name, _apart(was, now), i, j) for i, was in left.items() for j, now in right.items()
                    if (was.kind, was.face) == (now.kind, now.face) and near(was.figures, now.figures))
    for _, _, i, j in ranked:
        if i in left and j in right:
            pairs.append((i, j))
            del left[i], right[j]
    return pairs


def _key(cut: Cut) -> Any:
    return cut.kind, cut.face, _rounded(cut.place), _rounded(cut.figures)


def _rounded(value: Any) -> Any:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return round(float(value), 6) + 0.0
    return tuple(_rounded(each) for each in value) if isinstance(value, tuple) else value


def _apart(a: Cut, b: Cut) -> float:
    return sum(abs(now - was) for (_, was), (_, now) in zip(a.place, b.place, strict=False))


def _order(change: CutChange) -> Any:
    cut = change.new or change.old
    assert cut is not None
    return cut.face, cut.kind, change.what, [round(mm, 6) for _, mm in cut.place], cut.name
