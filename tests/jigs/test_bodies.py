"""The printed bodies: one closed valid solid, on the bed, nothing that hangs over, seats and planes in their places."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from deskmodel.cache import DiskCache
from deskmodel.exporters import ExportShape
from deskmodel.fit import FitEngine
from deskmodel.jigs import Jig, JigBody, jig_body, jig_plan
from deskmodel.meshes import ShapeStore
from deskmodel.session.jigs import jig_shapes
from deskmodel.session.shapes import export_shape
from tests.jigs.desks import DESKS, desk

COS45 = np.sqrt(0.5)
BED = (220, 220, 250)  # of the workshop that is assumed


@pytest.fixture(scope="module")
def engine(cache: Path) -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(cache)))


def bare(jig: Jig, monkeypatch: pytest.MonkeyPatch) -> JigBody:
    """Without letters, which take most of the time to cut and are looked at once."""
    for module in ("_end_body", "_face_body"):
        monkeypatch.setattr(f"deskmodel.jigs.{module}.lines_fitting", lambda *_: [])
    return jig_body(jig, "")


def meshed(engine: FitEngine, body: JigBody) -> ExportShape:
    """Built by the kernel; VerifiedShape compares its volume with that of an independent mesh boolean."""
    shape, = jig_shapes({"J": body}).values()
    return export_shape(engine, shape)


def hanging(shape: ExportShape) -> np.ndarray:
    """(k, 3, 3) corners of the facets that look down by more than 45° and do not lie on the bed."""
    corners = shape.vertices[shape.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normals, axis=1)
    down = -normals[:, 2] / np.where(size > 0, size, 1)
    return corners[(size > 1e-9) & (down > COS45 + 1e-3) & (corners[:, :, 2].max(axis=1) > 1e-6)]


def in_print(body: JigBody, points: list[tuple[float, float, float]]) -> np.ndarray:
    back = body.seat_from_print.inverse()
    return np.array([back.apply(p) for p in points])


def flat_area(shape: ExportShape, body: JigBody, axis: int, at: float, among: tuple[int, float, float]) -> float:
    """mm² of the flat facets at ``at`` of a seat coordinate, those between two values of another one."""
    points = np.array([body.seat_from_print.apply(tuple(p)) for p in shape.vertices])[shape.triangles]
    inside = np.abs(points[:, :, axis] - at).max(axis=1) < 1e-6
    middle = points[:, :, among[0]].mean(axis=1)
    chosen = points[inside & (middle > among[1]) & (middle < among[2])]
    return float(np.linalg.norm(np.cross(chosen[:, 1] - chosen[:, 0], chosen[:, 2] - chosen[:, 0]), axis=1).sum() / 2)


@pytest.mark.parametrize("name", DESKS)
def test_a_body_without_letters(name: str, engine: FitEngine, monkeypatch: pytest.MonkeyPatch) -> None:
    plan = jig_plan(desk(name))
    assert plan.jigs
    for jig in plan.jigs:
        body = bare(jig, monkeypatch)
        shape = meshed(engine, body)
        # the box is the one that the description says, from the bed's origin
        assert shape.vertices.min(axis=0) == pytest.approx((0, 0, 0), abs=1e-6)
        assert shape.vertices.max(axis=0) == pytest.approx(body.size, abs=1e-6)
        assert (np.array(body.size) <= BED).all()
        assert len(hanging(shape)) == 0, jig.label
        corners = shape.vertices[shape.triangles]
        doubled = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
        assert doubled.min() > 1e-6  # no facet without an area, which slicers stumble over
        assert len(shape.step.solids) == 1
        _seats(jig, body, shape)
        _planes(jig, body, shape)


def _seats(jig: Jig, body: JigBody, shape: ExportShape) -> None:
    """Along each axis the seat is as wide as the printer needs, as long as the bush, and nothing stands in it."""
    for u, v in jig.axes:
        first = 0.0 if jig.hand == "R" and jig.kind == "end" else jig.gap  # the wood lies beyond the web
        start, stop = in_print(body, [(u, v, first), (u, v, first + jig.bush.length)])
        way = (stop - start) / np.linalg.norm(stop - start)
        along = (shape.vertices - start) @ way
        radius = np.linalg.norm((shape.vertices - start) - along[:, None] * way, axis=1)
        r = jig.seat_diameter / 2
        assert r == pytest.approx((jig.bush.outside + 2 * 0.1) / 2)
        within = (along > -1e-6) & (along < jig.bush.length + 1e-6)
        assert radius[within].min() > r - 0.01
        on = within & (np.abs(radius - r) < 1e-6)
        lead = 0.84 if jig.kind == "face" else 0.0  # the chamfer where the bush goes in
        assert along[on].min() == pytest.approx(0.0, abs=1e-6)
        assert along[on].max() == pytest.approx(jig.bush.length - lead, abs=1e-6)
        # below the bush the bit and its chips pass
        free = (along > -first - 1e-6) & (along < 0)
        assert radius[free].min(initial=99) > jig.bush.bore / 2 + 0.25


def _planes(jig: Jig, body: JigBody, shape: ExportShape) -> None:
    """The faces that it sits on by; an end jig without a hand has them on both sides of its web, equal."""
    if jig.kind == "face":
        assert flat_area(shape, body, 2, 0.0, (1, 0, 1e3)) > 150  # on the wood
        assert flat_area(shape, body, 1, 0.0, (2, -1e3, 0)) > 400  # the lip
        assert jig.far_sight is not None
        for at in {0.0, jig.far_sight}:  # sight edges
            assert flat_area(shape, body, 0, at, (1, 0, jig.height)) > 6 * 10
        return
    assert jig.web is not None
    assert jig.fence is not None
    low, high = [], []
    for side, (at, among) in ((low, (0.0, (-1e3, 0.0))), (high, (jig.web, (jig.web, 1e3)))):
        side += [flat_area(shape, body, 2, at, (0, 0, 1e3)), flat_area(shape, body, 0, 0.0, (2, *among)),
                 flat_area(shape, body, 1, 0.0, (2, *among))]
    if jig.hand is None:
        assert low == pytest.approx(high, rel=1e-9)
    seats = high if jig.hand == "R" else low
    assert seats[0] > 250  # the end of the member
    assert min(seats[1:]) > 10 * 12
    if jig.hand is not None:
        assert (low if jig.hand == "R" else high)[1:] == [0.0, 0.0]


@pytest.mark.parametrize("index", [0, 1])
def test_a_lettered_body(index: int, engine: FitEngine) -> None:
    jig = jig_plan(desk("22")).jigs[index]
    body = jig_body(jig, "abcd1234")
    words = " ".join(body.lettered)
    told = {"end": ("FACE SIDE", "FACE EDGE", "J1", "Ø8", "26 DEEP", "STOP 46"),
            "face": ("FACE EDGE", "J2", "Ø8", "16 DEEP", "STOP 38")}[jig.kind]
    for word in (*told, "abcd1234"):
        assert word in words
    shape = meshed(engine, body)
    assert len(shape.step.solids) == 1
    # what hangs over are bridges of a stroke's width on the first layer, and steps of 0.6 in standing faces
    steps = hanging(shape)
    assert len(steps)
    on_bed = np.abs(steps[:, :, 2] - 0.6).max(axis=1) < 1e-6
    points = np.array([body.seat_from_print.apply(tuple(p)) for p in steps[~on_bed].reshape(-1, 3)])
    assert len(points)
    assert (points[:, 1] <= -6 + 0.6 + 1e-6).all()  # the outer face at v = -6 of fence or lip
    assert shape.step.measure.volume < sum(p.volume for p in body.added)


@pytest.mark.parametrize("name", DESKS)
def test_what_matters_is_lettered(name: str) -> None:
    for jig in jig_plan(desk(name)).jigs:
        words = " ".join(jig_body(jig, "abcd1234").lettered)
        assert words.count("FACE") == (2 if jig.kind == "end" else 1)
        assert jig.label.replace(" ", "") in words
        for depth in jig.depths:
            assert f"STOP {depth.stop:g}" in words
            assert ("THROUGH" if depth.through else f"{depth.depth:g} DEEP") in words
