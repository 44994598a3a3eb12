"""A small desk of every kind of thing, as a list of statements that may run in any order within their two groups."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from random import Random

from deskmodel import (
    Bevel,
    Bond,
    Cover,
    CutOut,
    Desk,
    DowelJoint,
    Hole,
    InsertFixing,
    Member,
    Notch,
    Plate,
    Rest,
    VentField,
    read_sheet,
    rectangle,
)

__all__ = ["HOSTILE_NAMES", "SHEETS", "small_desk"]

SHEETS = Path(__file__).parent.parent.parent / "deskmodel" / "templates" / "shelf" / "equipment"
HOSTILE_NAMES = ["a 'quoted' \"name\"", "<script>alert(1)</script>", "=cmd|' /C calc'!A0", "../../etc/passwd",
                 "{0} {} {name}", "%s %n", "Tür – Ø 8 × 40 ½ \U0001fa91", "a\nb\tc", "\\u0000 \\", "x" * 300, "-", ".",
                 "NaN", "null", " padded "]


def small_desk(names: Callable[[str], str] = lambda name: name, rng: Random | None = None, whole: type = float,
               sequence: type = tuple, shift: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Desk:
    """``rng`` shuffles the statements; ``whole`` writes numbers, ``sequence`` tuples; ``shift`` moves the whole desk."""
    n, seq = whole, sequence
    d = Desk(names("desk"), envelope=seq([n(600), n(400), n(70)]))
    p: dict[str, object] = {}

    def at(x: float, y: float, z: float) -> object:
        moved = (x + shift[0], y + shift[1], z + shift[2])
        return seq([n(v) if float(v).is_integer() else v for v in moved])

    def put(key: str, part: object, where: object, **more: object) -> None:
        p[key] = d.place(part, at=where, **more)

    def member(key: str, length: float, *where: float, along: str = "x", features: tuple = ()) -> None:
        put(key, Member(names(key), seq([n(22), n(60)]), n(length), "ash", features), at(*where), along=along)

    places = [
        lambda: member("front", 600, 0, 0, 1.5, features=seq([Bevel(seq(["face edge", "face side"]), n(3))])),
        lambda: member("back", 600, 0, 378, 1.5),
        lambda: member("left", 356, 0, 22, 1.5, along="y", features=seq([Notch("face edge", n(150), n(40), n(12))])),
        lambda: member("right", 356, 578, 22, 1.5, along="-y"),
        lambda: put("under", Plate(names("under"), rectangle(n(598), n(398)), 1.5, "steel", seq([
            VentField(seq([n(420), n(150)]), 4, 3), CutOut(rectangle(n(80), n(60), seq([n(100), n(250)]), radius=n(8)))])),
            at(1, 1, 0)),
        lambda: put("top", Plate(names("top"), rectangle(n(600), n(400)), 1.5, "aluminium", seq([
            CutOut(rectangle(n(300), n(200), seq([n(100), n(100)])))])), at(0, 0, 62)),
        lambda: put("cover", Cover(names("cover"), seq([n(296), n(196)])), at(102, 102, 62)),
        lambda: put("supply", read_sheet(SHEETS / "flat-supply.toml", names("supply")), at(350, 80, 1.5)),
        lambda: put("speaker", read_sheet(SHEETS / "loudspeaker.toml", names("speaker")), at(60, 60, 1.5)),
    ]
    frame = ("front", "back", "left", "right")
    statements = [
        *(lambda a=a, b=b: d.join(DowelJoint(p[a], p[b])) for a in ("left", "right") for b in ("front", "back")),
        lambda: d.join(InsertFixing(p["under"], seq([p[k] for k in frame]), pitch=n(150))),
        lambda: d.join(Bond(p["top"], seq([p[k] for k in frame]))),
        lambda: d.join(Rest(p["supply"], p["under"], held="strips")),
        lambda: d.join(Rest(p["speaker"], p["under"])),
        lambda: d.bore(p["right"], "x", at(578, 200, 30), n(20), name=names("bore")),
        lambda: d.bore(p["left"], "x", at(0, 100, 25), n(12)),
        lambda: d.cut(p["back"], Hole("face side", seq([n(300), n(30)]), n(10), purpose="cable", name="lead")),
        lambda: d.require_gap(p["supply"], seq([p["front"], p["speaker"]]), n(5), reason=names("air")),
        lambda: d.require_gap(p["speaker"], p["cover"], n(8), reason="sound"),
        lambda: d.cable(names("lead"), n(6), seq([at(150, 115, 20), at(150, 150, 20), at(150, 300, 20)])),
        lambda: d.keep_clear(names("knees"), at(100, 320, 10), seq([n(50), n(30), n(20)]), "hand"),
        lambda: d.bay(names("bay"), x=seq([n(22) + shift[0], n(578) + shift[0]]), y=seq([n(22) + shift[1], 378 + shift[1]])),
        lambda: d.accept("gap-too-small", seq([p["supply"], p["front"]]), reason="looked at"),
        lambda: d.accept("keep-out-invaded", p["supply"], reason="no plug there"),
    ]
    if rng:
        rng.shuffle(places)
        rng.shuffle(statements)
    for statement in (*places, *statements):
        statement()
    return d
