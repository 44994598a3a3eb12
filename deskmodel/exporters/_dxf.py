"""Plates as DXF (AC1015, mm): written so that equal plates give equal bytes, and read back by the library's own auditor.

Layers: CUT, closed contours only, circles as circles, arcs as arcs; BEND-UP and BEND-DOWN, middle lines of bends, up towards
the viewer; MILL, closed contours of pockets; MARK, off and not plotted: notes and the figures of bends.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from deskmodel.cutting import CutSheet
from deskmodel.errors import BuildFault
from deskmodel.profiles import Profile

__all__ = ["BEND", "CUT", "MARK", "MILL", "check_dxf", "dxf_bytes"]

CUT, MILL, MARK = "CUT", "MILL", "MARK"
BEND = {"up": "BEND-UP", "down": "BEND-DOWN"}
_COLOURS = {CUT: 7, MILL: 3, MARK: 8, "BEND-UP": 5, "BEND-DOWN": 1}
_VERSION = "R2000"
_HEIGHT = 5.0  # mm, lettering of the notes

Contour = tuple[Any, ...]


def dxf_bytes(sheet: CutSheet, contours: Sequence[Profile], notes: Sequence[str]) -> bytes:
    """The sheet with its cut ``contours``, outline included; ``notes`` stand below it on the layer MARK."""
    with _without_clock() as ezdxf:
        doc = ezdxf.new(_VERSION, units=4)
        doc.header["$MEASUREMENT"] = 1
        for layer, colour in _COLOURS.items():
            made = doc.layers.add(layer, color=colour)
            if layer == MARK:
                made.off()
                made.dxf.plot = 0
        space = doc.modelspace()
        for contour in contours:
            _add(space, contour, CUT)
        for work in sheet.works:
            if work.outline is not None:
                _add(space, work.outline, MILL)
        for bend in sheet.bends:
            space.add_line(bend.start, bend.stop, dxfattribs={"layer": BEND[bend.direction]})
            text = f"{bend.direction} {bend.angle:g} deg, R {bend.radius:g}, K {bend.k:g}"
            middle = ((bend.start[0] + bend.stop[0]) / 2, (bend.start[1] + bend.stop[1]) / 2)
            _note(space, text, middle, 2.0)
        for number, note in enumerate(notes, 1):
            _note(space, note, (0.0, -2 * _HEIGHT * number), _HEIGHT)
        width, height = sheet.size
        doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (0, 0, 0), (width, height, 0)
        doc.set_modelspace_vport(1.2 * max(width, height), center=(width / 2, height / 2))
        out = io.StringIO(newline="")
        doc.write(out)
        return out.getvalue().encode(doc.output_encoding, errors="dxfreplace")


def check_dxf(name: str, data: bytes, sheet: CutSheet, contours: Sequence[Profile]) -> None:
    """BuildFault unless the auditor finds nothing to mend, and the layers hold just these contours and bend lines."""
    import ezdxf.recover

    doc, auditor = ezdxf.recover.read(io.BytesIO(data))
    auditor.errors += doc.audit().errors
    if auditor.errors or auditor.fixes:
        raise BuildFault(f"{name}: {(auditor.errors or auditor.fixes)[0].message}")
    if doc.header.get("$INSUNITS") != 4:
        raise BuildFault(f"{name} is not in mm")
    if any(layer.is_on() != (layer.dxf.name != MARK) for layer in doc.layers if layer.dxf.name in _COLOURS):
        raise BuildFault(f"{name}: other layers are on than were left on")
    expected = Counter([(CUT, *_told(contour)) for contour in contours]
                       + [(MILL, *_told(work.outline)) for work in sheet.works if work.outline is not None]
                       + [(BEND[bend.direction], *_rounded(bend.start, bend.stop)) for bend in sheet.bends])
    found = Counter(_read(entity) for entity in doc.modelspace() if entity.dxf.layer != MARK)
    if found != expected:
        one = next(iter((found - expected) or (expected - found)))
        raise BuildFault(f"{name} holds other contours than its plate: {one[:3]}")


def _add(space: Any, outline: Profile, layer: str) -> None:
    if outline.as_circle:
        centre, radius = outline.as_circle
        space.add_circle(centre, radius, dxfattribs={"layer": layer})
    else:
        space.add_lwpolyline(outline.vertices, format="xyb", close=True, dxfattribs={"layer": layer})


def _note(space: Any, text: str, at: tuple[float, float], height: float) -> None:
    line = "".join(c if c.isprintable() and c != "\\" else " " for c in text).replace("%%", "% %")
    space.add_text(line or " ", height=height, dxfattribs={"layer": MARK, "insert": at})


def _told(outline: Profile) -> Contour:
    if outline.as_circle:
        centre, radius = outline.as_circle
        return "circle", *_rounded(centre, (radius,))
    return "closed", *_rounded(*outline.vertices)


def _read(entity: Any) -> Contour:
    layer, kind = entity.dxf.layer, entity.dxftype()
    if kind == "CIRCLE":
        x, y, _ = entity.dxf.center
        return layer, "circle", *_rounded((x, y), (entity.dxf.radius,))
    if kind == "LWPOLYLINE" and entity.closed:
        return layer, "closed", *_rounded(*entity.get_points("xyb"))
    if kind == "LINE":
        (x0, y0, _), (x1, y1, _) = entity.dxf.start, entity.dxf.end
        return layer, *_rounded((x0, y0), (x1, y1))
    return layer, kind


def _rounded(*points: Sequence[float]) -> tuple[float, ...]:
    return tuple(round(float(value), 6) + 0.0 for point in points for value in point)


@contextmanager
def _without_clock() -> Iterator[Any]:
    """The library, told to write neither time nor random numbers; what its option was before is put back."""
    import ezdxf

    library: Any = ezdxf  # its options are not among what it declares
    options = library.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield library
    finally:
        options.write_fixed_meta_data_for_testing = before
