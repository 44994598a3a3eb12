"""Plates as DXF (AC1015, mm): written so that equal plates give equal bytes, and read back group code by group code.

Layers: CUT, closed contours only, circles as circles, arcs as arcs; BEND-UP and BEND-DOWN, middle lines of bends, up towards
the viewer; MILL, closed contours of pockets; MARK, off and not plotted: notes and the figures of bends.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

from deskmodel.cutting import CutSheet
from deskmodel.errors import BuildFault
from deskmodel.exporters._dxf_template import BEND, CUT, MARK, MILL, Template
from deskmodel.profiles import Profile

__all__ = ["check_dxf", "dxf_bytes"]

_CODING = "cp1252"  # of AC1015 files; other signs are written \U+XXXX
_LETTERING, _SMALL = 5.0, 2.0  # mm

Group = tuple[int, str]


def dxf_bytes(template: Template, sheet: CutSheet, contours: Sequence[Profile], notes: Sequence[str]) -> bytes:
    """The sheet with its cut ``contours``, outline included; ``notes`` stand below it on the layer MARK."""
    entities = list(_entities(sheet, contours, notes))
    first, lines = int(template.seed, 16), []
    for number, (kind, layer, groups) in enumerate(entities):
        head: list[tuple[int, Any]] = [(0, kind), (5, f"{first + number:X}"), (330, template.owner), (100, "AcDbEntity"),
                                       (8, layer)]
        lines += [f"{code:3}\n{value if isinstance(value, str) else repr(value)}\n" for code, value in [*head, *groups]]
    text = template.filled("".join(lines), len(entities), sheet.size)
    return text.encode(_CODING)


def _entities(sheet: CutSheet, contours: Sequence[Profile],
              notes: Sequence[str]) -> Iterator[tuple[str, str, list[tuple[int, Any]]]]:
    """(kind, layer, groups) of each."""
    for contour in contours:
        yield _contour(contour, CUT)
    for work in sheet.works:
        if work.outline is not None:
            yield _contour(work.outline, MILL)
    for bend in sheet.bends:
        (x0, y0), (x1, y1) = bend.start, bend.stop
        yield "LINE", BEND[bend.direction], [(100, "AcDbLine"), (10, x0), (20, y0), (30, 0.0), (11, x1), (21, y1), (31, 0.0)]
        yield _note(f"{bend.direction} {bend.angle:g} deg, R {bend.radius:g}, K {bend.k:g}",
                    (min(x0, x1) + 1, min(y0, y1) + 1), _SMALL)
    for number, note in enumerate(notes, 1):
        yield _note(note, (0.0, -2 * _LETTERING * number), _LETTERING)


def _contour(outline: Profile, layer: str) -> tuple[str, str, list[tuple[int, Any]]]:
    if outline.as_circle:
        (x, y), radius = outline.as_circle
        return "CIRCLE", layer, [(100, "AcDbCircle"), (10, x), (20, y), (30, 0.0), (40, radius)]
    groups: list[tuple[int, Any]] = [(100, "AcDbPolyline"), (90, len(outline.vertices)), (70, 1)]
    for x, y, bulge in outline.vertices:
        groups += [(10, x), (20, y), *([(42, bulge)] if bulge else [])]
    return "LWPOLYLINE", layer, groups


def _note(text: str, at: tuple[float, float], height: float) -> tuple[str, str, list[tuple[int, Any]]]:
    x, y = at
    return "TEXT", MARK, [(100, "AcDbText"), (10, float(x)), (20, float(y)), (30, 0.0), (40, height), (1, _line(text)),
                          (100, "AcDbText")]


def _line(text: str) -> str:
    """One line without control codes: those begin with a backslash or two per cent signs. Readers take 250 characters."""
    plain = "".join(c if c.isprintable() and c != "\\" else " " for c in text).replace("%%", "% %").replace("%%", "% %")
    return "".join(_coded(c) for c in plain[:240]) or " "


def _coded(c: str) -> str:
    try:
        c.encode(_CODING)
    except UnicodeEncodeError:
        return f"\\U+{ord(c):04X}" if ord(c) < 0x10000 else "?"
    return c


def check_dxf(name: str, data: bytes, sheet: CutSheet, contours: Sequence[Profile]) -> None:
    """BuildFault unless the file is whole, in mm, no handle is given twice, only MARK is off, and the other layers hold just
    these contours and bend lines."""
    groups = list(_groups(name, data))
    header, tables, entities = (_section(name, groups, title) for title in ("HEADER", "TABLES", "ENTITIES"))
    if groups[-1] != (0, "EOF") or _after(header, "$INSUNITS") != "4" or _after(header, "$ACADVER") != "AC1015":
        raise BuildFault(f"{name} is no whole file in mm")
    handles = Counter(value for code, value in groups if code == 5)
    handles -= Counter({_after(header, "$HANDSEED"): 1})
    if max(handles.values()) > 1:
        raise BuildFault(f"{name}: a handle is given twice")
    layers = [dict(record) for record in _records(tables) if record[0] == (0, "LAYER")]
    off = {layer[2] for layer in layers if layer.get(62, "7").startswith("-")}
    if off != {MARK}:
        raise BuildFault(f"{name}: other layers are on than were left on")
    expected = Counter([(CUT, *_told(contour)) for contour in contours]
                       + [(MILL, *_told(work.outline)) for work in sheet.works if work.outline is not None]
                       + [(BEND[bend.direction], "line", *_rounded(*bend.start, *bend.stop)) for bend in sheet.bends])
    found = Counter(entity for record in _records(entities) if (entity := _read(record))[0] != MARK)
    if found != expected:
        one = next(iter((found - expected) or (expected - found)))
        raise BuildFault(f"{name} holds other contours than its plate: {one[:3]}")


def _groups(name: str, data: bytes) -> Iterator[Group]:
    lines = data.decode(_CODING).split("\n")
    if len(lines) % 2 != 1 or lines[-1]:
        raise BuildFault(f"{name} is no whole file of group codes")
    for code, value in zip(lines[0:-1:2], lines[1::2], strict=True):
        try:
            yield int(code), value
        except ValueError:
            raise BuildFault(f"{name}: {code!r} is no group code") from None


def _section(name: str, groups: list[Group], title: str) -> list[Group]:
    for i in range(len(groups) - 1):
        if groups[i] == (0, "SECTION") and groups[i + 1] == (2, title):
            return groups[i + 2:groups.index((0, "ENDSEC"), i)]
    raise BuildFault(f"{name} has no section {title}")


def _after(header: list[Group], variable: str) -> str:
    """The value of a header variable; "" where it is not there."""
    for (code, value), (_, following) in pairwise(header):
        if code == 9 and value == variable:
            return following
    return ""


def _records(section: list[Group]) -> Iterator[list[Group]]:
    starts = [i for i, (code, _) in enumerate(section) if code == 0]
    for start, stop in zip(starts, [*starts[1:], len(section)], strict=True):
        yield section[start:stop]


def _told(outline: Profile) -> tuple[Any, ...]:
    if outline.as_circle:
        centre, radius = outline.as_circle
        return "circle", *_rounded(*centre, radius)
    return "closed", *_rounded(*(value for vertex in outline.vertices for value in vertex))


def _read(record: list[Group]) -> tuple[Any, ...]:
    kind, values = record[0][1], dict(record)
    layer = values.get(8, "")
    if kind == "CIRCLE":
        return layer, "circle", *_rounded(*(float(values[code]) for code in (10, 20, 40)))
    if kind == "LINE":
        return layer, "line", *_rounded(*(float(values[code]) for code in (10, 20, 11, 21)))
    if kind == "LWPOLYLINE" and values.get(70) == "1":
        vertices: list[float] = []
        for code, value in record:
            if code == 10:
                vertices += [float(value), 0.0, 0.0]
            elif code in (20, 42):
                vertices[-2 if code == 20 else -1] = float(value)
        return layer, "closed", *_rounded(*vertices)
    return layer, kind


def _rounded(*values: float) -> tuple[float, ...]:
    return tuple(round(value, 6) + 0.0 for value in values)
