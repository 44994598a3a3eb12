"""Triangles to a picture: parallel projection, depth buffer, flat shading, drawn edges. numpy only, same bytes always."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from deskmodel.meshes.vectors import normals_of

__all__ = ["Drawn", "View", "picture", "png_bytes", "seen_along", "view_of"]

Floats = NDArray[np.float64]

_FINER = 2  # pixels are drawn this much finer and averaged
_ROWS = 16_000  # of triangles, drawn at a time: what is worked on lies in memory that is at hand already
_LIGHT = np.array([-0.35, -0.5, 0.79])
_PAPER = np.array([1.0, 1.0, 1.0])
_EDGE = 0.35  # brightness left where an edge is drawn


@dataclass(frozen=True, eq=False)
class Drawn:
    """``vertices`` (n, 3) in the desk frame, mm; ``triangles`` (m, 3); ``colour`` 0 to 1."""

    vertices: Floats
    triangles: NDArray[np.int64]
    colour: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class View:
    """How a scene is seen: rows of ``axes`` (3, 3) are right, down the picture, to the eye; ``low`` the least of its points
    in them; ``scale`` in fine pixels for each mm; ``size`` (width, height) in pixels."""

    axes: Floats
    low: Floats
    scale: float
    margin: float
    size: tuple[int, int]

    def pixels(self, points: Floats) -> Floats:
        """(n, 2): where points (n, 3) of the desk frame are seen, from the upper left corner."""
        place: Floats = ((points @ self.axes.T - self.low)[:, :2] * self.scale + self.margin) / _FINER
        return place


def picture(drawn: Sequence[Drawn], towards_eye: tuple[float, float, float], width: int) -> NDArray[np.uint8]:
    """(h, ``width``, 3) pixels of the scene seen along -``towards_eye``; the height follows from what is drawn."""
    axes = _axes(towards_eye)
    facing = _flatten(drawn, axes)
    return _seen(facing, _filled(facing, axes, width))


def view_of(drawn: Sequence[Drawn], towards_eye: tuple[float, float, float], width: int) -> View:
    """The view in which the scene fills the width."""
    axes = _axes(towards_eye)
    return _filled(_flatten(drawn, axes), axes, width)


def seen_along(drawn: Sequence[Drawn], view: View) -> NDArray[np.uint8]:
    return _seen(_flatten(drawn, view.axes), view)


def _axes(towards_eye: tuple[float, float, float]) -> Floats:
    eye = np.array(towards_eye) / np.linalg.norm(towards_eye)
    right = np.cross([0.0, 0.0, 1.0], eye)
    right /= np.linalg.norm(right)
    return np.stack([right, -np.cross(eye, right), eye])  # x right, y down the picture, z to the eye


def _filled(facing: _Facing, axes: Floats, width: int) -> View:
    corners = facing.corners.reshape(-1, 3)
    low, high = corners.min(0), corners.max(0)
    fine = width * _FINER
    scale = 0.94 * fine / (high[0] - low[0])
    margin = 0.03 * fine
    height = int((high[1] - low[1]) * scale + 2 * margin) // _FINER + 1
    return View(axes, low, scale, margin, (width, height))


def _seen(facing: _Facing, view: View) -> NDArray[np.uint8]:
    flat = facing.corners.copy()
    flat[:, :, :2] = (facing.corners[:, :, :2] - view.low[:2]) * view.scale + view.margin
    nearest = _cover(flat, view.size[1] * _FINER, view.size[0] * _FINER)
    return _shade(nearest, facing)


def png_bytes(pixels: NDArray[np.uint8], text: str) -> bytes:
    """An RGB picture as PNG (ISO/IEC 15948) with one Latin-1 remark and no date."""
    height, width, _ = pixels.shape
    rows = np.concatenate([np.full((height, 1), 1, np.uint8), _filtered(pixels)], axis=1)
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    remark = b"Comment\0" + text.encode("latin-1", "replace")
    return (b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", header) + _chunk(b"tEXt", remark)
            + _chunk(b"IDAT", zlib.compress(rows.tobytes(), 6)) + _chunk(b"IEND", b""))


def _filtered(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """PNG filter 1: each byte less the one of the pixel to its left."""
    left = np.zeros_like(pixels)
    left[:, 1:] = pixels[:, :-1]
    rows: NDArray[np.uint8] = (pixels - left).reshape(len(pixels), -1)
    return rows


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


@dataclass(frozen=True, eq=False, slots=True)
class _Facing:
    """Of every triangle that looks at the eye: ``corners`` (m, 3, 3) in view axes, ``colours`` (m, 3), ``normals`` (m, 3)
    and ``owners`` (m,), the number of what it is of."""

    corners: Floats
    colours: Floats
    normals: Floats
    owners: NDArray[np.int64]


def _flatten(drawn: Sequence[Drawn], view: Floats) -> _Facing:
    eye = view[2]
    corners, colours, normals, owners = [], [], [], []
    for owner, each in enumerate(drawn):
        points = each.vertices[each.triangles]
        normal = normals_of(points)
        length = np.linalg.norm(normal, axis=1)
        seen = (length > 0) & (normal @ eye > 1e-9 * length)
        corners.append(points[seen] @ view.T)
        normals.append(normal[seen] / length[seen, None])
        colours.append(np.broadcast_to(np.array(each.colour), (int(seen.sum()), 3)))
        owners.append(np.full(int(seen.sum()), owner))
    return _Facing(np.concatenate(corners), np.concatenate(colours), np.concatenate(normals), np.concatenate(owners))


def _cover(flat: Floats, height: int, width: int) -> NDArray[np.int32]:
    """(height, width): the triangle nearest to the eye at each fine pixel's centre, -1 where there is none.

    By rows: triangles of a drilled plate are long slivers, whose boxes hold a thousand times more pixels than they."""
    depth = np.full(height * width, -np.inf)
    nearest = np.full(height * width, -1, np.int32)
    edges = _edges(flat)
    first = np.ceil(edges.top - 0.5).astype(np.int64)
    rows = np.floor(edges.bottom - 0.5).astype(np.int64) - first + 1
    chosen = np.flatnonzero(rows > 0)
    ends = np.cumsum(rows[chosen])
    for batch in np.split(chosen, np.searchsorted(ends, np.arange(_ROWS, ends[-1] if len(ends) else 0, _ROWS))):
        which, y = _runs(batch, first[batch], rows[batch])
        _put(edges, which, y, width, depth, nearest)
    return nearest.reshape(height, width)


@dataclass(frozen=True, eq=False, slots=True)
class _Edges:
    """Triangles by rows, each array (m,). ``top``, ``middle``, ``bottom``: y of the corners. Of each side x at y = 0 and
    the step of x from row to row: ``long`` from top to bottom, ``upper`` to the middle, ``lower`` from there.
    ``plane`` (m, 3): depth is plane · (1, x, y)."""

    top: Floats
    middle: Floats
    bottom: Floats
    long: tuple[Floats, Floats]
    upper: tuple[Floats, Floats]
    lower: tuple[Floats, Floats]
    plane: Floats


def _edges(flat: Floats) -> _Edges:
    corner = np.take_along_axis(flat, np.argsort(flat[:, :, 1], axis=1)[:, :, None], axis=1)
    x, y, z = corner[:, :, 0], corner[:, :, 1], corner[:, :, 2]
    u, v = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
    area = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]

    def side(i: int, j: int) -> tuple[Floats, Floats]:
        step = (x[:, j] - x[:, i]) / (y[:, j] - y[:, i])
        return x[:, i] - y[:, i] * step, step

    with np.errstate(divide="ignore", invalid="ignore"):  # level sides have no rows, triangles seen edge on no pixels
        right, down = (v[:, 1] * u[:, 2] - u[:, 1] * v[:, 2]) / area, (u[:, 0] * v[:, 2] - v[:, 0] * u[:, 2]) / area
        plane = np.stack([z[:, 0] - right * x[:, 0] - down * y[:, 0], right, down], axis=1)
        return _Edges(y[:, 0], y[:, 1], y[:, 2], side(0, 2), side(0, 1), side(1, 2), plane)


def _runs(items: NDArray[np.int64], start: NDArray[np.int64],
          count: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Each item ``count`` times, beside start, start + 1, …"""
    before = np.repeat(np.cumsum(count) - count, count)
    return np.repeat(items, count), np.repeat(start, count) + np.arange(count.sum()) - before


