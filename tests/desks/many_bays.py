"""A generated desk of 1480 × 690 × 64 with 17 bays in five columns, leg blocks, and equipment of all sizes (invented)."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from deskmodel import Component, Cover, CutOut, Desk, Hole, Member, Plate, VentField, rectangle
from deskmodel.component._part import box_prism, cylinder_prism

__all__ = ["BAYS", "EQUIPMENT", "many_bays"]

_COLUMNS = {"A": (22, 252), "B": (274, 458), "C": (480, 1000), "D": (1022, 1206), "E": (1228, 1458)}
_ROWS = {"A": (22, 144, 166, 340, 362, 540, 562, 668), "B": (22, 180, 202, 390, 412, 668),
         "C": (22, 202, 224, 536, 558, 668), "D": (22, 114, 136, 264, 286, 506, 528, 668),
         "E": (22, 144, 166, 472, 494, 668)}
BAYS: Mapping[str, tuple[tuple[float, float], tuple[float, float]]] = {
    f"{column}{i // 2 + 1}": (_COLUMNS[column], (ys[i], ys[i + 1]))
    for column, ys in _ROWS.items() for i in range(0, len(ys), 2)}

EQUIPMENT: tuple[tuple[str, tuple[float, float, float], tuple[float, float, float]], ...] = (
    ("loudspeaker left", (110, 100, 34), (120, 30, 1.5)), ("loudspeaker right", (110, 100, 34), (1240, 30, 1.5)),
    ("network switch", (160, 100, 28), (40, 200, 1.5)), ("mobile router", (120, 90, 30), (60, 400, 1.5)),
    ("charging well 1", (70, 60, 40), (280, 30, 1.5)), ("charging well 2", (70, 60, 40), (370, 30, 1.5)),
    ("amplifier board", (80, 50, 15), (300, 120, 8)), ("Mini-ITX board", (170, 170, 44), (281, 211, 8)),
    ("fan 1", (80, 80, 15), (280, 560, 1.5)), ("fan 2", (80, 80, 15), (370, 560, 1.5)),
    ("keyboard", (440, 140, 30), (520, 42, 1.5)), ("driver board", (120, 60, 15), (560, 300, 8)),
    ("chart panel", (500, 295, 15), (490, 232, 35)), ("socket strip", (250, 45, 45), (490, 600, 1.5)),
    ("supply", (150, 82, 41), (830, 570, 1.5)), ("radio control strip", (170, 60, 30), (1030, 40, 10)),
    ("tide-slip printer", (110, 110, 50), (1060, 145, 1.5)), ("VHF transceiver", (165, 155, 45), (1030, 300, 1.5)),
    ("AIS receiver", (130, 90, 35), (1040, 550, 1.5)), ("log-book tray", (220, 300, 40), (1233, 169, 1.5)))


def many_bays(name: Callable[[str], str] = lambda name: name, covers: bool = True) -> Desk:
    """``name`` changes every name that a person gives."""
    d = Desk(name("duty desk"), envelope=(1480, 690, 64.1))

    def rail(title: str, length: float, x: float, y: float, along: str = "x", section: float = 22) -> None:
        d.place(Member(name(title), (section, 60), length, "ash"), at=(x, y, 1.5), along=along)

    rail("front", 1480, 0, 0)
    rail("back", 1480, 0, 668)
    for title, x in (("left end", 0), ("right end", 1458), ("cross AB", 252), ("cross BC", 458), ("cross CD", 1000),
                     ("cross DE", 1206)):
        rail(title, 646, x, 22, "y")
    for column, ys in _ROWS.items():
        x0, x1 = _COLUMNS[column]
        for i in range(1, len(ys) - 1, 2):
            rail(f"rail {column}{(i + 1) // 2}", x1 - x0, x0, ys[i])
    for title, x, y in (("front left", 22, 22), ("front right", 1378, 22), ("back left", 22, 588),
                        ("back right", 1378, 588)):
        rail(f"leg block {title}", 80, x, y, section=80)
    d.bore(name("cross AB"), "x", (252, 250, 30), 20, "cable bore")
    d.place(Plate(name("under-plate"), rectangle(1478, 688, (1, 1)), 1.5, "steel", features=(
        VentField((340, 50), 15, 12, 8, 5), VentField((340, 450), 15, 20, 8, 5),
        CutOut(rectangle(60, 40, (900, 590), radius=8)), Hole("top", (137, 630), 30))), at=(1, 1, 0))
    d.place(Plate(name("top plate"), rectangle(1480, 690), 1.5, "aluminium", features=tuple(
        CutOut(rectangle(x1 - x0 + 24, y1 - y0 + 24, (x0 - 12, y0 - 12))) for (x0, x1), (y0, y1) in BAYS.values()
        if covers)), at=(0, 0, 62))
    for bay, ((x0, x1), (y0, y1)) in BAYS.items():
        if covers:
            d.place(Cover(name(f"cover {bay}"), (x1 - x0 + 20, y1 - y0 + 20)), at=(x0 - 10, y0 - 10, 62))
        d.bay(name(bay), x=(x0, x1), y=(y0, y1))
    for title, size, at in EQUIPMENT:
        bodies = (box_prism(size, (0, 0, 0)),)
        if title.startswith("loudspeaker"):
            bodies = (*bodies, cylinder_prism(70, 6, (size[0] / 2, size[1] / 2, size[2]), (0, 0, 1)))
        d.place(Component(name(title), "none", "invented", bodies, mass=0.5), at=at)
    return d
