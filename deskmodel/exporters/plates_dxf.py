"""``plates/*.dxf``: each plate for the cutting service, seen on the face that is seen in the finished desk."""

from __future__ import annotations

from pathlib import Path

from deskmodel.exporters._dxf import check_dxf, dxf_bytes
from deskmodel.exporters._dxf_template import dxf_template
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._plates import by_whom, plate_stems, side_of
from deskmodel.plans import SentPlate, sent_plates
from deskmodel.profiles import Profile

__all__ = ["export_dxf"]


def export_dxf(job: ExportJob) -> Written:
    plates = sent_plates(job.model)
    stems = plate_stems(job, plates)
    files: dict[str, bytes] = {}
    if plates:
        template = dxf_template(job.cache)
        files = {f"{stems[plate.names[0]]}.dxf": dxf_bytes(template, plate.sheet, _contours(plate), _notes(job, plate))
                 for plate in plates}

    def read_back(folder: Path) -> None:
        for plate in plates:
            name = f"{stems[plate.names[0]]}.dxf"
            check_dxf(name, (folder / name).read_bytes(), plate.sheet, _contours(plate))

    return Written(files, read_back)


def _contours(plate: SentPlate) -> list[Profile]:
    """Cuts first, the outline last: cut the other way round, the plate would lie loose under the laser."""
    return [*(cut.outline for cut in plate.first.distinct), plate.sheet.outline]


def _notes(job: ExportJob, plate: SentPlate) -> list[str]:
    sheet = plate.sheet
    notes = [f"{', '.join(plate.names)}", f"{sheet.material} {sheet.thickness:g} mm, {len(plate.names)} off, {stamp(job)}",
             f"seen on the {side_of(sheet)}, the finished face"]
    if plate.finish.brushed is not None:
        notes.append(f"brushed along {plate.finish.brushed.upper()}")
    if sheet.bends:
        notes.append(f"{len(sheet.bends)} {'bend' if len(sheet.bends) == 1 else 'bends'}, up is towards the viewer; folded: "
                     "see the STEP file of the same name")
    for whom in sorted({by_whom(work, job.model.service) for work in sheet.works}):
        count = sum(by_whom(work, job.model.service) == whom for work in sheet.works)
        notes.append(f"{count} countersinks and the like by the {whom}, see countersinks.csv")
    return notes
