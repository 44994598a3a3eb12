"""What the page is told: exact places, evidence, changes. Held against figures from the desk's own statements and, for
holes, against the tests' own way to them (``tests.desks.build``)."""

from __future__ import annotations

import json

import numpy as np
import pytest

from deskmodel import CutOut, Desk, Hole, Member, Plate, rectangle
from deskmodel.fit.shared import shared_rooms
from deskmodel.frames import Pose
from deskmodel.hardware import Hardware
from deskmodel.model import freeze
from deskmodel.page import Scene, part_changes, read_blob
from deskmodel.page._exact import exact_record
from deskmodel.part import TurnedBlank
from deskmodel.session.run import Session
from tests.desks.build import bores
from tests.desks.small import small_desk
from tests.page.desks import checked, page_desk


@pytest.fixture(scope="module")
def session() -> Session:
    return Session()


@pytest.fixture(scope="module")
def scene(session: Session) -> Scene:
    _, done = checked(page_desk(), session)
    return session.scene(done)


def part(scene: Scene, name: str) -> dict:
    return next(each for each in scene.record["parts"] if each["name"] == name)


def test_it_is_json_and_the_same_each_time(scene: Scene) -> None:
    again = Session()
    _, done = checked(page_desk(), again)
    other = again.scene(done)
    assert json.dumps(other.record, allow_nan=False) == json.dumps(scene.record, allow_nan=False)
    assert other.shapes == scene.shapes


def test_every_shape_named_is_there_and_no_other(scene: Scene) -> None:
    named = {each["shape"] for each in scene.record["parts"]}
    for finding in scene.record["findings"]:
        evidence = finding["evidence"] or {}
        named |= {body["shape"] for body in evidence.get("bodies", [])}
        named |= {evidence["room"]["shape"]} if "room" in evidence else set()
    assert named == set(scene.shapes)


def test_shapes_stand_where_the_parts_do(scene: Scene) -> None:
    for each in scene.record["parts"]:
        points = read_blob(scene.shapes[each["shape"]]).vertices
        pose = np.array(each["pose"]).reshape(3, 4)
        placed = points @ pose[:, :3].T + pose[:, 3]
        # 0.1: the chord of what is round
        assert np.allclose([placed.min(axis=0), placed.max(axis=0)], each["box"], atol=0.1), each["name"]


def test_axes_are_those_of_the_holes() -> None:
    model = freeze(small_desk())[0]
    seen = 0
    for placed in model.parts:
        record = exact_record(placed.part)
        holes = [f for f in placed.part.features if isinstance(f, Hole)]
        for feature, told in zip(placed.part.features, record["features"], strict=True):
            if not isinstance(feature, Hole):
                continue
            bore = next(b for b in bores(model, placed.name, feature.purpose) if b.hole is feature)
            axis = np.array(told["axes"][0])
            ends = np.array([placed.pose.apply(tuple(axis[:3])), placed.pose.apply(tuple(axis[3:6]))])
            off = np.linalg.norm(np.cross(ends - bore.mouth, bore.into), axis=1)
            assert off.max() < 2e-6
            assert np.linalg.norm(ends[0] - bore.mouth) < 2e-6  # the mouth comes first
            assert feature.diameter / 2 == pytest.approx(min(axis[6:]) if not feature.countersink else axis[6:].min(), abs=3)
            seen += 1
        assert len(holes) <= len(record["features"])
    assert seen > 20


def test_planes_of_a_cut_look_out_of_what_is_left() -> None:
    plate = Plate("p", rectangle(200, 100), 4, "steel", (CutOut(rectangle(60, 40, (30, 20)), name="window"),))
    told = exact_record(plate)["features"][0]
    sides = {tuple(np.round(plane[3:6], 6)): plane[:3] for plane in told["planes"]}
    # the window spans x 30 to 90: its left side is met from the right, at x 30
    assert sides[(1.0, 0.0, 0.0)][0] == pytest.approx(30)
    assert sides[(-1.0, 0.0, 0.0)][0] == pytest.approx(90)
    assert sides[(0.0, 1.0, 0.0)][1] == pytest.approx(20)


def test_edges_of_a_plate_look_out_of_it() -> None:
    plate = Plate("p", rectangle(200, 100, radius=5), 4, "steel")
    told = exact_record(plate)
    edges = {tuple(np.round(plane[3:6], 6) + 0.0): plane[:3] for name, plane in told["faces"] if name.startswith("edge")}
    assert edges == {(0, -1, 0): [100, 0, 2], (1, 0, 0): [200, 50, 2], (0, 1, 0): [100, 100, 2], (-1, 0, 0): [0, 50, 2]}
    assert sorted(axis[:2] for axis in told["axes"]) == [[5, 5], [5, 95], [195, 5], [195, 95]]  # of its corners
    assert {axis[6] for axis in told["axes"]} == {5}


