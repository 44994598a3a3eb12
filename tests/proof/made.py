"""Jigs and members made by hand for the proof's own tests: blocks with bores, every size stated here. mm.

An end jig is a web between fences over the face side and the face edge, alike on both sides of the web; a face jig is a
plate with one fence over the face edge whose ends are the sight edges.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cadquery as cq
import numpy as np
from manifold3d import CrossSection, Manifold

from tests.proof.facets import Mesh, write_mesh

SEAT = 12.2  # of a bush 12 outside, 0.1 allowance on each side
GUIDE = 16.0
GAP = 4.0
POCKET = 7.0  # radius of the chip gap round a bush
WEB = GUIDE + 2 * GAP
FENCE = 5.0
SKIRT = 20.0
ARM = 11.0  # from a sight edge to the middle of a face jig
AT = (15.0, 45.0)  # from the face edge
TURN = np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]])  # seat frame from print frame: printed on the fence of the face edge
SHIFT = {"J1": np.array([-FENCE, -FENCE, WEB + SKIRT]), "J2": np.array([0, -FENCE, WEB])}  # lowest corner on the bed


@dataclass(frozen=True)
class Plan:
    """What the holes of a jig are: in the seat frame, so that a test can make a jig that is wrong."""

    holes: tuple[tuple[float, float], ...] = tuple((ARM, v) for v in AT)  # u, v
    tilt: float = 0.0  # degrees, of the first hole, about v
    roof: bool = True
    seat: float = GUIDE  # length of the seats


def end_jig(plan: Plan = Plan(), section: tuple[float, float] = (22.0, 60.0)) -> Manifold:
    """Seat frame."""
    t, h = section
    body = _box((-FENCE, -FENCE, 0), (t + 2, h + 2, WEB))
    for low, high in ((-SKIRT, 0.0), (WEB, WEB + SKIRT)):
        body += _box((-FENCE, -FENCE, low), (0, h - 4, high)) + _box((-FENCE, -FENCE, low), (t - 4, 0, high))
    return body - _cutters(plan, (0.0, WEB))


def face_jig(plan: Plan = Plan(), height: float = 60.0) -> Manifold:
    """Seat frame: one sight edge at u = 0, the other at twice ARM."""
    body = _box((0, -FENCE, 0), (2 * ARM, height - 2, WEB)) + _box((0, -FENCE, -15), (2 * ARM, 0, 0))
    return body - _cutters(plan, (0.0, WEB))


def _cutters(plan: Plan, web: tuple[float, float]) -> Manifold:
    """Seats between pockets of the chip gap; a seat that lies while it is printed has a roof of 45°."""
    away = (web[1] - web[0] - plan.seat) / 2
    total = Manifold()
    for i, (u, v) in enumerate(plan.holes):
        round_, pocket = roofed(SEAT / 2, 48, plan.roof), roofed(POCKET, 64, plan.roof)
        bore = Manifold.extrude(round_, plan.seat + 0.0).translate([0, 0, -plan.seat / 2])
        if plan.tilt and i == 0:
            bore = Manifold.extrude(round_, plan.seat + 2).translate([0, 0, -plan.seat / 2 - 1]).rotate([0, plan.tilt, 0])
        for low, high in ((-1.0, away), (away + plan.seat, away + plan.seat + away + 1)):
            bore += Manifold.extrude(pocket, high - low).translate([0, 0, low - away - plan.seat / 2])
        total += bore.translate([u, v, (web[0] + web[1]) / 2])
    return total


def roofed(radius: float, steps: int, roof: bool) -> CrossSection:
    """A circle, with a roof of 45° towards what is up while it is printed (v)."""
    leg = radius / np.sqrt(2)
    return CrossSection.circle(radius, steps) + CrossSection([[(leg, leg), (0, 2 * leg), (-leg, leg)]] if roof else [])


def _box(low: Iterable[float], high: Iterable[float]) -> Manifold:
    a, b = np.array(list(low), float), np.array(list(high), float)
    return Manifold.cube(b - a).translate(a)


def printed(jig: Manifold, number: str) -> Mesh:
    """In the print frame: seat = TURN · print + SHIFT."""
    whole = facets_of(jig)
    return Mesh((whole.vertices - SHIFT[number]) @ TURN, whole.faces)


def facets_of(body: Manifold) -> Mesh:
    whole = body.to_mesh64()
    return Mesh(np.asarray(whole.vert_properties[:, :3], float), np.asarray(whole.tri_verts, np.int64))


def solid(end: bool) -> cq.Shape:
    """The right end jig or face jig by the kernel, print frame."""
    def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> cq.Solid:
        return cq.Solid.makeBox(*(np.subtract(high, low)), cq.Vector(*low))

    if end:
        body = box((-FENCE, -FENCE, 0), (24, 62, WEB))
        for low, high in ((-SKIRT, 0.0), (WEB, WEB + SKIRT)):
            body = body.fuse(box((-FENCE, -FENCE, low), (0, 56, high)), box((-FENCE, -FENCE, low), (18, 0, high)))
    else:
        body = box((0, -FENCE, 0), (2 * ARM, 58, WEB)).fuse(box((0, -FENCE, -15), (2 * ARM, 0, 0)))
    for v in AT:
        for radius, low, high in ((SEAT / 2, GAP, GAP + GUIDE), (POCKET, 0.0, GAP), (POCKET, WEB - GAP, WEB)):
            leg = radius / np.sqrt(2)
            roof = cq.Workplane().polyline([(leg, leg), (0, 2 * leg), (-leg, leg)]).close().extrude(high - low)
            body = body.cut(cq.Solid.makeCylinder(radius, high - low, cq.Vector(ARM, v, low)),
                            roof.translate((ARM, v, low)).val())
    # print = TURN^T (seat - SHIFT): a quarter turn about x
    return body.translate(cq.Vector(*-SHIFT["J1" if end else "J2"])).rotate(cq.Vector(), cq.Vector(1, 0, 0), 90)


def member(path: Path, size: tuple[float, float, float], holes: Iterable[tuple[str, float, float, float]],
           diameter: float = 8.0) -> None:
    """A STEP file. ``holes``: side; along (or from the face side, at ends); from the face edge; depth to the shoulder."""
    length, t, h = size
    solid = cq.Workplane().box(length, t, h, centered=False)
    for side, along, down, depth in holes:
        at, way = {"datum end": ((0, along, h - down), (1, 0, 0)), "far end": ((length, along, h - down), (-1, 0, 0)),
                   "face side": ((along, 0, h - down), (0, 1, 0)), "back side": ((along, t, h - down), (0, -1, 0))}[side]
        point = cq.Vector(*at) + cq.Vector(*way) * depth
        solid = solid.cut(cq.Workplane(cq.Solid.makeCylinder(diameter / 2, depth, cq.Vector(*at), cq.Vector(*way))))
        solid = solid.cut(cq.Workplane(cq.Solid.makeCone(diameter / 2, 0, diameter / 2 / 1.664, point, cq.Vector(*way))))
    cq.exporters.export(solid, str(path), exportType="STEP")


def export(folder: Path, ends: Manifold | None = None, faces: Manifold | None = None) -> Path:
    """A folder as an export is: a rail of 200 between two others of 400, eight holes, two jigs; returns ``folder``."""
    (folder / "jigs").mkdir(parents=True)
    (folder / "members").mkdir()
    write_mesh(folder / "jigs" / "j1.stl", printed(ends or end_jig(), "J1"))
    write_mesh(folder / "jigs" / "j2.stl", printed(faces or face_jig(), "J2"), text=True)
    for name, end in (("j1", True), ("j2", False)):
        cq.exporters.export(cq.Workplane(solid(end)), str(folder / "jigs" / f"{name}.step"), exportType="STEP")
    member(folder / "members" / "rail.step", (200, 22, 60),
           [(end, ARM, v, 26) for end in ("datum end", "far end") for v in AT])
    # the rail's datum end on the face side of one (its face side at 100, its wood towards the far end), its far end on the
    # back side of the other
    member(folder / "members" / "left.step", (400, 22, 60), [("face side", 100 + ARM, v, 16) for v in AT])
    member(folder / "members" / "right.step", (400, 22, 60), [("back side", 100 + ARM, v, 16) for v in AT])
    # in the desk: the rail runs from the face side of "left" (y = 0) to the back side of "right" (y = -200)
    desk = cq.Assembly()
    turned = cq.Location(cq.Plane((100, 0, 0), (0, -1, 0), (0, 0, 1)))
    for name, place in (("left", cq.Location()), ("right", cq.Location(cq.Vector(0, -222, 0))), ("rail", turned)):
        desk.add(cq.importers.importStep(str(folder / "members" / f"{name}.step")), name=name, loc=place)
    desk.export(str(folder / "model.step"))
    write_contract(folder, contract())
    return folder


def write_contract(folder: Path, data: dict[str, Any]) -> None:
    (folder / "jigs" / "jigs.json").write_text(json.dumps(data), encoding="utf-8")


def contract() -> dict[str, Any]:
    above = GAP + GUIDE  # the stop comes down on the bush, in its pocket
    kinds = (("J1", "end", 26, None), ("J2", "face", 16, 2 * ARM))
    jigs = [{"number": number, "kind": kind, "stl": f"jigs/{number.lower()}.stl", "step": f"jigs/{number.lower()}.step",
             "seat_from_print": {"rotation": TURN.tolist(), "translation": SHIFT[number].tolist()}, "drill": 8.0,
             "bush": {"bore": 8.02, "outside": 12.0, "length": GUIDE}, "guide": GUIDE, "gap": GAP, "far_sight": far,
             "depths": [{"depth": depth, "stop": depth + above}]} for number, kind, depth, far in kinds]
    rows = [("J1", "rail", "datum end", None, None, 26, "left joint", False),
            ("J1", "rail", "far end", None, None, 26, "right joint", True),
            ("J2", "left", "face side", 100, "far end", 16, "left joint", False),
            ("J2", "right", "back side", 100, "far end", 16, "right joint", False)]
    uses = [{"jig": jig, "member": name, "quantity": 1, "members": [name], "file": f"members/{name}.step", "place": place,
             "mark": mark, "towards": towards, "depth": depth, "stop": depth + above, "joint": joint, "turned_over": over,
             "through": False}
            for jig, name, place, mark, towards, depth, joint, over in rows]
    return {"schema": 1, "revision": "by hand", "jigs": jigs, "uses": uses}
