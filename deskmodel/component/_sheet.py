"""Reading a component's data sheet. Every value is checked; a fault names file, line, key, value and what is allowed.

    name = "flat supply"
    source = "invented"          # or the maker's data sheet with its date
    mass = 0.62                  # kg; 0.02 to 20 for each dm³ of the bodies, or 0
    heat = 18                    # W, optional

    [[body]]                     # one or more; all lengths in mm
    box = [150, 82, 41]          # or: cylinder = [diameter, length], towards = "+z"
    at = [0, 0, 0]               # lowest corner; of a cylinder the centre of its first end

    [[port]]
    name = "mains in"
    at = [0, 41, 20]             # centre of the mouth
    towards = "-x"               # where the plug sticks out
    plug = [30, 22, 60]          # width, height, length with the cable's bend
    mains = true                 # carries mains voltage; optional, else false

    [[vent]]                     # air room in front of an opening
    at = [150, 10, 5]            # lowest corner of the opening
    size = [0, 60, 30]           # 0 in the direction it looks
    towards = "+x"
    clear = 5                    # mm that must stay free in front

    [[keep_out]]
    name = "lid"
    reason = "service"           # service, air, plug; no-metal: timber, ply, plastic and glass may stand in it, metal not
    box = [150, 82, 10]
    at = [0, 0, 41]

    [[hole]]                     # mounting hole along z
    at = [6, 6]
    diameter = 3.4               # of a threaded hole that of the thread
    depth = 8                    # from below, of a threaded hole; optional, else right through

    [pattern]                    # the mounting holes of a published form; [[pattern]] for several
    form = "mini-itx"            # atx, micro-atx, mini-itx, fan 80, vesa 75, sff-8201 bottom, c14 …
    at = [0, 170]                # its origin: of a board the rear edge's corner on the sockets' side, x along that edge,
                                 # y to the front; of a fan a corner; of a drive the left corner of the connectors' end;
                                 # of the others the middle
    turn = 270                   # about the origin, anticlockwise from above: 0, 90, 180, 270; optional, else 0. A board
                                 # whose sockets look to the left: at = [0, depth], turn = 270; to the back:
                                 # [width, depth], 180; to the right: [width, 0], 90; to the front: [0, 0], 0
    depth = 6                    # of threaded holes, where the maker allows less than the form; optional
"""

from __future__ import annotations

from pathlib import Path

from deskmodel.component._file import read_table
from deskmodel.component._holes import holds, mounting_holes
from deskmodel.component._part import (
    DIRECTIONS,
    Component,
    KeepOut,
    KeepOutKind,
    Port,
    box_prism,
    cylinder_prism,
)
from deskmodel.component._table import Table
from deskmodel.features import Prism
from deskmodel.frames import Vec, add, scale
from deskmodel.part import Bodies

__all__ = ["HEAVIEST", "LARGEST", "LIGHTEST", "SMALLEST", "read_sheet"]

HEAVIEST = 20.0
"""kg/dm³ of all bodies together. Tungsten and gold have 19.3 (handbooks of physics); equipment has 0.5 to 7."""

LARGEST = 3000.0
"""mm. No piece of equipment inside a desk is larger; a larger number is a slip of the decimal point."""

LIGHTEST = 0.02
"""kg/dm³. Expanded polystyrene for packing begins about there (common practice); nothing that works is as light."""

MOUTH = 5.0
"""mm by which a socket may stand out of its body or lie back in it."""

SMALLEST = 0.01
"""mm. Nothing that matters to fit is thinner."""


def read_sheet(path: Path | str, name: str | None = None) -> Component:
    """The component of a data sheet, under ``name`` or the sheet's own name. InputFault where the sheet is at fault."""
    path = Path(path)
    return _component(read_table(path, "data sheet"), path, name)


def _component(sheet: Table, path: Path, name: str | None) -> Component:
    own_name = sheet.text("name")
    source = sheet.text("source")
    mass = sheet.number("mass", low=0.0, high=200.0, unit="kg")
    heat = sheet.number("heat", low=0.0, high=5000.0, default=0.0, unit="W")
    entries = sheet.tables("body", at_least=1)
    bodies = tuple(_body(entry) for entry in entries)
    _weigh(mass, bodies, entries)
    ports = tuple(_port(entry, bodies) for entry in sheet.tables("port"))
    vents = tuple(_vent(entry, i) for i, entry in enumerate(sheet.tables("vent"), 1))
    rooms = tuple(_keep_out(entry) for entry in sheet.tables("keep_out"))
    holes = mounting_holes(sheet, bodies)
    sheet.finish()
    _unique("port", [port.name for port in ports], sheet)
    _unique("keep_out", [room.name for room in rooms], sheet)
    return Component(own_name if name is None else name, path.name, source, bodies, mass, heat, ports, (*vents, *rooms),
                     holes)


