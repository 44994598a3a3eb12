"""The outlines of letters, read from the font's own file: the same font that is measured in ``lettering``.

Only what is needed of the format (ISO/IEC 14496-22, tables cmap 4, head, hmtx, loca, glyf): simple glyphs, and composite
ones whose parts are only shifted. Loading a library for it takes longer than everything else that is written.
"""

from __future__ import annotations

import struct
from functools import cache
from itertools import pairwise

from deskmodel.drawing.lettering import CAP, font_file
from deskmodel.errors import BuildFault

__all__ = ["Contour", "advance", "letter"]

Contour = tuple[tuple[float, float], ...]

_STEPS = 3  # chords of each curve: 0.02 mm off at capitals 6 mm high


def letter(sign: str, height: float, bold: bool = True) -> tuple[Contour, ...]:
    """The contours of a sign, capitals ``height`` mm high, from its own origin on the base line; outer ones clockwise, those
    of its counters the other way. BuildFault where the font cannot draw it."""
    font = _font(bold)
    scale = height / (CAP * font.units)
    return tuple(tuple((x * scale, y * scale) for x, y in contour) for contour in font.contours(font.glyph(sign)))


def advance(sign: str, height: float, bold: bool = True) -> float:
    """mm from a sign to the next."""
    font = _font(bold)
    return font.advance(font.glyph(sign)) * height / (CAP * font.units)


@cache
def _font(bold: bool) -> _Font:
    return _Font(font_file(bold).read_bytes())


class _Font:
    """A font file in memory; numbers are in font units."""

    def __init__(self, data: bytes) -> None:
        self._data = data
        count, = struct.unpack_from(">H", data, 4)
        self._tables = {data[at : at + 4].decode("latin-1"): struct.unpack_from(">I", data, at + 8)[0]
                        for at in range(12, 12 + 16 * count, 16)}
        head = self._tables["head"]
        self.units: int = struct.unpack_from(">H", data, head + 18)[0]
        self._long: bool = struct.unpack_from(">h", data, head + 50)[0] == 1
        self._metrics: int = struct.unpack_from(">H", data, self._tables["hhea"] + 34)[0]
        self._codes = self._read_codes()

    def glyph(self, sign: str) -> int:
        found = self._codes.get(ord(sign))
        if found is None:
            raise BuildFault(f"the font has no sign {sign!r}")
        return found

    def advance(self, glyph: int) -> int:
        width: int = struct.unpack_from(">H", self._data, self._tables["hmtx"] + 4 * min(glyph, self._metrics - 1))[0]
        return width

    def contours(self, glyph: int) -> list[list[tuple[float, float]]]:
        """Each as points, curves in chords."""
        loca, glyf = self._tables["loca"], self._tables["glyf"]
        if self._long:
            start, stop = struct.unpack_from(">II", self._data, loca + 4 * glyph)
        else:
            start, stop = (2 * v for v in struct.unpack_from(">HH", self._data, loca + 2 * glyph))
        if start == stop:
            return []
        count, = struct.unpack_from(">h", self._data, glyf + start)
        at = glyf + start + 10
        return self._simple(at, count) if count >= 0 else self._composite(at)

    def _simple(self, at: int, count: int) -> list[list[tuple[float, float]]]:
        ends = struct.unpack_from(f">{count}H", self._data, at)
        at += 2 * count
        at += 2 + struct.unpack_from(">H", self._data, at)[0]
        flags: list[int] = []
        while len(flags) < ends[-1] + 1:
            flag = self._data[at]
            at += 1
            flags.append(flag)
            if flag & 8:
                flags += [flag] * self._data[at]
                at += 1
        xs, at = self._coordinates(at, flags, 2, 16)
        ys, at = self._coordinates(at, flags, 4, 32)
        points = [(x, y, bool(flag & 1)) for x, y, flag in zip(xs, ys, flags, strict=True)]
        return [_flattened(points[start + 1 : stop + 1]) for start, stop in pairwise([-1, *ends])]

    def _coordinates(self, at: int, flags: list[int], short: int, same: int) -> tuple[list[int], int]:
        found, value = [], 0
        for flag in flags:
            if flag & short:
                value += self._data[at] if flag & same else -self._data[at]
                at += 1
            elif not flag & same:
                value += struct.unpack_from(">h", self._data, at)[0]
                at += 2
            found.append(value)
        return found, at

    def _composite(self, at: int) -> list[list[tuple[float, float]]]:
        found = []
        more = True
        while more:
            flags, glyph = struct.unpack_from(">HH", self._data, at)
            if flags & 0b11001000 or not flags & 2:
                raise BuildFault("a sign of the font is put together in a way that is not read here")
            dx, dy = struct.unpack_from(">hh" if flags & 1 else ">bb", self._data, at + 4)
            at += 8 if flags & 1 else 6
            found += [[(x + dx, y + dy) for x, y in contour] for contour in self.contours(glyph)]
            more = bool(flags & 32)
        return found

    def _read_codes(self) -> dict[int, int]:
        data, cmap = self._data, self._tables["cmap"]
        for i in range(struct.unpack_from(">H", data, cmap + 2)[0]):
            platform, encoding, offset = struct.unpack_from(">HHI", data, cmap + 4 + 8 * i)
            if (platform, encoding) == (3, 1) and struct.unpack_from(">H", data, cmap + offset)[0] == 4:
                return _segments(data, cmap + offset)
        raise BuildFault("the font has no table of signs that is read here")


def _segments(data: bytes, at: int) -> dict[int, int]:
    count = struct.unpack_from(">H", data, at + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", data, at + 14)
    starts = struct.unpack_from(f">{count}H", data, at + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}h", data, at + 16 + 4 * count)
    ranges_at = at + 16 + 6 * count
    codes: dict[int, int] = {}
    for i, (start, end, delta) in enumerate(zip(starts, ends, deltas, strict=True)):
        offset, = struct.unpack_from(">H", data, ranges_at + 2 * i)
        for code in range(start, min(end, 0xFFFE) + 1):
            place = ranges_at + 2 * i + offset + 2 * (code - start)
            glyph = struct.unpack_from(">H", data, place)[0] if offset else code
            if glyph or not offset:
                codes[code] = (glyph + delta) & 0xFFFF
    return codes


def _flattened(points: list[tuple[int, int, bool]]) -> list[tuple[float, float]]:
    """A closed contour of points on it and control points of quadratic curves, as chords."""
    whole: list[tuple[float, float, bool]] = []
    for (x0, y0, on0), (x1, y1, on1) in zip(points, points[1:] + points[:1], strict=True):
        whole.append((x0, y0, on0))
        if not on0 and not on1:  # between two control points the curve passes their middle
            whole.append(((x0 + x1) / 2, (y0 + y1) / 2, True))
    first = next(i for i, point in enumerate(whole) if point[2])
    whole = whole[first:] + whole[:first]
    made: list[tuple[float, float]] = []
    for i, (x, y, on) in enumerate(whole):
        if on:
            made.append((x, y))
            continue
        (ax, ay, _), (bx, by, _) = whole[i - 1], whole[(i + 1) % len(whole)]
        for k in range(1, _STEPS):
            t = k / _STEPS
            made.append(((1 - t) ** 2 * ax + 2 * t * (1 - t) * x + t * t * bx,
                         (1 - t) ** 2 * ay + 2 * t * (1 - t) * y + t * t * by))
    return made
