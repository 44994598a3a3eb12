"""Lifted covers: what lies on them strikes, what merely touches their edges does not."""

from __future__ import annotations

import pytest

from deskmodel import Cover, Desk, DowelJoint, Member, Placed, Rest
from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import freeze
from tests.planted.harness import Run, check_model


def covered() -> tuple[Desk, Placed]:
    """A frame 300 × 200 × 60 and a cover that lies 10 mm on each of its members, its top face at z 61.5."""
    d = Desk("bay")
    frame = [d.place(Member(f"rail {y}", (22, 60), 300, "ash"), at=(0, y, 0)) for y in (0, 178)]
    for x in (0, 278):
        end = d.place(Member(f"end {x}", (22, 60), 156, "ash"), at=(x, 22, 0), along="y")
        d.join(DowelJoint(end, frame[0]), DowelJoint(end, frame[1]))
        frame.append(end)
    cover = d.place(Cover("cover", (276, 176)), at=(12, 12, 60))
    d.join(Rest(cover, frame))
    return d, cover


def checked(d: Desk) -> Run:
    model, lines = freeze(d)
    return check_model(model, lines, FitEngine(ShapeStore(DiskCache(None))))


def test_a_strip_that_lies_on_the_rim_of_a_cover_strikes_at_once() -> None:
    d, cover = covered()
    strip = d.place(Member("strip", (22, 22), 300, "ash"), at=(0, 0, 61.5))  # over y 12 to 22 of the cover, on its face
    d.join(Rest(strip, cover))
    run = checked(d)
    struck = [f for f in run.findings if f.id == "cover-strikes"]
    assert [set(f.parts) for f in struck] == [{"cover", "strip"}]
    assert struck[0].measured == pytest.approx(0.0, abs=0.02)
    assert [f.id for f in run.findings] == ["cover-strikes"]


def test_what_touches_the_edges_of_a_cover_is_in_nobodys_way() -> None:
    d, _ = covered()
    strip = d.place(Member("strip", (12, 22), 300, "ash"), at=(0, 0, 60))  # its back side is where the cover begins, y 12
    d.join(Rest(strip, "rail 0"))
    assert checked(d).findings == []
