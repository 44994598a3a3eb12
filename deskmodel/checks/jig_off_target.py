"""A jig does not put the dowel holes where they are designed.

Finds: dowel holes that the jigs of the desk, seated on the marked faces, put more than 0.05 mm from where they are designed,
    more than 0.1 from where their mates are, or 0.05 too deep or shallow; jigs that can be seated on the wrong hand, that
    the bits do not reach through or that the printer's bed does not hold; holes that no jig can be made for. As warnings:
    bushes that guide less than two diameters, slop that the dowels of a joint do not put up with, mating holes measured
    from opposite faces, of stock that may be 0.3 off.
Why it matters: two holes that are a little off from each other are what twists a frame; with a jig they are off by the same
    in every joint, and the plastic is printed and the bushes are bought by then.
How measured: each jig is seated by its planes and its sight edge in the frame of the member, at the stage of drilling, on
    stock as designed and 0.3 thicker or thinner; axes and stops are taken from the jig, and compared in the desk's frame
    with the designed holes of both members. Bits must reach the depth and their tip, through bush and gap, with 2 mm below
    the chuck and above fences that the hand drill's body cannot pass. Slop: deskmodel.jigs.slop, root of the sum of squares.
Limits: what wears, bends or is clamped askew is not looked at, nor whether the faces are there that a jig sits on where
    they are cut away before drilling. Holes without any bit, or with one too short for the bush alone, are told by
    hole-not-drillable; holes designed out of line are told by holes-misaligned as well. Of a shop without a printer a note
    is all that is said.
Sources: common practice for 0.05, 0.1 and 0.3 mm, two diameters of guide, 2 mm below the chuck and the shares of the slop;
    ISO 286-2 for the play of bits; the workshop profile for bits, bushes, printer and hand drill.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.checks._base import Check, Facts, at, lines_of
from deskmodel.findings import Finding
from deskmodel.frames import Vec, add, scale
from deskmodel.jigs import Jig, JigPlan, JigUse, NotMade, jig_body, jig_pairs, jig_plan, jig_slop, likely
from deskmodel.jigs.drilled import Drilled, Mated, drilled, mated, opposed_datums, served
from deskmodel.jigs.reach import CHUCK, GUIDE, needed_length
from deskmodel.jigs.slop import STOCK
from deskmodel.model import DeskModel
from deskmodel.plans.bored import Bored, across, bored
from deskmodel.tolerances import COAXIAL, LENGTH

__all__ = ["ASIDE", "CHECK", "DEPTH"]

DEPTH = 0.05
"""mm that a stop may be set off (common practice: what a calliper sets)."""

ASIDE = 0.05
"""mm that a jig may put a hole from its own place: worked out from the design, it has no reason to be off at all."""

_SHOWN = 3


def run(facts: Facts) -> list[Finding]:
    plan = jig_plan(facts.model)
    return [*(_not_made(facts, each) for each in plan.not_made if each.told is None), *_wrong_jigs(facts, plan),
            *_short_guides(facts, plan), *_off_target(facts, plan), *_references(facts, plan), *_loose(facts, plan)]


def _not_made(facts: Facts, each: NotMade) -> Finding:
    mouth = facts.model.part(each.parts[0]).face(each.place).point(*each.at)
    return Finding("jig-off-target", each.severity, each.parts,
                   f"no jig for dowel holes in {_names(each.parts)}: {each.reason}", each.remedy, mouth,
                   each.measured, each.required, None if each.measured is None else "mm", each.source,
                   lines=lines_of(facts, (*each.joints, *each.parts)))


def _wrong_jigs(facts: Facts, plan: JigPlan) -> Iterator[Finding]:
    """What is wrong with a jig wherever it sits. The plan makes none of these; that it does not is looked at here."""
    printer = facts.model.workshop.printer
    for jig in plan.jigs:
        size = jig_body(jig, "").size
        needed = max(needed_length(jig, depth.depth, facts.model.workshop.hand_drill) for depth in jig.depths)
        if jig.kind == "face" and jig.hand is None and not _symmetric(jig):
            yield _of_jig(facts, plan, jig, "can be seated on the wrong hand: its bushes do not lie midway between its "
                          "sight edges", "make a jig for each hand", None, None)
        if jig.bit.length < needed - LENGTH:
            yield _of_jig(facts, plan, jig, f"the {jig.bit.text} goes {round(jig.bit.length, 2):g} mm in, {needed:.2f} "
                          f"mm are needed, {CHUCK:g} of them below the chuck", f"get a bit of {needed:.1f} mm usable length",
                          jig.bit.length, needed)
        if printer is not None and (sorted(size[:2]) > sorted(printer.bed[:2]) or size[2] > printer.bed[2] + LENGTH):
            yield _of_jig(facts, plan, jig, "does not lie on the printer's bed", "print it on a larger one", max(size),
                          max(printer.bed))


def _symmetric(jig: Jig) -> bool:
    other = sorted((round((jig.far_sight or 0.0) - u, 6) + 0.0, round(v, 6)) for u, v in jig.axes)
    return other == sorted((round(u, 6), round(v, 6)) for u, v in jig.axes)


def _of_jig(facts: Facts, plan: JigPlan, jig: Jig, what: str, remedy: str, measured: float | None,
            required: float | None) -> Finding:
    uses = plan.uses_of(jig.number)
    parts = tuple(sorted({part for use in uses for part in use.members}))
    return Finding("jig-off-target", "stop", parts, f"jig {jig.label} for {_names(parts)}: {what}", remedy,
                   _mouth(facts.model, uses[0]), measured, required, None if measured is None else "mm",
                   facts.model.workshop.source, lines=lines_of(facts, (*uses[0].joints, *parts)))


def _short_guides(facts: Facts, plan: JigPlan) -> Iterator[Finding]:
    """Once for each kind of bush."""
    kinds: dict[tuple[object, ...], list[Jig]] = {}
    for jig in plan.jigs:
        if jig.guide < GUIDE * jig.diameter - LENGTH:
            kinds.setdefault((jig.bush, round(jig.diameter, 6)), []).append(jig)
    for jigs in kinds.values():
        uses = sorted((use for jig in jigs for use in plan.uses_of(jig.number)), key=lambda use: (use.member, use.place))
        parts = tuple(sorted({part for use in uses for part in use.members}))
        jig, needed = jigs[0], GUIDE * jigs[0].diameter
        yield Finding("jig-off-target", "warn", parts,
                      f"the {jig.bush.text} of {', '.join(each.label for each in jigs)} guides {jig.guide:g} mm of a bit of "
                      f"{jig.diameter:g}", f"take bushes {needed:g} mm long", _mouth(facts.model, uses[0]), jig.guide,
                      needed, "mm", "common practice: two diameters", lines=lines_of(facts, (*uses[0].joints, *parts)))


def _off_target(facts: Facts, plan: JigPlan) -> Iterator[Finding]:
    """Drilled against designed, one finding for each two parts (or one without a mate), at its worst hole."""
    worst: dict[tuple[str, ...], tuple[float, Vec, str, str, float]] = {}
    mates: dict[tuple[str, int], list[Bored]] = {}
    for each in mated(facts.model, plan):
        mates.setdefault(each.a.key, []).append(each.b)
        mates.setdefault(each.b.key, []).append(each.a)
    by = served(plan)
    for hole in bored(facts.model.parts, ("dowel",)):
        found = by.get((hole.part, hole.hole.face, hole.hole.at))
        if found is None:
            continue
        use = found[0]
        others = mates.get(hole.key, [])
        for parts, off, limit, what in _misses(facts.model, plan, hole, found, others):
            told = (f"jig {plan.jig(use.jig).label} drills {hole.hole.name} in the {use.place} of {hole.part} {off:.2f} mm "
                    f"{what}, at {at(hole.mouth)}")
            entry = (round(off, 6), hole.mouth, told, use.joints[use.members.index(hole.part)], limit)
            if parts not in worst or _rank(entry) < _rank(worst[parts]):
                worst[parts] = entry
    for parts, (measured, mouth, text, joint, limit) in sorted(worst.items()):
        yield Finding("jig-off-target", "stop", parts, text,
                      "design both holes at one distance from face side and face edge", mouth, measured,
                      limit, "mm", "common practice: jigs drill to about 0.1 mm",
                      lines=lines_of(facts, (joint, *parts)))


def _rank(entry: tuple[float, Vec, str, str, float]) -> tuple[float, float, Vec]:
    """The worst first; of equals the one that is off from its mate, which is what the joint feels."""
    measured, mouth, _, _, limit = entry
    return -measured, -limit, mouth


def _misses(model: DeskModel, plan: JigPlan, hole: Bored, found: tuple[JigUse, int],
            others: list[Bored]) -> Iterator[tuple[tuple[str, ...], float, float, str]]:
    """(parts, mm, limit, what is off) of one hole. The depth counts from the face that the jig sits on."""
    for off in ((0.0, 0.0), (STOCK, STOCK), (-STOCK, -STOCK)):
        made = drilled(model, plan, hole.part, *found, off)
        own = _aside(made, hole)
        for other in others:
            aside = _aside(made, other)
            if aside > COAXIAL + LENGTH:
                yield tuple(sorted({hole.part, other.part})), aside, COAXIAL, "from where its mate is designed"
        if own > ASIDE + LENGTH:
            yield tuple(sorted({hole.part, *(other.part for other in others)})), own, ASIDE, "from where it is designed"
        deep = abs(made.depth - hole.depth)
        if deep > DEPTH + LENGTH:
            yield tuple(sorted({hole.part, *(other.part for other in others)})), deep, DEPTH, "off its depth"


def _aside(made: Drilled, hole: Bored) -> float:
    """The greatest distance of the drilled axis from a designed one over the designed depth, seen along the drilled one."""
    ends = (hole.mouth, add(hole.mouth, scale(hole.inwards, hole.depth)))
    return max(across(made.mouth, end, made.inwards) for end in ends)


def _references(facts: Facts, plan: JigPlan) -> Iterator[Finding]:
    first: dict[tuple[str, ...], Mated] = {}
    for each in sorted(mated(facts.model, plan), key=lambda each: each.mouth):
        if each.use_a is not None and each.use_b is not None and opposed_datums(facts.model, each):
            first.setdefault(tuple(sorted({each.a.part, each.b.part})), each)
    for parts, each in sorted(first.items()):
        yield Finding("jig-off-target", "warn", parts,
                      f"the holes of {parts[0]} and {parts[1]} that meet at {at(each.mouth)} are measured from faces that "
                      f"look opposite ways: stock {STOCK:g} mm off puts them that far from each other",
                      "turn one of the two so that its marked faces look where the other's do", each.mouth, STOCK, COAXIAL,
                      "mm", "common practice", lines=lines_of(facts, parts))


def _loose(facts: Facts, plan: JigPlan) -> Iterator[Finding]:
    """Slop, once for each two jigs that drill a joint; of bushes that guide too little that is said already."""
    pairs: dict[tuple[str, str], list[Mated]] = {}
    for each in mated(facts.model, plan):
        if each.use_a is not None and each.use_b is not None:
            one, other = sorted((each.use_a[0].jig, each.use_b[0].jig))
            pairs.setdefault((one, other), []).append(each)
    deepest = {jigs: max(depths for both, depths in jig_pairs(facts.model, plan) if both == jigs) for jigs in pairs}
    for (one, other), found in sorted(pairs.items()):
        jigs = plan.jig(one), plan.jig(other)
        if any(jig.guide < GUIDE * jig.diameter - LENGTH for jig in jigs):
            continue
        slop = jig_slop(*jigs, deepest[one, other])
        if not slop.enters:
            parts = tuple(sorted({part for each in found for part in (each.a.part, each.b.part)}))
            first = min(found, key=lambda each: (each.a.part, each.b.part, each.mouth))
            yield Finding("jig-off-target", "warn", parts,
                          f"the dowels that {' and '.join(dict.fromkeys(jig.label for jig in jigs))} drill for may miss "
                          f"each other by {likely(slop.pair) / 2:.2f} mm",
                          "take bushes that fit the bit closer, and make a trial joint", first.mouth,
                          likely(slop.pair) / 2, slop.allowed, "mm", "common practice; ISO 286-2",
                          lines=lines_of(facts, parts))


def _mouth(model: DeskModel, use: JigUse) -> Vec:
    return model.part(use.member).face(use.place).point(*min(use.at))


def _names(parts: tuple[str, ...]) -> str:
    more = len(parts) - _SHOWN
    return ", ".join(parts[:_SHOWN]) + (f" and {more} more" if more > 0 else "")


CHECK = Check("jig-off-target", "model", __doc__, run)
