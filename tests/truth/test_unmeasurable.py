"""What cannot be measured is said, and never passes in silence (DEVELOPERS.md: a thing not measured is not checked)."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.fit import Body, FitEngine, FitProblem, RequiredGap
from deskmodel.frames import IDENTITY, Pose
from deskmodel.meshes.store import ShapeStore
from tests.oracle.occ import box, compound, faces
from tests.truth.recipe import Recipe

BLOCK = Recipe("block", (40.0, 30.0, 20.0))


@dataclass(frozen=True)
class Broken:
    """Shapes that are none: the builder fails, a box lacks a side, nothing is in it."""

    what: str

    @property
    def key(self) -> str:
        return f"broken {self.what}"

    def build(self) -> object:
        if self.what == "raises":
            raise RuntimeError("no such profile")
        if self.what == "open":
            return compound(faces(box((0, 0, 0), (10, 10, 10)))[:5])
        return compound([])


def test_a_shape_that_cannot_be_built_is_not_passed(tmp_path: Path) -> None:
    engine = FitEngine(ShapeStore(DiskCache(tmp_path)))
    for what in ("raises", "open", "empty"):
        bodies = (Body("good", BLOCK, IDENTITY), Body("bad", Broken(what), Pose(origin=(5, 5, 5))),
                  Body("far", BLOCK, Pose(origin=(500, 0, 0))))
        report = engine.run(FitProblem(bodies, (RequiredGap("good", "bad", 2.0, "air"),)))
        said = {frozenset((n.a, n.b)) for n in report.not_measured}
        assert frozenset(("good", "bad")) in said, what
        assert frozenset(("good", "far")) not in said, what
        if what != "open":  # five sides have a box, and it lies far from "far"; of the others nobody knows how large
            assert frozenset(("far", "bad")) in said, what
        assert all(n.why for n in report.not_measured)


def test_the_others_are_judged_all_the_same(tmp_path: Path) -> None:
    bodies = (Body("a", BLOCK, IDENTITY), Body("bad", Broken("raises"), IDENTITY),
              Body("b", BLOCK, Pose(origin=(39.95, 0, 0))))
    report = FitEngine(ShapeStore(DiskCache(tmp_path))).run(FitProblem(bodies))
    # 40 - 39.95: they share a layer of 0.05
    assert [(o.a, o.b, round(o.penetration, 3)) for o in report.overlaps] == [("a", "b", 0.05)]
