"""Whether a piece that was made by the old desk still serves in the new one, or can be saved by cutting it once more.

Only material can be taken away: the old piece serves where the new blank lies within the old one and everything that was cut
from the old one is cut from the new one, too. It may be laid otherwise than before: crosscut at its datum end, turned end
for end or over (members), turned half round in its own plane (plates: the finished side stays where it is).

Taken for granted: the piece was made to the end, as the old desk has it. ``good_before`` says from which step on that is
what spoils it. Not known: warp, tear-out and what is left to hold the piece by.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

from deskmodel.features import Box3, Feature, Removal, Revolve, Stage
from deskmodel.frames import IDENTITY, Pose, axis_angle
from deskmodel.part import BoxBlank, Member, Part, Plate, SheetBlank, cuts_of
from deskmodel.plans.compare_cuts import SAME, Cut, compare_cuts, cut_of
from deskmodel.plans.compare_within import Flat, missing_point, reaches_in, within
from deskmodel.profiles import Profile, inside

__all__ = ["Blocker", "FurtherCut", "Outcome", "Recut", "recut"]

Outcome = Literal["good", "recut", "wrong", "print again", "not known"]
_STAGES: tuple[str, ...] = get_args(Stage)
_LAID = 6  # shifts along a piece that are tried because cuts of the old and the new one meet there


@dataclass(frozen=True, slots=True)
class Blocker:
    """Why a piece is spoilt: ``reason`` "too short", "too narrow", "too low", "too thick", "too thin", "outline",
    "material", "veneer" … with ``by`` mm or ``figures`` (old, new); or "cut", ``cut`` as the old piece has it, ``becomes``
    what the new desk wants of it (None: nothing)."""

    reason: str
    by: float | None = None
    figures: tuple[str, str] | None = None
    cut: Cut | None = None
    becomes: Cut | None = None


@dataclass(frozen=True, slots=True)
class FurtherCut:
    """``side`` and ``by``: mm to take off there ("far end"); or ``cut`` as the new part has it, ``widened``: where there is
    a smaller one already."""

    side: str | None = None
    by: float = 0.0
    cut: Cut | None = None
    widened: bool = False


@dataclass(frozen=True, slots=True)
class Recut:
    """``laid``: how the old piece is to be laid ("as it was", "turned end for end"), ``pose``: the old part's frame in that
    of the new one. ``good_before``: the stage before
    which the old piece would still serve. ``reason``: why nothing is known."""

    outcome: Outcome
    laid: str = "as it was"
    cuts: tuple[FurtherCut, ...] = ()
    blockers: tuple[Blocker, ...] = ()
    good_before: str | None = None
    reason: str | None = None
    pose: Pose | None = None


_TURNS = (("as it was", IDENTITY), ("turned end for end", axis_angle((0.0, 0.0, 1.0), 180)),
          ("turned over", axis_angle((1.0, 0.0, 0.0), 180)),
          ("turned end for end and over", axis_angle((0.0, 1.0, 0.0), 180)))


def recut(old: Part, new: Part) -> Recut:
    """What can be made of the old piece. Members and plates; of other parts nothing is known."""
    if not isinstance(old, Member | Plate) or type(old) is not type(new):
        return Recut("not known", reason="neither a member nor a plate")
    if isinstance(old, Plate) and old.printed:
        return Recut("print again")
    stuff = tuple(_of_other_stuff(old, new))
    if stuff:
        return Recut("wrong", blockers=stuff)
    was, now = old.blank, new.blank
    if not isinstance(was, BoxBlank | SheetBlank) or not isinstance(now, BoxBlank | SheetBlank):
        if was == now and not compare_cuts(old, new):
            return Recut("good")
        return Recut("not known", reason="a bent plate: what can be cut once more after bending is not worked out")
    small = tuple(_too_small(was, now))
    if small:
        return Recut("wrong", blockers=small)
    return _best(old, new, was, now)


def _of_other_stuff(old: Member | Plate, new: Part) -> Iterator[Blocker]:
    if old.material != new.material:
        yield Blocker("material", figures=(old.material, new.material))
    if isinstance(old, Plate) and isinstance(new, Plate) and abs(old.thickness - new.thickness) > SAME:
        thicker = old.thickness > new.thickness
        yield Blocker("too thick" if thicker else "too thin", abs(old.thickness - new.thickness))


def _too_small(was: Flat, now: Flat) -> Iterator[Blocker]:
    words = ("too short", "too narrow", "too low" if isinstance(was, BoxBlank) else "too thin")
    for i, word in enumerate(words):
        lack = _size(now.bounds)[i] - _size(was.bounds)[i]
        if lack > SAME:
            yield Blocker(word, lack)


def _size(box: Box3) -> tuple[float, ...]:
    return tuple(high - low for low, high in zip(*box, strict=True))


@dataclass(frozen=True, slots=True)
class _Try:
    laid: str
    pose: Pose
    cuts: tuple[tuple[Feature, tuple[Removal, ...]], ...]
    spoilt: tuple[Feature, ...]
    open: tuple[Feature, ...]  # neither proved nor refuted


def _best(old: Member | Plate, new: Part, was: Flat, now: Flat) -> Recut:
    """Laid in the first way in which nothing spoils it, with the fewest further cuts; else where least does."""
    wanted = [removal for _, removals in cuts_of(new) for removal in removals]
    best: _Try | None = None
    clean: list[tuple[_Try, tuple[FurtherCut, ...]]] = []
    for laid, pose in _ways(old, new, was, now):
        if clean and (laid != clean[0][0].laid or not clean[-1][1]):
            break
        tried = _laid(old, laid, pose, wanted, now)
        if best is None or (len(tried.spoilt), len(tried.open)) < (len(best.spoilt), len(best.open)):
            best = tried
        if not tried.spoilt and not tried.open:
            clean.append((tried, (*_trims(tried, was, now), *_cuts_left(tried, new, now))))
    if clean:
        chosen, cuts = min(clean, key=lambda each: len(each[1]))
        return Recut("recut" if cuts else "good", chosen.laid, cuts, pose=chosen.pose)
    if best is None:
        return Recut("wrong", blockers=(Blocker("outline"),))
    if best.spoilt:
        becomes = {change.old: change.new for change in compare_cuts(old, new) if change.old is not None}
        gone = [cut_of(old, feature) for feature in best.spoilt]
        first = min((feature.stage for feature in best.spoilt), key=_STAGES.index)
        return Recut("wrong", best.laid, blockers=tuple(Blocker("cut", cut=cut, becomes=becomes.get(cut)) for cut in gone),
                     good_before=first, pose=best.pose)
    names = ", ".join(repr(feature.name) for feature in best.open[:3])
    return Recut("not known", best.laid, reason=f"whether {names} lies within the new cuts together cannot be told")


def _ways(old: Member | Plate, new: Part, was: Flat, now: Flat) -> Iterator[tuple[str, Pose]]:
    """Poses of the old piece in the frame of the new one, with the new blank inside the old one."""
    turns = _TURNS if isinstance(was, BoxBlank) else (_TURNS[0], ("turned half round", _TURNS[1][1]))
    wanted = [removal for _, removals in cuts_of(new) for removal in removals]
    seen: set[tuple[float, ...]] = set()
    for number, (laid, turn) in enumerate(turns):
        low, high = _turned_box(was.bounds, turn)
        offsets = []
        for i in range(3):
            # datum on datum, far end on far end; planed on either side
            ends = [now.bounds[0][i] - low[i], now.bounds[1][i] - high[i]]
            offsets.append(ends[:1] if abs(ends[0] - ends[1]) <= SAME else ends)
        if number == 0 and isinstance(was, SheetBlank):
            offsets[0], offsets[1] = [*offsets[0], 0.0], [*offsets[1], 0.0]  # by the script's own origin
        along = _meetings(old, turn, wanted)
        offsets[0] += along[0]
        offsets[1] += along[1] if isinstance(was, SheetBlank) else []
        for x in offsets[0]:
            for y in offsets[1]:
                for z in offsets[2]:
                    key = (number, round(x, 6), round(y, 6), round(z, 6))
                    pose = Pose(turn.rotation, (x, y, z))
                    if key not in seen and _blank_within(was, now, pose):
                        seen.add(key)
                        yield laid, pose


def _turned_box(box: Box3, turn: Pose) -> Box3:
    ends = [turn.apply(corner) for corner in box]
    low, high = (tuple(pick(end[i] for end in ends) for i in range(3)) for pick in (min, max))
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _meetings(old: Part, turn: Pose, wanted: Sequence[Removal]) -> tuple[list[float], list[float]]:
    """Shifts along x and y by which most cuts of the old piece come to lie where the new one has equal ones."""
    votes: tuple[Counter[float], Counter[float]] = (Counter(), Counter())
    for _, removals in cuts_of(old):
        for removal in removals[:1]:
            low, high = _turned_box(removal.bounds, turn)
            for other in wanted:
                if all(abs((high[i] - low[i]) - (other.bounds[1][i] - other.bounds[0][i])) < 1e-3 for i in range(3)):
                    for i in range(2):
                        votes[i][round(other.bounds[0][i] - low[i], 4)] += 1
    most = [[shift for shift, _ in sorted(count.items(), key=lambda each: (-each[1], abs(each[0])))[:_LAID]]
            for count in votes]
    return most[0], most[1]


def _blank_within(was: Flat, now: Flat, pose: Pose) -> bool:
    if isinstance(was, SheetBlank) and isinstance(now, SheetBlank):
        return inside(now.outline, _moved(was.outline, pose))
    low, high = _turned_box(was.bounds, pose)
    return all(low[i] <= now.bounds[0][i] + SAME and high[i] >= now.bounds[1][i] - SAME for i in range(3))


def _moved(outline: Profile, pose: Pose) -> Profile:
    """Turned about z and shifted."""
    return Profile(tuple((*pose.apply((x, y, 0.0))[:2], bulge) for x, y, bulge in outline.vertices))


def _laid(old: Part, laid: str, pose: Pose, wanted: Sequence[Removal], now: Flat) -> _Try:
    cuts = tuple((feature, tuple(replace(removal, pose=pose @ removal.pose) for removal in removals))
                 for feature, removals in cuts_of(old))
    same = {_key(removal) for removal in wanted}
    spoilt, unsure = [], []
    for feature, removals in cuts:
        for removal in removals:
            if _key(removal) in same or not reaches_in(removal, now):
                continue
            if any(within(removal, other, now.bounds) for other in wanted):
                continue
            if missing_point(removal, wanted, now) is not None:
                spoilt.append(feature)
                break
            if feature not in unsure:
                unsure.append(feature)
    return _Try(laid, pose, cuts, tuple(spoilt), tuple(each for each in unsure if each not in spoilt))


def _key(removal: Removal) -> object:
    """Equal for cuts that are certainly the same."""
    shape: tuple[tuple[float, ...], ...]
    shape = removal.half if isinstance(removal, Revolve) else (*removal.profile.vertices, (removal.depth, 0.0, 0.0))
    return (tuple(tuple(round(v, 6) + 0.0 for v in p) for p in shape),
            tuple(round(v, 6) + 0.0 for v in (*removal.pose.origin, *(c for row in removal.pose.rotation for c in row))))


_SIDES = {BoxBlank: (("datum end", "far end"), ("face side", "back side"), ("under edge", "face edge")),
          SheetBlank: (("left edge", "right edge"), ("front edge", "back edge"), ("bottom", "top"))}


def _trims(tried: _Try, was: Flat, now: Flat) -> Iterator[FurtherCut]:
    low, high = _turned_box(was.bounds, tried.pose)
    trimmed = False
    for i, (first, second) in enumerate(_SIDES[type(now)]):
        for side, by in ((first, now.bounds[0][i] - low[i]), (second, high[i] - now.bounds[1][i])):
            if by > SAME:
                trimmed = True
                yield FurtherCut(side, by)
    if (isinstance(was, SheetBlank) and isinstance(now, SheetBlank) and not trimmed
            and not inside(_moved(was.outline, tried.pose), now.outline)):
        yield FurtherCut("outline")


def _cuts_left(tried: _Try, new: Part, now: Flat) -> Iterator[FurtherCut]:
    """The cuts of the new part that the old piece has not got, or not as large."""
    there = [removal for _, removals in tried.cuts for removal in removals]
    same = {_key(removal) for removal in there}
    for feature, removals in cuts_of(new):
        lacking = [removal for removal in removals if _key(removal) not in same
                   and not any(within(removal, other, now.bounds) for other in there)]
        if lacking:
            widened = any(within(other, removal, now.bounds) and reaches_in(other, now) for removal in lacking
                          for other in there)
            yield FurtherCut(cut=cut_of(new, feature), widened=widened)
