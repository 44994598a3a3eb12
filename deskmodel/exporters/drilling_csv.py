"""``documents/drilling.csv``: the drilling schedule, a row for each hole, so that bit and fence change least."""

from __future__ import annotations

from collections.abc import Mapping

from deskmodel.exporters._csv import Cell
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._tables import written_table
from deskmodel.plans import DrillRow, Step, drilling_schedule, numbers_of

__all__ = ["export_drilling"]

NAME = "documents/drilling.csv"
_HEAD = ("piece", "part", "quantity", "material and size (mm)", "marks in the desk", "stage", "face", "x (mm)", "x from",
         "y (mm)", "y from", "diameter (mm)", "right through", "depth to the shoulder (mm)", "depth to the point (mm)",
         "counterbore diameter (mm)", "counterbore depth (mm)", "countersink diameter (mm)", "countersink angle (°)",
         "purpose", "tool", "bush", "counterbore tool", "countersink tool", "joint", "remark", "made from")


def export_drilling(job: ExportJob) -> Written:
    schedule, numbers = drilling_schedule(job.model), numbers_of(job.model)
    rows: list[tuple[Cell, ...]] = [_HEAD, *(_row(row, numbers, schedule.marks, stamp(job)) for row in schedule.rows)]
    return written_table(NAME, rows)


def _row(row: DrillRow, numbers: Mapping[str, str], marks: Mapping[str, str], made_from: str) -> tuple[Cell, ...]:
    bore = row.step("bore")
    return (numbers.get(row.parts[0], ""), "; ".join(row.parts), len(row.parts), row.stock,
            _marks(row.parts, marks), row.stage, row.face, row.x, row.x_from, row.y, row.y_from, row.diameter,
            "yes" if row.through else "no",
            row.shoulder, None if row.through else row.tip, *(row.counterbore or (None, None)),
            *(row.countersink or (None, None)), row.purpose, _tool(bore),
            bore.bush.text if bore is not None and bore.bush is not None else "", _tool(row.step("counterbore")),
            _tool(row.step("countersink")), "; ".join(dict.fromkeys(joint for joint in row.joints if joint)), _remark(row),
            made_from)


def _marks(parts: tuple[str, ...], marks: Mapping[str, str]) -> str:
    """Once where they look the same way in all of the parts."""
    told = [marks.get(part, "") for part in parts]
    if len(set(told)) == 1:
        return told[0]
    return "; ".join(f"{part}: {each}" for part, each in zip(parts, told, strict=True))


def _tool(step: Step | None) -> str:
    """The tool by name; where the shop has none that does it, that."""
    if step is None:
        return ""
    if step.tool is None:
        return f"none for {step.diameter:g}"
    if step.fault == "both faces":
        return f"{step.tool.text}, from both faces"
    return step.tool.text if step.fault is None else f"{step.tool.text}, too short"


def _remark(row: DrillRow) -> str:
    if row.cut:
        return "the hole comes with the plate"
    return "spotted through the part that is screwed on; the figures are to check by" if row.spotted else ""
