"""Triangles to a picture: parallel projection, depth buffer, flat shading, drawn edges. numpy only, same bytes always."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Drawn", "picture", "png_bytes"]

Floats = NDArray[np.float64]

_FINER = 2  # pixels are drawn this much finer and averaged
_ROWS = 200_000  # of triangles, drawn at a time
_LIGHT = np.array([-0.35, -0.5, 0.79])
_PAPER = np.array([1.0, 1.0, 1.0])
_EDGE = 0.35  # brightness left where an edge is drawn


@dataclass(frozen=True, eq=False)
class Drawn:
    """``vertices`` (n, 3) in the desk frame, mm; ``triangles`` (m, 3); ``colour`` 0 to 1."""

    vertices: Floats
    triangles: NDArray[np.int64]
    colour: tuple[float, float, float]


def picture(drawn: Sequence[Drawn], towards_eye: tuple[float, float, float], width: int) -> NDArray[np.uint8]:
    """(h, ``width``, 3) pixels of the scene seen along -``towards_eye``; the height follows from what is drawn."""
    eye = np.array(towards_eye) / np.linalg.norm(towards_eye)
    right = np.cross([0.0, 0.0, 1.0], eye)
    right /= np.linalg.norm(right)
    view = np.stack([right, -np.cross(eye, right), eye])  # x right, y down the picture, z to the eye
    corners, colours, normals, owners = _flatten(drawn, view, eye)
    low, high = corners.reshape(-1, 3).min(0), corners.reshape(-1, 3).max(0)
    fine = width * _FINER
    scale = 0.94 * fine / (high[0] - low[0])
    margin = 0.03 * fine
    height = (int((high[1] - low[1]) * scale + 2 * margin) // _FINER + 1) * _FINER
    flat = corners.copy()
    flat[:, :, 0] = (corners[:, :, 0] - low[0]) * scale + margin
    flat[:, :, 1] = (corners[:, :, 1] - low[1]) * scale + margin
    nearest = _cover(flat, height, fine)
    return _shade(nearest, colours, normals, owners)


def png_bytes(pixels: NDArray[np.uint8], text: str) -> bytes:
    """An RGB picture as PNG (ISO/IEC 15948) with one Latin-1 remark and no date."""
    height, width, _ = pixels.shape
    rows = np.concatenate([np.full((height, 1), 1, np.uint8), _filtered(pixels)], axis=1)
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    remark = b"Comment\0" + text.encode("latin-1", "replace")
    return (b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", header) + _chunk(b"tEXt", remark)
            + _chunk(b"IDAT", zlib.compress(rows.tobytes(), 9)) + _chunk(b"IEND", b""))


def _filtered(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """PNG filter 1: each byte less the one of the pixel to its left."""
    left = np.zeros_like(pixels)
    left[:, 1:] = pixels[:, :-1]
    rows: NDArray[np.uint8] = (pixels - left).reshape(len(pixels), -1)
    return rows


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _flatten(drawn: Sequence[Drawn], view: Floats, eye: Floats) -> tuple[Floats, Floats, Floats, NDArray[np.int64]]:
    """(corners (m, 3, 3) in view axes, colour, normal, owner) of every triangle that looks at the eye."""
    corners, colours, normals, owners = [], [], [], []
    for owner, each in enumerate(drawn):
        points = each.vertices[each.triangles]
        cross = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
        length = np.linalg.norm(cross, axis=1)
        seen = (length > 0) & (cross @ eye > 1e-9 * length)
        corners.append(points[seen] @ view.T)
        normals.append(cross[seen] / length[seen, None])
        colours.append(np.broadcast_to(np.array(each.colour), (int(seen.sum()), 3)))
        owners.append(np.full(int(seen.sum()), owner))
    return np.concatenate(corners), np.concatenate(colours), np.concatenate(normals), np.concatenate(owners)


def _cover(flat: Floats, height: int, width: int) -> NDArray[np.int64]:
    """(height, width): the triangle nearest to the eye at each fine pixel's centre, -1 where there is none.

    By rows: triangles of a drilled plate are long slivers, whose boxes hold a thousand times more pixels than they."""
    depth = np.full(height * width, -np.inf)
    nearest = np.full(height * width, -1, np.int64)
    corner = np.take_along_axis(flat, np.argsort(flat[:, :, 1], axis=1)[:, :, None], axis=1)  # top, middle, bottom
    first = np.ceil(corner[:, 0, 1] - 0.5).astype(np.int64)
    rows = np.floor(corner[:, 2, 1] - 0.5).astype(np.int64) - first + 1
    chosen = np.flatnonzero(rows > 0)
    ends = np.cumsum(rows[chosen])
    for batch in np.split(chosen, np.searchsorted(ends, np.arange(_ROWS, ends[-1] if len(ends) else 0, _ROWS))):
        which, y = _runs(batch, first[batch], rows[batch])
        _put(corner, which, y, width, depth, nearest)
    return nearest.reshape(height, width)


def _runs(items: NDArray[np.int64], start: NDArray[np.int64],
          count: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Each item ``count`` times, beside start, start + 1, …"""
    before = np.repeat(np.cumsum(count) - count, count)
    return np.repeat(items, count), np.repeat(start, count) + np.arange(count.sum()) - before


