"""A second reader of DXF files, for tests: closed contours of lines and arcs by layer. It imports nothing of the project and
no DXF library; group codes as in the published DXF reference of AC1015."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

__all__ = ["Drawing", "Shape", "read_dxf"]


@dataclass(frozen=True)
class Shape:
    """``points`` (x, y, bulge) of a closed contour; of a circle its centre with the radius in place of the bulge."""

    kind: str
    points: tuple[tuple[float, float, float], ...]

    @property
    def area(self) -> float:
        if self.kind == "CIRCLE":
            return math.pi * self.points[0][2] ** 2
        total = 0.0
        for (x0, y0, b), (x1, y1, _) in zip(self.points, self.points[1:] + self.points[:1], strict=True):
            chord = math.hypot(x1 - x0, y1 - y0)
            angle = 4 * math.atan(b)
            segment = 0.0 if b == 0 else (chord / 2 / math.sin(angle / 2)) ** 2 * (angle - math.sin(angle)) / 2
            total += (x0 * y1 - x1 * y0) / 2 + segment
        return total

    def polygon(self, step: float = math.radians(0.25)) -> list[tuple[float, float]]:
        if self.kind == "CIRCLE":
            x, y, r = self.points[0]
            n = math.ceil(2 * math.pi / step)
            return [(x + r * math.cos(2 * math.pi * i / n), y + r * math.sin(2 * math.pi * i / n)) for i in range(n)]
        found = []
        for (x0, y0, b), (x1, y1, _) in zip(self.points, self.points[1:] + self.points[:1], strict=True):
            angle = 4 * math.atan(b)
            n = max(1, math.ceil(abs(angle) / step))
            for i in range(n):
                # a point at share s of an arc over a chord: by the tangent-half-angle form
                if b == 0:
                    found.append((x0, y0))
                    break
                mx, my, c = (x0 + x1) / 2, (y0 + y1) / 2, (1 - b * b) / (4 * b)
                cx, cy = mx - c * (y1 - y0), my + c * (x1 - x0)
                c, s = math.cos(angle * i / n), math.sin(angle * i / n)
                dx, dy = x0 - cx, y0 - cy
                found.append((cx + dx * c - dy * s, cy + dx * s + dy * c))
        return found


@dataclass
class Drawing:
    shapes: dict[str, list[Shape]] = field(default_factory=dict)
    lines: dict[str, list[tuple[float, float, float, float]]] = field(default_factory=dict)
    texts: dict[str, list[str]] = field(default_factory=dict)
    off: set[str] = field(default_factory=set)
    header: dict[str, str] = field(default_factory=dict)
    others: list[str] = field(default_factory=list)


def read_dxf(data: bytes) -> Drawing:
    rows = data.decode("cp1252").splitlines()
    pairs = [(int(rows[i]), rows[i + 1].strip()) for i in range(0, len(rows) - 1, 2)]
    made, section, i = Drawing(), "", 0
    while i < len(pairs):
        code, value = pairs[i]
        i += 1
        if code == 9 and section == "HEADER":
            made.header[value] = pairs[i][1]
        if code != 0:
            continue
        body = []
        while i < len(pairs) and pairs[i][0] != 0:
            body.append(pairs[i])
            i += 1
        if value == "SECTION":
            section = body[0][1]
            for j, (c, v) in enumerate(body):
                if c == 9:
                    made.header[v] = body[j + 1][1]
        elif value == "ENDSEC":
            section = ""
        elif section == "TABLES" and value == "LAYER":
            one = dict(body)
            if int(one[62]) < 0:
                made.off.add(one[2])
        elif section == "ENTITIES":
            _entity(made, value, body)
    return made


def _entity(made: Drawing, kind: str, body: list[tuple[int, str]]) -> None:
    one = dict(body)
    layer = one[8]
    if kind == "CIRCLE":
        made.shapes.setdefault(layer, []).append(Shape(kind, ((float(one[10]), float(one[20]), float(one[40])),)))
    elif kind == "LWPOLYLINE":
        points: list[list[float]] = []
        for code, value in body:
            if code == 10:
                points.append([float(value), 0.0, 0.0])
            elif code == 20:
                points[-1][1] = float(value)
            elif code == 42:
                points[-1][2] = float(value)
        if not int(one[70]) & 1:
            made.others.append(f"open polyline on {layer}")
        made.shapes.setdefault(layer, []).append(Shape(kind, tuple((x, y, b) for x, y, b in points)))
    elif kind == "LINE":
        x0, y0, x1, y1 = (float(one[code]) for code in (10, 20, 11, 21))
        made.lines.setdefault(layer, []).append((x0, y0, x1, y1))
    elif kind == "TEXT":
        made.texts.setdefault(layer, []).append(one[1])
    else:
        made.others.append(f"{kind} on {layer}")
