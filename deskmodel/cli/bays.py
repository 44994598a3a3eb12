"""The bay table on the terminal, and the line about size and mass."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from deskmodel.cli.text import Style, one_line
from deskmodel.features import Box3
from deskmodel.plans import BayRow, DeskMass, mass_text

__all__ = ["bays_text", "size_text"]

_SIDES = (("left", "x0"), ("right", "x1"), ("front", "y0"), ("back", "y1"), ("below", "z0"), ("above", "z1"))
_HOLDS = 34
_LONGEST = 16
_HINT = 'state one with d.bay("B2", x=(from, to), y=(from, to))'


def bays_text(rows: Sequence[BayRow], style: Style) -> str:
    """A line for each bay, and further ones where it holds much."""
    if not rows:
        return f"{style.paint('bays', 'title')}  none; {_HINT}"
    return "\n".join(_lines(rows, style))


def _lines(rows: Sequence[BayRow], style: Style) -> Iterator[str]:
    names = {row.bay.name: _short(one_line(row.bay.name)) for row in rows}
    sizes = {row.bay.name: " × ".join("open" if side is None else _figure(side) for side in row.clear) for row in rows}
    name, size = max(4, *map(len, names.values())), max(map(len, sizes.values()))
    head = f"{'bay':<{name}}  {'clear x × y × z':<{size}}  {' '.join(f'{side:>6}' for side, _ in _SIDES)}  holds"
    yield style.paint("bays", "title") + "  mm; room left between the equipment and the bay's walls, floor and ceiling"
    yield style.paint(head, "label")
    indent = name + size + 4 + 7 * len(_SIDES) + 1
    for row in rows:
        room = " ".join(f"{_figure(row.room[key]) if key in row.room else '-':>6}" for _, key in _SIDES)
        holds = textwrap.wrap(", ".join(map(one_line, row.holds)) or "nothing", max(_HOLDS, style.width - indent),
                              break_on_hyphens=False)
        yield f"{names[row.bay.name]:<{name}}  {sizes[row.bay.name]:<{size}}  {room}  {holds[0]}"
        for line in holds[1:]:
            yield " " * indent + line


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST else name[:_LONGEST - 1] + "…"


def _figure(value: float) -> str:
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def size_text(box: Box3 | None, mass: DeskMass | None, style: Style) -> str:
    """"size 1480 × 690 × 64.1 mm, 38.4 kg, centre of gravity x 735, y 340, z 31"."""
    label = style.paint("size".ljust(12), "label")
    if box is None:
        return f"    {label}no parts"
    said = " × ".join(_figure(high - low) for low, high in zip(*box, strict=True)) + " mm"
    if mass is not None and mass.centre is not None:
        x, y, z = (f"{c + 0.0:.0f}" for c in mass.centre)
        said += f", {mass_text(mass.kg)}, centre of gravity x {x}, y {y}, z {z}"
        if mass.unknown:
            said += f"; without {len(mass.unknown)} {'part' if len(mass.unknown) == 1 else 'parts'} of unknown mass"
    return f"    {label}{said}"