def _weigh(mass: float, bodies: tuple[Prism, ...], entries: list[Table]) -> None:
    """InputFault, at the size of the largest body, where the mass is none for bodies of that size."""
    each = [body.volume * 1e-6 for body in bodies]
    density = mass / sum(each)
    if mass > 0 and not LIGHTEST <= density <= HEAVIEST:
        entry = entries[each.index(max(each))]
        raise entry.fault("cylinder" if entry.has("cylinder") else "box",
                          f"mass {mass:g} kg in bodies of {sum(each):.3g} dm³ is {density:.3g} kg per dm³: mm and kg? "
                          "a decimal point too far?", f"{LIGHTEST:g} to {HEAVIEST:g} kg per dm³")


def _body(entry: Table) -> Prism:
    at = entry.vector("at", 3)
    if entry.has("cylinder"):
        diameter, length = entry.vector("cylinder", 2, low=SMALLEST, high=LARGEST)
        towards = entry.choice("towards", tuple(DIRECTIONS), default="+z")
        prism = cylinder_prism(diameter, length, _three(at), DIRECTIONS[towards])
    else:
        prism = box_prism(_three(entry.vector("box", 3, low=SMALLEST, high=LARGEST)), _three(at))
    entry.finish()
    return prism


def _port(entry: Table, bodies: tuple[Prism, ...]) -> Port:
    port = Port(entry.text("name"), _three(entry.vector("at", 3)), entry.choice("towards", tuple(DIRECTIONS)),
                _three(entry.vector("plug", 3, low=SMALLEST, high=LARGEST)), entry.flag("mains"))
    entry.finish()
    out = DIRECTIONS[port.towards]
    behind, before = (add(port.at, scale(out, side * MOUTH)) for side in (-1.0, 1.0))
    if not any(holds(body, behind) for body in bodies) or any(holds(body, before) for body in bodies):
        low, high = Bodies(bodies).bounds
        reach = " × ".join(f"{to - start:g}" for start, to in zip(low, high, strict=True))
        raise entry.fault("at", f"{list(port.at)}, towards {port.towards}; the bodies reach {reach} mm from {list(low)}",
                          f"a mouth within {MOUTH:g} mm of the face of a body, from which the plug leads out")
    return port


def _vent(entry: Table, number: int) -> KeepOut:
    at, size = _three(entry.vector("at", 3)), _three(entry.vector("size", 3, low=0.0, high=LARGEST))
    towards = entry.choice("towards", tuple(DIRECTIONS))
    clear = entry.number("clear", low=0.1, high=500.0)
    entry.finish()
    direction = DIRECTIONS[towards]
    axis = next(i for i in range(3) if direction[i])
    if size[axis] != 0 or any(size[i] < SMALLEST for i in range(3) if i != axis):
        raise entry.fault("size", f"{list(size)}", f"0 along {towards}, {SMALLEST:g} or more in the other two directions")
    deep = tuple(clear if i == axis else size[i] for i in range(3))
    low = add(at, scale(direction, clear)) if direction[axis] < 0 else at
    return KeepOut(f"air before vent {number}", "air", "air of a vent", box_prism(_three(deep), low))


def _keep_out(entry: Table) -> KeepOut:
    kinds: dict[str, KeepOutKind] = {"service": "service", "air": "air", "plug": "plug", "no-metal": "no-metal"}
    reason = entry.choice("reason", tuple(kinds))
    keep_out = KeepOut(entry.text("name"), kinds[reason], reason,
                       box_prism(_three(entry.vector("box", 3, low=SMALLEST, high=LARGEST)),
                                 _three(entry.vector("at", 3))))
    entry.finish()
    return keep_out


def _unique(what: str, names: list[str], sheet: Table) -> None:
    for name in names:
        if names.count(name) > 1:
            raise sheet.fault(what, f"two {what}s named {name!r}", "a name of its own for each")


def _three(values: tuple[float, ...]) -> Vec:
    x, y, z = values
    return (x, y, z)
