"""What is done to a plate that is sawn from a sheet or a board, and to a leaf of veneer, stage by stage.

Everything is measured from the left and the front edge, seen on the top. Advice on splinters, edges and glue that is rolled
on is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.materials import material
from deskmodel.part import Plate
from deskmodel.plans.cut_list import STAGES, CutRow
from deskmodel.plans.operations import Operation, drilling_of, glueing_of, listed, works_at
from deskmodel.plans.schedule import Schedule, plate_marks_of
from deskmodel.workshop import Workshop

__all__ = ["sheet_operations"]

_STAGE = "crosscut"  # of the cut list: when a piece is brought to its size


def sheet_operations(row: CutRow, schedule: Schedule, workshop: Workshop, *, sent: bool = False) -> tuple[Operation, ...]:
    """The steps of a plate of the cut list, in the order of the stages. ``sent``: the cutting service cuts it."""
    part = row.piece.part
    assert isinstance(part, Plate)
    kind = material(part.material).kind
    found = [_marked(row), *([_cut_by_service()] if sent else _sized(row, workshop, kind))]
    holes = () if sent else schedule.of(row.piece.names[0])
    for stage in STAGES:
        works = [] if sent else list(works_at(row, stage))
        if kind == "veneer":  # a leaf is opened on its plate
            found += [*glueing_of(row, stage), *([_trimmed()] if stage == "finish" else []), *works]
        else:
            drilled = drilling_of(row, [hole for hole in holes if hole.stage == stage], None)
            found += [*works, *drilled, *glueing_of(row, stage)]
    if kind != "veneer":
        found.append(Operation("finish", "Break all edges, those of openings and holes too; sand along the grain of the "
                                         "face. What will be glued stays unfinished."))
    if part.veneer is not None:
        found.append(Operation("finish", f"Its {part.veneer.face} is veneered after cutting: {part.veneer.material} "
                                         f"{part.veneer.thickness:g}, a sheet of its own. Veneer on one side alone pulls a "
                                         "loose plate hollow: balance it on the other side."))
    order = ("mark", *STAGES)
    return tuple(sorted(found, key=lambda each: order.index(each.stage)))


def _marked(row: CutRow) -> Operation:
    looks: dict[str, list[str]] = {}
    for placed in row.piece.alike:
        looks.setdefault(plate_marks_of(placed.pose), []).append(placed.name)
    told = [f"In the desk{f' ({listed(names)})' if len(looks) > 1 else ''}: {look}." for look, names in looks.items()]
    return Operation("mark", f"Lay it with its top up; mark the top, the left edge and the front edge, and write "
                             f"{row.piece.number} on it. {' '.join(told)}")


def _sized(row: CutRow, workshop: Workshop, kind: str) -> Iterator[Operation]:
    (length, width, thick), rough = row.finished, row.rough
    saw = f"saw, kerf {workshop.saw.kerf:g}" if workshop.saw is not None else "saw"
    size = f"{length:.6g} along x × {width:.6g} along y"
    if kind == "veneer":
        yield Operation(_STAGE, f"Cut the leaf to {rough[0]:.6g} × {rough[1]:.6g}, grain {row.grain}: it stands out all "
                                f"round its plate of {size} and is trimmed after glueing. Where no leaf is that wide it is "
                                "joined from staves, as the stock layout shows.", "knife and straight edge")
        return
    if kind == "timber":
        yield Operation("plane", f"From rough {rough[0]:g} × {rough[1]:g} × {rough[2]:g}: plane to {thick:g} thick.",
                        "planer" if workshop.planer is not None else "")
    yield Operation(_STAGE, f"Saw from the sheet as the stock layout shows to {size}, grain {row.grain}; left edge and "
                            "front edge first, square, the others from them. Score the line or back it with waste where "
                            "the blade comes out: that face splinters.", saw)
    if row.outline is not None:
        yield Operation(_STAGE, "Then to its outline: by its template where there is one, else by the corners in "
                                "cut-list.csv, which count from the left and the front edge.", "")


def _trimmed() -> Operation:
    return Operation("finish", "When the glue has set, trim it flush with its plate, then round every opening of the "
                               "plate; cut from the face of the veneer, so that it does not lift.", "knife or trimmer")


def _cut_by_service() -> Operation:
    return Operation(_STAGE, "Comes cut from the cutting service, outline, openings and holes: see its DXF.", "")
