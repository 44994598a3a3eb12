"""``documents/plates.csv``: the order for the cutting service, a row for each different plate."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._plates import NOTHING, by_whom, plate_stems, side_of
from deskmodel.general_tolerances import iso_9013
from deskmodel.plans import SentPlate, sent_plates, undrawn_plates
from deskmodel.service import Service

__all__ = ["export_plates"]

NAME = "documents/plates.csv"
_HEAD = ("file", "folded", "plates", "quantity", "material", "thickness (mm)", "length x (mm)", "width y (mm)",
         "tolerance of the length (± mm)", "tolerance of the width (± mm)", "tolerance by", "drawn: its face",
         "DXF origin in the plate's own x, y (mm)", "x in the DXF runs", "area of one (m²)", "area of its box (m²)",
         "cut length of one (m)", "pierces of one", "bends of one", "mass of one as cut (kg)", "mass of all (kg)",
         "sheet", "film", "brushed", "coating", "coating on each face (mm)", "coated on", "besides cutting", "witness hole",
         "remark", "made from")


def export_plates(job: ExportJob) -> Written:
    plates = sent_plates(job.model)
    stems = plate_stems(job, plates)
    rows: list[tuple[Cell, ...]] = [_HEAD, *(_row(job, plate, stems[plate.names[0]].rpartition("/")[2]) for plate in plates)]
    for name, why in ((each.name, each.why) for each in undrawn_plates(job.model)):
        cells: dict[str, Cell] = {"plates": name, "quantity": 1, "remark": f"not drawn: {why}", "made from": stamp(job)}
        rows.append(tuple(cells.get(column) for column in _HEAD))
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back) if len(rows) > 1 else NOTHING


def _row(job: ExportJob, plate: SentPlate, file: str) -> tuple[Cell, ...]:
    sheet, service, finish, count = plate.sheet, job.model.service, plate.finish, len(plate.names)
    length, width = sheet.size
    tolerance = service.laser.tolerance
    own_x, own_y = sheet.to_flat((0.0, 0.0))
    mass = plate.mass
    return (f"{file}.dxf", f"{file}.step" if sheet.bends else None, "; ".join(plate.names), count, sheet.material,
            sheet.thickness, length, width, iso_9013(length, sheet.thickness, tolerance),
            iso_9013(width, sheet.thickness, tolerance), f"ISO 9013, class {tolerance}", side_of(sheet),
            f"{own_x:.3f}, {own_y:.3f}", "with the plate's own x" if sheet.seen == "top" else "against the plate's own x",
            sheet.area * 1e-6, length * width * 1e-6, sheet.cut_length * 1e-3, sheet.pierces, len(sheet.bends), mass,
            None if mass is None else mass * count, *_stock(sheet.material, sheet.thickness, service),
            "no" if finish.brushed is None else f"along {finish.brushed.upper()} of the DXF, on the drawn side",
            finish.coating or "none", (finish.thickness or "unknown") if finish.coating else None,
            ("the drawn side" if finish.coated == "seen face" else finish.coated) if finish.coating else None,
            _besides(plate, service), "yes" if plate.first.plate.witness else "no", None, stamp(job))


def _stock(material: str, thickness: float, service: Service) -> tuple[str, str]:
    """(sheet, film), "unknown" where the service has not stated it."""
    found = service.sheets_of(material, thickness) if service.states("sheet") else []
    if not found:
        return "unknown", "unknown"
    return "; ".join(sheet.text for sheet in found), "; ".join(dict.fromkeys(sheet.film for sheet in found))


def _besides(plate: SentPlate, service: Service) -> str:
    """"4 × countersink on the drawn side by the workshop"."""
    told = Counter((work.kind, work.drawn, by_whom(work, service)) for work in plate.sheet.works)
    return "; ".join(f"{count} × {kind} on the {'drawn' if drawn else 'far'} side by the {whom}"
                     for (kind, drawn, whom), count in sorted(told.items())) or "nothing"
