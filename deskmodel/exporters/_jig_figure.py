"""A jig on its member, shaded from the real meshes, with its parts named."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from deskmodel.drawing import Picture, Record
from deskmodel.drawing.callouts import Callout, callouts
from deskmodel.drawing.flow import Figure
from deskmodel.errors import BuildFault
from deskmodel.exporters._raster import Drawn, View, seen_along, view_of
from deskmodel.frames import Pose, Vec
from deskmodel.jigs import Jig, JigUse
from deskmodel.jigs.coupon import Coupon
from deskmodel.meshes.crop import crop
from deskmodel.part import Member

__all__ = ["Mesh", "coupon_figure", "figure_of", "named_places", "scene_of", "view_of_use"]

Floats = NDArray[np.float64]

_WOOD, _PRINT, _STEEL, _LINE = (0.86, 0.74, 0.55), (0.36, 0.56, 0.74), (0.72, 0.72, 0.74), (0.15, 0.15, 0.15)
_SHOWN = 60.0  # mm of the member beyond the jig
_PIXELS = 900
_COLUMN, _BETWEEN, _HIGHEST = 32.0, 6.0, 80.0
_EYES: dict[str, tuple[Vec, ...]] = {"end": ((-0.5, -0.5, 0.35), (0.6, -0.24, 0.72)), "face": ((-0.38, -0.62, 0.6),)}
"""Towards the eye, in the seat frame: onto the fences, into them; onto the plate."""

_SIDES = 48  # of a bush


@dataclass(frozen=True, eq=False)
class Mesh:
    """``vertices`` (n, 3) mm, ``triangles`` (m, 3), closed, anticlockwise from outside."""

    vertices: Floats
    triangles: NDArray[np.int64]

    def placed(self, pose: Pose) -> Mesh:
        return Mesh(self.vertices @ np.array(pose.rotation).T + pose.origin, self.triangles)


def figure_of(jig: Jig, use: JigUse, body: Mesh, member: Member, wood: Mesh, width: float) -> Figure:
    """``body``: the jig in its seat frame; ``wood``: the member in its own frame. ``width`` in mm of paper.

    An end jig is seen from two sides: its fences hide its bushes."""
    drawn = scene_of(jig, use, body, member, wood)
    named = named_places(jig, use, member)
    sides = ((True, False),) if len(_EYES[jig.kind]) == 1 else ((False,), (True,))
    room = (width - 2 * _COLUMN - _BETWEEN * (len(sides) - 1)) / len(sides)
    views = view_of_use(jig, use, drawn)
    wide = min(room, *(_HIGHEST * view.size[0] / view.size[1] for view in views))
    tall = max(wide * view.size[1] / view.size[0] for view in views)
    x = (width - len(sides) * wide - _BETWEEN * (len(sides) - 1)) / 2
    records: list[Record] = []
    for i, (view, side) in enumerate(zip(views, sides, strict=True)):
        high = wide * view.size[1] / view.size[0]
        box = (x, (tall - high) / 2, x + wide, (tall + high) / 2)
        out = io.BytesIO()
        Image.fromarray(seen_along(drawn, view)).save(out, "PNG")
        records.append(Picture(out.getvalue(), box[:2], (wide, high)))
        records += callouts([_callout(text, np.array(use.pose.apply(at)), view, box, side)
                             for text, at, which in named if which == i], box, min(_COLUMN, x if i == 0 else _COLUMN))
        x += wide + _BETWEEN
    return Figure(tuple(records), (width, tall))


def view_of_use(jig: Jig, use: JigUse, drawn: Sequence[Drawn]) -> list[View]:
    """From where a jig of its kind is seen, sitting so: a face jig from the side where its line is."""
    side = -1.0 if use.sight == "second" else 1.0
    return [view_of(drawn, _eye(use, (side * u, v, w)), _PIXELS) for u, v, w in _EYES[jig.kind]]


def scene_of(jig: Jig, use: JigUse, body: Mesh, member: Member, wood: Mesh) -> list[Drawn]:
    """In the member's frame: the member near the jig, the jig, its bushes, and the line that it is laid to."""
    seated = body.placed(use.pose)
    low, high = seated.vertices[:, 0].min() - _SHOWN, seated.vertices[:, 0].max() + _SHOWN
    part = _stretch(member, wood, float(low), float(high))
    drawn = [Drawn(part.vertices, part.triangles, _WOOD), Drawn(seated.vertices, seated.triangles, _PRINT)]
    for u, v in jig.axes:
        bush = _tube(jig.bush.outside / 2, jig.bush.bore / 2, jig.bush.length).placed(use.pose @ _at((u, v, jig.gap)))
        drawn.append(Drawn(bush.vertices, bush.triangles, _STEEL))
    if jig.kind == "face" and use.mark is not None:
        across = _breadth(use, member)
        line = _block((_mark_u(jig, use) - 0.3, 0.0, 0.02), (_mark_u(jig, use) + 0.3, across, 0.12)).placed(use.pose)
        drawn.append(Drawn(line.vertices, line.triangles, _LINE))
    return drawn


def _at(place: Vec) -> Pose:
    return Pose(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), place)


def _breadth(use: JigUse, member: Member) -> float:
    return member.section[1] if use.place in ("face side", "back side") else member.section[0]


def _mark_u(jig: Jig, use: JigUse) -> float:
    far = jig.far_sight or 0.0
    return far if use.sight == "second" else 0.0


def _eye(use: JigUse, seat: Vec) -> Vec:
    """Towards the eye, in the member's frame; never straight from above, which would leave no way up."""
    eye = use.pose.turn(seat)
    return eye if math.hypot(eye[0], eye[1]) > 0.2 else (eye[0] + 0.4, eye[1] - 0.4, eye[2])


