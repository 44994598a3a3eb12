"""``documents/cut-list.csv``: a row for each piece with its sizes, below it a row for each cut and for each glued face."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.exporters._csv import Cell
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._outline_text import outline_text
from deskmodel.exporters._tables import written_table
from deskmodel.part import Member
from deskmodel.plans.cut_list import CutRow, Seam, cut_list, stages_of
from deskmodel.plans.works import Work

__all__ = ["export_cut_list"]

NAME = "documents/cut-list.csv"
_HEAD = ("piece", "row", "part", "quantity", "material", "grain", "finished length (mm)", "finished width (mm)",
         "finished thickness (mm)", "rough length (mm)", "rough width (mm)", "rough thickness (mm)",
         "datum end leans (°)", "far end leans (°)", "marks in the desk", "order of work", "stage", "face",
         "x from (mm)", "x to (mm)", "x measured from", "y from (mm)", "y to (mm)", "y measured from", "depth (mm)",
         "right through", "outline", "second face", "angle (°)", "other part", "other face", "remark", "made from")


def export_cut_list(job: ExportJob) -> Written:
    rows: list[tuple[Cell, ...]] = [_HEAD]
    for row in cut_list(job.model).rows:
        rows.append(_piece(row, stamp(job)))
        rows += (_cut(row, work, stamp(job)) for work in row.works)
        rows += (_glued(row, seam, stamp(job)) for seam in row.seams)
    return written_table(NAME, rows)


def _row(values: dict[str, Cell]) -> tuple[Cell, ...]:
    return tuple(values.get(key, "") for key in _HEAD)


def _piece(row: CutRow, made_from: str) -> tuple[Cell, ...]:
    part = row.piece.part
    member = isinstance(part, Member)
    sizes = zip(("length", "width", "thickness"), row.finished, row.rough, strict=True)
    values: dict[str, Cell] = {
        "piece": row.piece.number, "row": "piece", "part": "; ".join(row.piece.names), "quantity": row.quantity,
        "material": part.material, "grain": row.grain, "marks in the desk": _marks(row),
        "order of work": ", ".join(_with_holes(row)), "remark": "; ".join(_remarks(row)), "made from": made_from}
    for what, finished, rough in sizes:
        values |= {f"finished {what} (mm)": finished, f"rough {what} (mm)": rough}
    if member:
        values |= {"datum end leans (°)": row.ends[0], "far end leans (°)": row.ends[1]}
    if row.outline is not None:
        values |= {"outline": outline_text(row.outline), "x measured from": "left edge", "y measured from": "front edge"}
    return _row(values)


def _remarks(row: CutRow) -> Iterator[str]:
    if any(row.ends):
        yield "the length is that between the long points"
    if row.laminated:
        yield f"laminated to {', '.join(row.laminated)}"


def _with_holes(row: CutRow) -> Iterator[str]:
    for stage in stages_of(row):
        count = row.holes.get(stage, 0)
        yield f"{stage} ({count} {'hole' if count == 1 else 'holes'})" if count else stage


def _marks(row: CutRow) -> str:
    """Once where they look the same way in all of the parts."""
    told = list(row.marks.values())
    if len(set(told)) <= 1:
        return told[0] if told else ""
    return "; ".join(f"{part}: {each}" for part, each in row.marks.items())


def _cut(row: CutRow, work: Work, made_from: str) -> tuple[Cell, ...]:
    return _row({
        "piece": row.piece.number, "row": work.kind, "part": "; ".join(row.piece.names), "quantity": row.quantity,
        "stage": work.stage, "face": work.face, "x from (mm)": work.x[0], "x to (mm)": work.x[1],
        "x measured from": work.x_from, "y from (mm)": work.y[0], "y to (mm)": work.y[1], "y measured from": work.y_from,
        "depth (mm)": work.depth, "right through": "yes" if work.through else "no",
        "outline": " / ".join(outline_text(each) for each in work.outlines), "second face": work.second,
        "angle (°)": work.angle, "remark": "; ".join(text for text in (work.name, work.about) if text),
        "made from": made_from})


def _glued(row: CutRow, seam: Seam, made_from: str) -> tuple[Cell, ...]:
    x: tuple[Cell, Cell] = seam.x or (None, None)
    y: tuple[Cell, Cell] = seam.y or (None, None)
    return _row({
        "piece": row.piece.number, "row": seam.kind, "part": seam.part, "quantity": 1, "stage": seam.stage,
        "face": seam.face, "x from (mm)": x[0], "x to (mm)": x[1], "x measured from": seam.x_from,
        "y from (mm)": y[0], "y to (mm)": y[1], "y measured from": seam.y_from, "other part": seam.other,
        "other face": seam.other_face, "remark": seam.what,
        "made from": made_from})
