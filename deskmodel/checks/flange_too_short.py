"""A flange is too short to be bent.

Finds: flanges of plates that are sent to the cutting service whose outside length is less than the service bends.
Why it matters: the edge of the sheet slips into the die before it is bent, and the flange comes out short and skew.
How measured: the outside length that the script states, against the service's least flange of that sheet and radius; else
    against 0.7 of the width of its die; else against so many thicknesses.
Limits: whether a Z or a box of flanges can be reached by the tools is not looked at.
Sources: the service profile, service.toml beside the script: a least flange that it states stops the build. 0.7 of the width
    V of the die: from memory; without either four times the thickness, guidelines of sheet-metal services: warnings.
"""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel._edges import Point
from deskmodel.bends import FoldedBlank
from deskmodel.checks._base import Check, Facts
from deskmodel.checks._plates import Short, cut_plates, short_of, undrawn
from deskmodel.findings import Finding
from deskmodel.plans.plates import CutPlate
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH

__all__ = ["CHECK"]


def run(facts: Facts) -> list[Finding]:
    remedy = "make it {required} mm long or longer, outside"
    return [finding for plate in cut_plates(facts.model)
            for finding in short_of(facts, "flange-too-short", plate, _short(plate, facts.model.service), remedy)]


def _short(plate: CutPlate, service: Service) -> Iterator[Short]:
    blank, sheet = plate.plate.blank, plate.sheet
    if isinstance(blank, FoldedBlank):
        for flange in blank.flanges:
            assert flange.radius is not None  # of a blank they are resolved
            limit = service.least_flange(sheet.material, sheet.thickness, flange.radius)
            if flange.length < limit.value - LENGTH:
                yield Short(flange.length, limit, _on_bend(plate, flange.title), f"{flange.title}, outside")


def _on_bend(plate: CutPlate, flange: str) -> Point:
    bend = next(bend for bend in plate.sheet.bends if bend.flange == flange)
    return (bend.start[0] + bend.stop[0]) / 2, (bend.start[1] + bend.stop[1]) / 2


CHECK = Check("flange-too-short", "model", __doc__, run, undrawn)
