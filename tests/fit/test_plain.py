"""Plain cadquery: assemblies and named shapes."""

from __future__ import annotations

import cadquery as cq
import pytest

from deskmodel.cache import DiskCache
from deskmodel.errors import InputFault
from deskmodel.fit import DesignedContact, FitEngine, check_assembly
from deskmodel.fit.plain import bodies_of
from deskmodel.frames import IDENTITY, Pose
from deskmodel.meshes import ShapeStore


@pytest.fixture
def engine() -> FitEngine:
    return FitEngine(ShapeStore(DiskCache(None)))


BLOCK = cq.Workplane().box(10, 10, 10)


def nested() -> cq.Assembly:
    hinge = cq.Assembly(name="hinge")
    hinge.add(BLOCK, name="leaf", loc=cq.Location((20, 0, 0)))
    hinge.add(BLOCK, name="pin", loc=cq.Location((29.9, 0, 0)))  # 0.1 into the leaf
    return (cq.Assembly(name="door").add(BLOCK, name="panel").add(hinge, name="upper", loc=cq.Location((0, 100, 0)))
            .add(hinge, name="lower", loc=cq.Location((0, 200, 0), (0, 0, 1), 90)))


def test_names_and_places_of_a_nested_assembly() -> None:
    bodies = {body.name: body for body in bodies_of(nested())}
    assert set(bodies) == {"panel", "upper/leaf", "upper/pin", "lower/leaf", "lower/pin"}
    assert len({body.shape.key for body in bodies.values()}) == 1  # one block, many places
    assert bodies["upper/pin"].pose.origin == pytest.approx((29.9, 100, 0))
    assert bodies["lower/pin"].pose.origin == pytest.approx((0, 229.9, 0))  # turned by 90 degrees


def test_check_an_assembly(engine: FitEngine) -> None:
    report = check_assembly(nested(), gaps=[("panel", "upper/leaf", 95.0)], engine=engine)
    assert {(o.a, o.b) for o in report.overlaps} == {("upper/leaf", "upper/pin"), ("lower/leaf", "lower/pin")}
    assert [round(o.penetration, 6) for o in report.overlaps] == [0.1, 0.1]
    # leaf from x = 15, y = 95; panel up to x = 5, y = 5
    assert report.gap_faults[0].gap == pytest.approx((10**2 + 90**2) ** 0.5)
    assert report.gap_faults[0].reason == "required gap"
    again = check_assembly(nested(), engine=engine)
    assert again.measured == 0


def test_named_shapes_with_places(engine: FitEngine) -> None:
    rod, tube = cq.Solid.makeCylinder(2, 12), cq.Solid.makeCylinder(4, 10).cut(cq.Solid.makeCylinder(1.65, 10))
    parts = {"rod": (rod, Pose()), "tube": (tube.wrapped, None), "far": rod.moved(cq.Location((50, 0, 0))),
             "beside": (BLOCK, cq.Location((100, 0, 0)))}
    ring = DesignedContact("rod", "tube", IDENTITY, 1.65, 2.0, 0.0, 10.0, "thread")
    assert [(o.a, o.b) for o in check_assembly(parts, engine=engine).overlaps] == [("rod", "tube")]
    assert check_assembly(parts, contacts=[ring], engine=engine).overlaps == ()
    keys = {body.name: body.shape.key for body in bodies_of(parts)}
    assert keys["rod"] == keys["far"]  # the same rod elsewhere


def test_repeated_names_are_told_apart() -> None:
    assembly = cq.Assembly(name="all")
    for k in range(2):
        row = cq.Assembly(name=f"row {k}")
        row.add(BLOCK, name="block", loc=cq.Location((20 * k, 0, 0)))
        assembly.add(row)
    assert [body.name for body in bodies_of(assembly)] == ["row 0/block", "row 1/block"]

    class Node:  # an assembly by another library: names may be equal
        def __init__(self, name: str, obj: object, children: list[object]) -> None:
            self.name, self.obj, self.children, self.loc = name, obj, children, cq.Location()
    like = Node("all", None, [Node("block", BLOCK, []), Node("block", BLOCK, []), Node("block (2)", BLOCK, [])])
    assert [body.name for body in bodies_of(like)] == ["block", "block (3)", "block (2)"]


def test_what_is_refused(engine: FitEngine) -> None:
    edge = cq.Edge.makeLine((0, 0, 0), (1, 0, 0))
    for wrong in (42, {"x": 42}, {"x": (BLOCK, "there")}, {"x": cq.Workplane().rect(2, 2)}, {"x": edge}):
        with pytest.raises(InputFault):
            check_assembly(wrong, engine=engine)
    with pytest.raises(InputFault, match="given as"):
        check_assembly({"x": BLOCK}, gaps=[("x",)], engine=engine)  # type: ignore[list-item]
    with pytest.raises(InputFault, match="'upper/leaf'"):
        check_assembly(nested(), gaps=[("upper/leav", "panel", 1.0)], engine=engine)