def _put(edges: _Edges, which: NDArray[np.int64], y: NDArray[np.int64], width: int, depth: Floats,
         nearest: NDArray[np.int32]) -> None:
    """Draw one row ``y`` each of the triangles ``which``."""
    at = y + 0.5
    one = edges.long[0][which] + at * edges.long[1][which]
    above = at < edges.middle[which]
    other = (np.where(above, edges.upper[0][which], edges.lower[0][which])
             + at * np.where(above, edges.upper[1][which], edges.lower[1][which]))
    begin = np.ceil(np.minimum(one, other) - 0.5).astype(np.int64)
    count = np.floor(np.maximum(one, other) - 0.5).astype(np.int64) - begin + 1
    drawn = np.flatnonzero(count > 0)
    row, x = _runs(drawn, begin[drawn], count[drawn])
    start = edges.plane[which[drawn], 0] + at[drawn] * edges.plane[which[drawn], 2]
    z = np.repeat(start, count[drawn]) + (x + 0.5) * np.repeat(edges.plane[which[drawn], 1], count[drawn])
    pixel = y[row] * width + x
    np.maximum.at(depth, pixel, z)
    front = depth[pixel] == z
    nearest[pixel[front]] = which[row[front]]


def _shade(nearest: NDArray[np.int32], facing: _Facing) -> NDArray[np.uint8]:
    light = _LIGHT / np.linalg.norm(_LIGHT)
    bright = 0.5 + 0.5 * np.clip(facing.normals @ light, 0.0, 1.0)
    table = np.concatenate([np.clip(facing.colours * bright[:, None], 0, 1), _PAPER[None]]).astype(np.float32)
    part, normals = np.concatenate([facing.owners, [-1]]), np.concatenate([facing.normals, np.zeros((1, 3))])
    edge = np.zeros(nearest.shape, bool)
    for here, there in ((np.s_[:-1, :], np.s_[1:, :]), (np.s_[:, :-1], np.s_[:, 1:])):
        differ = nearest[here] != nearest[there]
        one, other = nearest[here][differ], nearest[there][differ]
        turns = np.einsum("ij,ij->i", normals[one], normals[other]) < 0.85
        edge[here][differ] |= (part[one] != part[other]) | turns
    edge &= nearest >= 0
    total = np.zeros((nearest.shape[0] // _FINER, nearest.shape[1] // _FINER, 3), np.float32)
    for i, j in product(range(_FINER), repeat=2):  # one of the fine pixels of each
        colours = table[nearest[i::_FINER, j::_FINER]]
        colours[edge[i::_FINER, j::_FINER]] *= np.float32(_EDGE)
        total += colours
    pixels: NDArray[np.uint8] = np.round(total * np.float32(255 / _FINER**2)).astype(np.uint8)
    return pixels