@pytest.mark.parametrize("turn", [1, -1], ids=["anticlockwise", "clockwise"])
def test_flats_of_a_turned_piece_look_out_of_it(turn: int) -> None:
    # a bolt: shank Ø 10 up to z 10, head Ø 16 with a hollow of Ø 6, 4 deep, in its top at z 20
    half = ((0, 0), (5, 0), (5, 10), (8, 10), (8, 20), (3, 20), (3, 16), (0, 16))
    bolt = Hardware("b", "screw", "a bolt", TurnedBlank(half[::turn]), "steel", "by hand")
    told = {(plane[2], plane[5]) for name, plane in exact_record(bolt)["faces"] if name.startswith("flat")}
    assert told == {(0, -1), (10, -1), (20, 1), (16, 1)}


def test_the_room_that_two_parts_share(scene: Scene) -> None:
    found = next(each for each in scene.record["findings"] if each["id"] == "parts-overlap")
    body, = found["evidence"]["bodies"]
    read = read_blob(scene.shapes[body["shape"]])
    pose = np.array(body["pose"]).reshape(3, 4)
    points = read.vertices @ pose[:, :3].T + pose[:, 3]
    # the block spans x 60 to 90, y 20 to 60, z 5 to 35; the rail ends at y 22
    assert points.min(axis=0) == pytest.approx([60, 20, 5], abs=0.001)
    assert points.max(axis=0) == pytest.approx([90, 22, 45], abs=0.001)
    corners = read.vertices[read.triangles]
    volume = (corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() / 6
    assert volume == pytest.approx(30 * 2 * 40, rel=1e-3)


def test_a_designed_contact_is_no_part_of_it(session: Session) -> None:
    """Whatever insert and pilot share by design is not shown; only where they do not fit is there anything to see."""
    model, lines = freeze(small_desk())
    _, done = checked(small_desk(), session)
    pairs = [(each.male, each.female) for each in model.contacts]
    assert pairs
    assert lines
    assert shared_rooms(session._engine.store, done.problem, pairs[:4]) == {}


def test_a_gap_has_both_its_ends(scene: Scene) -> None:
    found = next(each for each in scene.record["findings"] if each["id"] == "gap-too-small")
    from_, to = (np.array(end) for end in found["evidence"]["span"])
    assert np.linalg.norm(to - from_) == pytest.approx(3.0, abs=0.01)
    assert sorted((from_[1], to[1])) == pytest.approx([90, 93], abs=0.01)


def test_bays_and_openings(scene: Scene) -> None:
    assert part(scene, "neighbour")["bays"] == ["A"]
    assert part(scene, "lid")["bays"] == ["A"]
    assert part(scene, "front")["bays"] == part(scene, "under-plate")["bays"] == []
    opening, = scene.record["openings"]
    assert opening["cover"] == "lid"
    assert set(opening["parts"]) == {"lid", "lid backing"}
    assert opening["lift"] == {"direction": [0.0, 0.0, 1.0], "travel": 90}


def test_changes_against_the_scene_before(session: Session, scene: Scene) -> None:
    _, done = checked(page_desk(deep=0.0, bore=110.0), session)
    after = session.scene(done, before=scene)
    assert after.record["changes"] == {"new": [], "cut": ["front"], "moved": ["block"], "gone": []}
    d = Desk("other")
    d.place(Member("front", (22, 60), 400, "beech"), at=(0, 0, 0))
    d.place(Member("further", (22, 60), 400, "ash"), at=(0, 100, 0))
    _, done = checked(d, session)
    told = part_changes(scene.record, session.scene(done).record)
    assert told["new"] == ["further"]
    assert told["cut"] == ["front"]
    assert "back" in told["gone"]


def test_a_shape_that_cannot_be_built_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    from deskmodel.errors import BuildFault

    session, done = checked(page_desk(), Session())
    key = done.shapes["block"].key
    prepared = session._engine.store.prepared

    def fails(shape: object) -> object:
        if getattr(shape, "key", "") == key:
            raise BuildFault("the kernel could not")
        return prepared(shape)  # type: ignore[arg-type]

    monkeypatch.setattr(session._engine.store, "prepared", fails)
    monkeypatch.setattr(session._engine.store.cache, "get", lambda key: None)
    told = session.scene(done)
    block = part(told, "block")
    assert block["shape"] is None
    assert block["why"] == "the kernel could not"
    assert part(told, "front")["shape"] is not None


def test_poses_are_rows_of_a_rotation_with_the_origin() -> None:
    from deskmodel.page.scene import _pose

    pose = Pose(((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)), (5.0, 6.0, 7.0))
    assert _pose(pose) == [0, -1, 0, 5, 1, 0, 0, 6, 0, 0, 1, 7]
