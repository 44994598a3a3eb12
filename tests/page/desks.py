"""A small desk for the page, with everything on it that the page shows, and figures that follow from its own statements.

      y ^   +------------- back (y 178 to 200) --------------+
        |   | left end                              right end|      rails 22 × 60, z 0 to 60
        |   |      block           neighbour                 |
        |   +------------- front (y 0 to 22) ----------------+ -> x, 0 to 400
"""

from __future__ import annotations

from pathlib import Path

from deskmodel import Cover, CutOut, Desk, DowelJoint, Hole, Member, Plate, Pocket, Slot, VentField, rectangle
from deskmodel.desk import Placed
from deskmodel.model import freeze
from deskmodel.page import Scene
from deskmodel.session.run import Checked, Loaded, Session
from deskmodel.session.script import load_script

__all__ = ["HOSTILE", "bored", "checked", "cut_rail", "duty_scene", "page_desk", "plain_rails", "scene"]

HOSTILE = ("<script>window.broken = 1</script>", '"><img src=x onerror="window.broken = 1">', "=cmd|' /C calc'!A0",
           "../../etc/passwd", "</script><svg onload=window.broken=1>", "<!--", "${window.broken = 1}", "a\nb\tc",
           "\u202eabc")


def page_desk(deep: float = 2.0, bore: float = 100.0, block: float = 60.0) -> Desk:
    """``deep``: how far the block stands in the front rail; ``bore``: x of the first bore; ``block``: x of the block."""
    d = Desk("page desk", envelope=(400, 200, 63.5))

    def rail(name: str, length: float, at: tuple[float, float, float], along: str = "x",
             features: tuple[Hole, ...] = ()) -> Placed:
        return d.place(Member(name, (22, 60), length, "ash", features), at=at, along=along)

    # axes along y at x = bore and x = 300, 30 up: 300 - bore apart
    front = rail("front", 400, (0, 0, 0), features=(
        Hole("face side", (bore, 30), 20, name="lead", purpose="cable"), Hole("face side", (300, 30), 20, name="air")))
    back = rail("back", 400, (0, 178, 0))
    ends = [rail("left end", 156, (0, 22, 0), "y"), rail("right end", 156, (378, 22, 0), "y")]
    for end in ends:
        d.join(DowelJoint(end, front), DowelJoint(end, back))
    d.place(Plate("under-plate", rectangle(400, 200), 1.5, "steel", (VentField((150, 80), 6, 4),)), at=(0, 0, -1.5))
    d.place(Plate("top plate", rectangle(400, 200), 1.5, "aluminium",
                  (CutOut(rectangle(204, 124, (98, 38))),)), at=(0, 0, 61))
    d.place(Cover("lid", (200, 120), lift=90), at=(100, 40, 61))
    d.bay("A", x=(22, 378), y=(22, 178))
    # in the front rail by ``deep``: they share 30 × deep × 40
    d.place(Member("block", (30, 40), 30, "beech"), at=(block, 22 - deep, 5))
    neighbour = d.place(Member("neighbour", (30, 40), 30, "beech"), at=(250, 60, 0))
    d.require_gap(neighbour, d.place(Member("near it", (30, 40), 30, "beech"), at=(250, 93, 0)), 5, reason="air")  # 3 apart
    return d


def plain_rails(names: tuple[str, ...] = HOSTILE) -> Desk:
    """A rail for each name, 30 apart."""
    d = Desk(names[0])
    for number, name in enumerate(names):
        d.place(Member(name, (22, 60), 200, "ash", (Hole("face side", (50, 30), 8, name=name),)), at=(0, 52 * number, 0))
    d.bay(f"bay {names[1]}", x=(0, 200), y=(22, 52))
    return d


def bored(rail: str = "rail", **bores: float) -> Desk:
    """Two rails 400 long; in the face side of the first (y 0) a bore of each name at its x, 30 up."""
    d = Desk("bored")
    holes = tuple(Hole("face side", (x, 30), 20, name=name) for name, x in bores.items())
    d.place(Member(rail, (22, 60), 400, "ash", holes), at=(0, 0, 0))
    d.place(Member("behind", (22, 60), 400, "ash"), at=(0, 100, 0))
    return d


def cut_rail() -> Desk:
    """A rail 400 × 22 × 60 whose face side (y 0) holds, at heights z: a slot of x 170 to 230, z 25 to 35, 15 deep, its ends
    half rounds of 5; two pockets 10 deep, "left" of x 60 to 100 and "right" of x 300 to 340, both z 20 to 40; a bore of 8
    through, its axis in the middle of the lower wall of the left pocket: x 80, z 20."""
    d = Desk("cut rail")
    d.place(Member("rail", (22, 60), 400, "ash", (
        Slot("face side", (200, 30), 60, 10, depth=15, name="cable"),
        Pocket("face side", rectangle(40, 20, (60, 20)), 10, name="left"),
        Pocket("face side", rectangle(40, 20, (300, 20)), 10, name="right"),
        Hole("face side", (80, 20), 8, name="over"))), at=(0, 0, 0))
    return d


def checked(desk: Desk, session: Session | None = None) -> tuple[Session, Checked]:
    model, lines = freeze(desk)
    session = session or Session()
    return session, session.check(Loaded(Path("desk.py"), model, lines))


def scene(desk: Desk, session: Session | None = None, before: Scene | None = None) -> Scene:
    session, done = checked(desk, session)
    return session.scene(done, unreleased=done.held_back, before=before)


def duty_scene() -> Scene:
    """The worked desk in parts/."""
    session = Session()
    return session.scene(session.check(session.load(load_script(Path(__file__).parent.parent.parent / "parts" / "desk.py"))))
