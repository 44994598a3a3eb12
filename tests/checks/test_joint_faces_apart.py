"""joint-faces-apart: fails, passes, and stands at the threshold, to either side and with a layer of glue between."""

from __future__ import annotations

import pytest

from deskmodel import Bond, Desk, DowelJoint, Member, Plate, Rest, rectangle
from deskmodel.checks import Facts
from deskmodel.checks.joint_faces_apart import CHECK
from deskmodel.findings import Finding
from deskmodel.model import freeze


def found(d: Desk) -> list[Finding]:
    return CHECK.run(Facts(freeze(d)[0]))


@pytest.mark.parametrize(("apart", "remedy"), [
    (0.0, None), (0.009, None), (-0.009, None), (0.01, "lengthen"), (-0.01, "shorten"), (0.5, "lengthen"),
    (-0.5, "shorten"), (9.9, "lengthen")])
def test_an_end_and_a_face(apart: float, remedy: str | None) -> None:
    d = Desk("corner")
    front = d.place(Member("front", (22, 60), 300, "ash"), at=(0, 0, 0))
    end = d.place(Member("end", (22, 60), 200, "ash"), at=(0, 22 + apart, 0), along="y")
    d.join(DowelJoint(end, front))
    findings = found(d)
    assert len(findings) == (remedy is not None)
    if remedy:
        assert findings[0].measured == pytest.approx(apart)
        assert findings[0].required == 0
        assert f"move or {remedy} end or front" in findings[0].remedy


@pytest.mark.parametrize(("height", "measured"), [(60.5, None), (60.509, None), (60.51, 0.51), (60.0, 0.0), (61.5, 1.5)])
def test_glue_counts_as_wanted(height: float, measured: float | None) -> None:
    d = Desk("top")
    rail = d.place(Member("rail", (22, 60), 300, "ash"), at=(0, 0, 0))
    top = d.place(Plate("top", rectangle(300, 22), 1.5, "steel"), at=(0, 0, height))
    d.join(Bond(top, rail, glue="elastic", thickness=0.5))
    findings = found(d)
    assert len(findings) == (measured is not None)
    if measured is not None:
        assert (findings[0].measured, findings[0].required) == (pytest.approx(measured), 0.5)


def resting(heights: tuple[float, ...], joint: str, **stated: float) -> Desk:
    """A plate over as many rails, its underside at 60: the top of each rail that far below it."""
    d = Desk("rests")
    rails = [d.place(Member(f"rail {i}", (22, 60), 300, "ash"), at=(0, 100 * i, -height))
             for i, height in enumerate(heights)]
    top = d.place(Plate("top", rectangle(300, 222), 1.5, "steel"), at=(0, 0, 60))
    d.join(Rest(top, rails, **stated) if joint == "Rest" else Bond(top, rails, glue="elastic", **stated))
    return d


@pytest.mark.parametrize(("heights", "joint", "stated", "also"), [
    ((0.5, 0.5), "Rest", {}, ", or state pad=0.5 in this Rest"),
    ((0.5,), "Rest", {"pad": 1.0}, ", or state pad=0.5 in this Rest"),
    ((3.0, 3.0), "Rest", {}, ", or state pad=3 in this Rest"),
    ((3.1, 3.1), "Rest", {}, ""),  # out of place
    ((0.5, 0.8), "Rest", {}, ""),  # no one pad fits both
    ((-0.5,), "Rest", {}, ""),  # in each other
    ((0.0,), "Rest", {"pad": 0.5}, ""),
    ((1.0, 1.0), "Bond", {}, ", or state thickness=1 in this Bond"),
    ((0.1,), "Bond", {}, "")])  # elastic glue: 0.3 to 3 (common practice)
def test_a_pad_that_is_not_stated(heights: tuple[float, ...], joint: str, stated: dict[str, float], also: str) -> None:
    findings = found(resting(heights, joint, **stated))
    assert findings
    for finding in findings:
        assert finding.remedy.endswith(f" mm{also}")
