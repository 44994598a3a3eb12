"""What the documents about plates share: file names, whose work something is, which face is drawn."""

from __future__ import annotations

from collections.abc import Mapping

from deskmodel.cutting import CutSheet, Work
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._slug import slug, slugs
from deskmodel.plans import SentPlate
from deskmodel.service import Service

__all__ = ["FOLDER", "NOTHING", "SIDES", "by_whom", "plate_stems", "side_of"]

FOLDER = "plates"
NOTHING = Written({}, lambda folder: None)
"""Of a desk without plates for the service."""

SIDES = {True: "drawn side", False: "far side"}


def plate_stems(job: ExportJob, plates: tuple[SentPlate, ...]) -> Mapping[str, str]:
    """First name of each order line -> its file's path without the ending: name, material, thickness, quantity, revision."""
    released = "" if job.unreleased is None else "unreleased-"
    files = slugs(plate.names[0] for plate in plates)
    return {plate.names[0]: f"{FOLDER}/{files[plate.names[0]]}_{slug(plate.sheet.material)}_{plate.sheet.thickness:g}mm_"
                            f"{len(plate.names)}x_{released}{job.revision}" for plate in plates}


def by_whom(work: Work, service: Service) -> str:
    return "cutting service" if work.kind in service.laser.offers else "workshop"


def side_of(sheet: CutSheet) -> str:
    """The face that is drawn, in the plate's own words."""
    return f"{sheet.seen}{' of its base' if sheet.bends else ''}"
