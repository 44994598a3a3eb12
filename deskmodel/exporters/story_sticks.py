"""``templates/story-stick-*``: the places along every member that is drilled in its sides or edges; as pages to print at
1:1, and for each face in one piece, for a laser."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree
from pathlib import Path

from deskmodel.drawing import Drawing, svg_bytes
from deskmodel.drawing.stick_view import stick_pages, stick_plate
from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._slug import slugs
from deskmodel.jigs.sticks import story_sticks

__all__ = ["export_story_sticks"]


def export_story_sticks(job: ExportJob) -> Written:
    made = story_sticks(job.model, job.jigs)
    names = slugs(sticks.members[0] for sticks in made)
    unreleased = job.unreleased is not None
    pages = {}
    plates: dict[str, Drawing] = {}
    for sticks in made:
        name = f"templates/story-stick-{names[sticks.members[0]]}"
        sheets = stick_pages(sticks, "A4 landscape", job.model.name, stamp(job), unreleased)
        pages[f"{name}.pdf"] = (sheets, f"{job.model.name}: story stick of {sticks.members[0]}", stamp(job))
        for place in sticks.places:
            plates[f"{name}-{place.replace(' ', '-')}.svg"] = stick_plate(sticks, place, stamp(job))
    documents = written_pages(pages)
    files = {name: svg_bytes(plate) for name, plate in plates.items()}

    def read_back(folder: Path) -> None:
        documents.read_back(folder)
        for name, plate in plates.items():
            _check(name, (folder / name).read_bytes(), plate)

    return Written({**documents.files, **files}, read_back)


def _check(name: str, data: bytes, plate: Drawing) -> None:
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as fault:
        raise BuildFault(f"{name} read back is no XML: {fault}") from fault
    size = tuple(float((root.get(side) or "0mm").removesuffix("mm")) for side in ("width", "height"))
    if max(abs(a - b) for a, b in zip(size, plate.size, strict=True)) > 0.001 or len(root) != len(plate.records) + 3:
        raise BuildFault(f"{name} read back is not the stick that was written")
