"""Puts witness holes: one small hole in a plate that shows which way up it is, where nothing else is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

from deskmodel._edges import Point
from deskmodel._where import Where
from deskmodel.contours import nearest
from deskmodel.cutting import Cut, CutSheet, cut_sheet
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import Hole
from deskmodel.frames import Vec
from deskmodel.part import Plate, with_features
from deskmodel.profiles import Profile, circle, inside
from deskmodel.seen import middle_of, seen_face
from deskmodel.service import Service
from deskmodel.tolerances import LENGTH
from deskmodel.turned_over import turned_over

__all__ = ["WITNESS", "put_witnesses", "witnessed"]

WITNESS = "witness hole"

_SMALLEST = 3.0  # mm; a smaller one is overlooked (common practice)
_FREE = 3.0  # mm to edges, cuts and bends; more where the service asks for more
_PLACES = 2000  # looked at, at most


def put_witnesses(parts: dict[str, PlacedPart], lines: Mapping[str, Where], service: Service) -> None:
    """Puts their holes into all plates that ask for one. Last of all: where nothing else is, is known then, and a veneer
    stays whole over them. InputFault, with the plate's line, where there is no place."""
    middle = middle_of(parts.values())
    for name, placed in sorted(parts.items()):
        if isinstance(placed.part, Plate) and placed.part.witness:
            try:
                parts[name] = witnessed(placed, middle, service)
            except InputFault as fault:
                raise fault.about(name).located(file=lines[name].file, line=lines[name].line) from None


def witnessed(placed: PlacedPart, middle: Vec | None, service: Service) -> PlacedPart:
    """The plate with its witness hole: near the lower left corner of its drawing, as far along its lower edge as twice its
    height above it, or at the next place that is free and tells the faces apart. InputFault where there is none."""
    plate = placed.part
    assert isinstance(plate, Plate)
    sheet = cut_sheet(plate, seen_face(placed, middle))
    diameter = max(_SMALLEST, service.least_hole(sheet.material, sheet.thickness).value, 2 * service.laser.kerf)
    edge = max(_FREE, service.least_edge(sheet.material, sheet.thickness).value)
    web = max(_FREE, service.least_web(sheet.material, sheet.thickness).value)
    taken = _taken(sheet, service)
    room = sheet.pattern.panels[0].region  # of a bent plate the base
    for place in _places(sheet, diameter / 2 + edge):
        shape = circle(diameter, place)
        if not _free(shape, sheet.outline, edge) or any(_near(shape, other, max(web, gap)) for other, gap in taken):
            continue
        x, y = sheet.to_flat(place)
        at = round(x, 3), round(y, 3)
        if not inside(circle(diameter, at), room):
            continue
        if turned_over(replace(sheet, cuts=(*sheet.cuts, Cut(shape, WITNESS, "shape")))) is None:
            return replace(placed, part=with_features(plate, [Hole("top", at, round(diameter, 3), name=WITNESS,
                                                                   stage="crosscut")]))
    raise InputFault(f"no place for a witness hole in {plate.name!r} that is {edge:g} from edges, {web:g} from cuts and "
                     "tells the faces apart", allowed="a plate with room for it that is not round; or a mark of your own")


def _places(sheet: CutSheet, low: float) -> Iterator[Point]:
    width, height = sheet.size
    step = max(2.0, math.sqrt(width * height / _PLACES))
    for row in range(math.ceil(height / step)):
        for column in range(math.ceil(width / step)):
            yield round(2 * low + column * step, 3), round(low + row * step, 3)


def _taken(sheet: CutSheet, service: Service) -> list[tuple[Profile, float]]:
    """What to keep off, and how far at least: cuts, heads and pockets, bends."""
    found = [(cut.outline, 0.0) for cut in sheet.cuts]
    for work in sheet.works:
        wide = max(work.wide or 0.0, work.diameter or 0.0)
        found.append((work.outline or circle(wide, work.at), 0.0))
    for bend in sheet.bends:
        line = Profile(((*bend.start, 0.0), (*bend.stop, 0.0)))
        found.append((line, service.least_to_bend(sheet.thickness, bend.radius).value))
    return found


def _free(shape: Profile, outline: Profile, away: float) -> bool:
    return inside(shape, outline) and nearest(shape, outline, away - LENGTH) is None


def _near(a: Profile, b: Profile, away: float) -> bool:
    return nearest(a, b, away - LENGTH) is not None or (b.area > 0 and inside(a, b))
