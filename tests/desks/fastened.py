"""One desk with every joint that is not in the small desk, as statements that may run in any order; and one desk each."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from deskmodel import (
    Bond,
    Desk,
    DowelJoint,
    FaceDowels,
    InsertFixing,
    Laminate,
    Member,
    Plate,
    ScrewMount,
    StandOffMount,
    ThroughDowels,
    WoodScrewFixing,
    rectangle,
)
from tests.desks.equipment import board, box_with_rim, fan, horn

__all__ = ["fastened_desk"]


def fastened_desk(names: Callable[[str], str] = lambda name: name, rng: Random | None = None, sequence: type = tuple,
                  shift: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Desk:
    """A frame 500 × 400 with a cross member and rails opposite each other on it, a block, a cleat, a laminated member, a
    board on stand-offs, a box screwed down, a fan on screws and nuts, a horn on screws into its threads;
    ``rng`` shuffles the statements, ``sequence`` writes lists or tuples."""
    n, seq = names, sequence
    d = Desk(n("desk"))
    p: dict[str, object] = {}

    def member(key: str, length: float, *at: float, along: str = "x", section: tuple[float, float] = (22, 60)) -> None:
        where = tuple(a + b for a, b in zip(at, shift, strict=True))
        p[key] = d.place(Member(n(key), seq(section), length, "ash"), at=seq(where), along=along)

    def put(key: str, part: object, *at: float) -> None:
        p[key] = d.place(part, at=seq([a + b for a, b in zip(at, shift, strict=True)]))

    places = [
        lambda: member("front", 500, 0, 0, 1.5),
        lambda: member("second front", 500, 0, 400, 1.5),
        lambda: member("back", 500, 0, 378, 1.5),
        lambda: member("left", 356, 0, 22, 1.5, along="y"),
        lambda: member("right", 356, 478, 22, 1.5, along="y"),
        lambda: member("cross", 356, 240, 22, 1.5, along="y"),
        lambda: member("west", 218, 22, 250, 1.5),
        lambda: member("east", 216, 262, 250, 1.5),
        lambda: member("block", 60, 22, 22, 1.5, section=(40, 60)),
        lambda: member("cleat", 100, 262, 60, 39.5, along="y", section=(22, 22)),
        lambda: member("shelf", 150, 300, 272, 1.5, along="x", section=(60, 22)),
        lambda: put("under", Plate(n("under"), rectangle(498, 420), 1.5, "steel"), 1, 1, 0),
        lambda: put("board", board(n("board")), 45, 72, 6),
        lambda: put("box", box_with_rim(n("box")), 325, 286, 23.5),
        lambda: put("fan", fan(n("fan")), 300, 40, 1.5),
        lambda: put("horn", horn(n("horn")), 380, 40, 1.5),
    ]
    statements = [
        *(lambda a=a, b=b: d.join(DowelJoint(p[a], p[b])) for a in ("left", "right", "cross") for b in ("front", "back")),
        lambda: d.join(DowelJoint(p["west"], p["left"])),
        lambda: d.join(DowelJoint(p["east"], p["right"])),
        lambda: d.join(ThroughDowels(p["west"], p["cross"], p["east"])),
        lambda: d.join(FaceDowels(p["block"], p["front"], at=seq([seq([18, 15]), seq([42, 45])]))),
        lambda: d.join(Bond(p["block"], p["front"], "PVAc")),
        lambda: d.join(Laminate(seq([p["back"], p["second front"]]))),
        lambda: d.join(FaceDowels(p["shelf"], p["east"], dowel="8x30")),
        lambda: d.join(WoodScrewFixing(p["cleat"], p["cross"], screw="4x40")),
        lambda: d.join(WoodScrewFixing(p["under"], seq([p["front"], p["second front"]]), pitch=200, screw="4x25")),
        lambda: d.join(InsertFixing(p["under"], seq([p["left"], p["right"]]))),
        lambda: d.join(StandOffMount(p["board"], p["under"])),
        lambda: d.join(WoodScrewFixing(p["box"], p["shelf"], screw="4x20 pan")),
        lambda: d.join(ScrewMount(p["fan"], p["under"])),
        lambda: d.join(ScrewMount(p["horn"], p["under"])),
    ]
    if rng:
        rng.shuffle(places)
        rng.shuffle(statements)
    for statement in (*places, *statements):
        statement()
    return d