def named_places(jig: Jig, use: JigUse, member: Member) -> list[tuple[str, Vec, int]]:
    """What is named, where it is in the seat frame, and in which view."""
    u, v = jig.axes[0]
    rim = (u, v - jig.bush.bore / 2 - 0.5, jig.gap + jig.bush.length)
    if jig.kind == "end":
        width, height = member.section
        deep = min(jig.fence or 12.0, 12.0)
        return [("fence on the face side", (-6.0, height * 0.8, -deep), 0),
                ("fence on the face edge", (width * 0.3, -6.0, -deep), 0),
                (f"bush for Ø {jig.diameter:g}", rim, 1),
                ("back side: no fence", (width, height * 0.6, -30.0), 1),
                ("web on the end of the member", (width * 0.5, (v + jig.axes[-1][1]) / 2, jig.web or jig.above), 1)]
    across = _breadth(use, member)
    away = -1.0 if use.sight == "first" else 1.0
    return [(f"bush for Ø {jig.diameter:g}", rim, 0),
            (f"lip over the {jig.lip}", ((jig.far_sight or 0.0) / 2, -2.0, -(jig.lip_depth or 4.0) / 2), 0),
            ("sight edge on the line", (_mark_u(jig, use), across * 0.92, 0.1), 0),
            (str(use.place), (_mark_u(jig, use) + away * 40.0, across * 0.8, 0.0), 0)]


def _callout(text: str, at: Floats, view: View, box: tuple[float, float, float, float], sides: Sequence[bool]) -> Callout:
    """On the nearer of the ``sides`` (right: True)."""
    x, y = view.pixels(at[None])[0]
    x, y = min(max(x, 0.0), view.size[0]), min(max(y, 0.0), view.size[1])
    wide, high = box[2] - box[0], box[3] - box[1]
    place = (box[0] + x / view.size[0] * wide, box[3] - y / view.size[1] * high)
    right = place[0] > (box[0] + box[2]) / 2
    return Callout(text, place, right if right in sides else sides[0])


def _stretch(member: Member, wood: Mesh, low: float, high: float) -> Mesh:
    """The member from ``low`` to ``high`` along it, closed; the whole of it where it is no longer."""
    if low <= 0.0 and high >= member.length:
        return wood
    removals = [removal for feature in member.features for removal in feature.removals(member.blank)]
    width, height = member.section

    def inside(points: Floats) -> NDArray[np.bool_]:
        return np.array([0 <= x <= member.length and 0 <= y <= width and 0 <= z <= height
                         and not any(removal.contains((x, y, z)) for removal in removals)
                         for x, y, z in points.tolist()], bool)

    for shift in (0.0137, 0.5171, 1.3119, 2.7713):  # no plane of the box through a vertex
        lows = np.array([low - shift, -10.0137, -10.0173])
        highs = np.array([high + shift, width + 10.0191, height + 10.0213])
        cut = crop(wood.vertices[wood.triangles], lows, highs, inside)
        if cut is not None:
            return Mesh(*cut)
    raise BuildFault(f"the stretch of {member.name!r} under a jig could not be cut out for its picture")


def _tube(outer: float, inner: float, length: float) -> Mesh:
    """About +z from 0."""
    angles = np.arange(_SIDES) * 2 * math.pi / _SIDES
    ring = np.stack([np.cos(angles), np.sin(angles), np.zeros(_SIDES)], axis=1)
    up = np.array([0.0, 0.0, length])
    rings = [ring * outer, ring * outer + up, ring * inner + up, ring * inner]  # round the wall of the tube
    n = _SIDES
    i, j = np.arange(n), (np.arange(n) + 1) % n
    faces = []
    for a, b in ((0, 1), (1, 2), (2, 3), (3, 0)):
        faces += [np.stack([a * n + i, a * n + j, b * n + j], axis=1), np.stack([a * n + i, b * n + j, b * n + i], axis=1)]
    return Mesh(np.concatenate(rings), np.concatenate(faces).astype(np.int64))


def _block(low: Sequence[float], high: Sequence[float]) -> Mesh:
    corners = np.array([[(low, high)[i >> k & 1][k] for k in range(3)] for i in range(8)])
    quads = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    return Mesh(corners, np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))], np.int64))


def coupon_figure(coupon: Coupon, body: Mesh, width: float) -> Figure:
    """The print-calibration coupon with what there is to measure."""
    drawn = [Drawn(body.vertices, body.triangles, _PRINT)]
    view = view_of(drawn, (-0.35, -0.75, 0.55), _PIXELS)
    wide = min(width - 2 * _COLUMN, _HIGHEST * view.size[0] / view.size[1])
    high = wide * view.size[1] / view.size[0]
    box = ((width - wide) / 2, 0.0, (width + wide) / 2, high)
    out = io.BytesIO()
    Image.fromarray(seen_along(drawn, view)).save(out, "PNG")
    long, deep = coupon.body.size[1], coupon.deep
    first, last = coupon.seats[0], coupon.seats[-1]
    named = [("slits in the front edge", (coupon.slits[0][1], 0.0, deep)),
             ("standing seats", (first.x, coupon.standing - first.diameter / 2, deep)),
             ("lying seats, with roofs", (first.x - first.diameter / 2, long - deep, coupon.lying)),
             ("numbers", (last.x, long - deep / 2, coupon.body.size[2])),
             ("fins", (coupon.fins[-1][1], 6.0, deep + 8.0))]
    records: list[Record] = [Picture(out.getvalue(), box[:2], (wide, high))]
    records += callouts([_callout(text, np.array(at), view, box, (False, True)) for text, at in named], box, _COLUMN)
    return Figure(tuple(records), (width, high))