def _put(corner: Floats, which: NDArray[np.int64], y: NDArray[np.int64], width: int, depth: Floats,
         nearest: NDArray[np.int64]) -> None:
    """Draw one row ``y`` each of the triangles ``which``."""
    top, middle, bottom = (corner[which, i] for i in range(3))
    at = y + 0.5
    with np.errstate(divide="ignore", invalid="ignore"):
        one = top[:, 0] + (at - top[:, 1]) * (bottom[:, 0] - top[:, 0]) / (bottom[:, 1] - top[:, 1])
        upper = top[:, 0] + (at - top[:, 1]) * (middle[:, 0] - top[:, 0]) / (middle[:, 1] - top[:, 1])
        lower = middle[:, 0] + (at - middle[:, 1]) * (bottom[:, 0] - middle[:, 0]) / (bottom[:, 1] - middle[:, 1])
    other = np.where(at < middle[:, 1], upper, lower)
    begin = np.ceil(np.minimum(one, other) - 0.5).astype(np.int64)
    count = np.floor(np.maximum(one, other) - 0.5).astype(np.int64) - begin + 1
    drawn = np.flatnonzero(count > 0)
    row, x = _runs(drawn, begin[drawn], count[drawn])
    triangle = which[row]
    a, u, v = corner[triangle, 0], corner[triangle, 1] - corner[triangle, 0], corner[triangle, 2] - corner[triangle, 0]
    area = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    dx, dy = x + 0.5 - a[:, 0], y[row] + 0.5 - a[:, 1]
    z = a[:, 2] + ((dx * v[:, 1] - dy * v[:, 0]) * u[:, 2] + (u[:, 0] * dy - u[:, 1] * dx) * v[:, 2]) / area
    pixel = y[row] * width + x
    np.maximum.at(depth, pixel, z)
    front = depth[pixel] == z
    nearest[pixel[front]] = triangle[front]


def _shade(nearest: NDArray[np.int64], colours: Floats, normals: Floats, owners: NDArray[np.int64]) -> NDArray[np.uint8]:
    light = _LIGHT / np.linalg.norm(_LIGHT)
    bright = 0.5 + 0.5 * np.clip(normals @ light, 0.0, 1.0)
    table = np.concatenate([np.clip(colours * bright[:, None], 0, 1), _PAPER[None]])
    image = table[nearest]
    part = np.concatenate([owners, [-1]])[nearest]
    facing = np.concatenate([normals, np.zeros((1, 3))])[nearest]
    edge = np.zeros(nearest.shape, bool)
    for here, there in ((np.s_[:-1, :], np.s_[1:, :]), (np.s_[:, :-1], np.s_[:, 1:])):
        turns = (facing[here] * facing[there]).sum(-1) < 0.85
        edge[here] |= (part[here] != part[there]) | turns
    image[edge & (nearest >= 0)] *= _EDGE
    height, width, _ = image.shape
    mean = image.reshape(height // _FINER, _FINER, width // _FINER, _FINER, 3).mean((1, 3))
    pixels: NDArray[np.uint8] = np.round(mean * 255).astype(np.uint8)
    return pixels
