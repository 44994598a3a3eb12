"""Bent plates of every sort, by name (all invented)."""

from __future__ import annotations

from deskmodel.bends import Flange
from deskmodel.features import CutOut, Hole, Pocket, Slot, VentField
from deskmodel.part import Plate
from deskmodel.profiles import Profile, polygon, rectangle

__all__ = ["BRACKETS"]

L_SHAPE = polygon([(0, 0), (100, 0), (100, 40), (40, 40), (40, 90), (0, 90)])
TRAPEZE = polygon([(0, 0), (120, 0), (90, 60), (20, 60)])
D_SHAPE = Profile(((0, 0, 0.0), (60, 0, 1.0), (60, 50, 0.0), (0, 50, 0.0)))

BRACKETS: dict[str, Plate] = {plate.name: plate for plate in (
    Plate("inlet bracket", rectangle(80, 40), 1.5, "steel",
          flanges=(Flange("back", length=50, angle=90, radius=1.5, k=0.44, towards="top"),
                   Flange("left", length=20, start=5, stop=35)),
          features=(Hole("bottom", (10, 10), 4.5), CutOut(rectangle(27.5, 20.2, (26, 15)), face="back flange outside"),
                    Hole("left flange inside", (20, 12), 4.5, countersink=(6, 90)))),
    Plate("tray", rectangle(120, 80, (5, -7)), 1, "aluminium",
          flanges=tuple(Flange(side, 20) for side in ("front", "back", "left", "right")),
          features=(VentField((30, 10), 6, 3), Slot("right flange outside", (40, 12), 20, 5))),
    Plate("up and down", rectangle(80, 60), 2, "stainless steel",
          flanges=(Flange("back", 30, radius=3), Flange("left", 25, 60, towards="bottom"), Flange("front", 18, 120)),
          features=(Pocket("back flange inside", rectangle(20, 8, (30, 12)), 0.5),
                    Hole("left flange outside", (30, 15), 5, 1.0))),
    Plate("Z", rectangle(60, 40), 1.5, "steel",
          flanges=(Flange("right", 25), Flange("right flange", 20, towards="outside")),
          features=(Hole("right flange return outside", (20, 12), 5),)),
    Plate("hat", rectangle(60, 40), 1.2, "steel", flanges=(
        Flange("front", 20, 80, name="a"), Flange("back", 20, 80, name="b"),
        Flange("a", 15, 80, towards="outside"), Flange("b", 15, 80, towards="outside"))),
    Plate("return", rectangle(60, 40), 1, "brass", flanges=(
        Flange("back", 30), Flange("back flange", 20, start=10, stop=50), Flange("back flange return", 10, 45),
        Flange("back flange", 8, 30, start=52, stop=60, towards="outside", name="tab"))),
    Plate("tabs", rectangle(100, 40), 1.5, "steel", flanges=(
        Flange("front", 12, start=0, stop=20, name="t1"), Flange("front", 15, start=22, stop=40, name="t2"),
        Flange("front", 12, start=60, stop=80, towards="bottom", name="t3"))),
    Plate("ell", L_SHAPE, 1.5, "steel", flanges=(Flange(2, 15, stop=40), Flange(3, 15), Flange(5, 30, 100)),
          features=(Hole("edge 3 flange outside", (30, 10), 4),)),
    Plate("trapeze", TRAPEZE, 1, "aluminium", flanges=(Flange(1, 15, 70), Flange(3, 12, towards="bottom"))),
    Plate("round end", D_SHAPE, 1.5, "steel", flanges=(Flange("front", 20), Flange("left", 15, start=5, stop=40)),
          features=(Hole("top", (60, 25), 20),)),
    Plate("rounded", rectangle(80, 50, radius=8), 1.5, "steel", flanges=(Flange("back", 20), Flange("right", 10, 30))),
)}
