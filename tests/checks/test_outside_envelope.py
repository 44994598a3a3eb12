"""outside-envelope: fails, passes, and stands at the threshold; with and without an envelope in the script."""

from __future__ import annotations

import pytest

from deskmodel import Component, Desk, InsertFixing, Member, Plate, rectangle
from deskmodel.checks import Facts
from deskmodel.checks.outside_envelope import CHECK
from deskmodel.component._part import box_prism
from deskmodel.findings import Finding
from deskmodel.model import freeze


def found(d: Desk) -> list[Finding]:
    return CHECK.run(Facts(freeze(d)[0]))


def rail(length: float) -> Desk:
    d = Desk("rail", envelope=(900, 22, 60))
    d.place(Member("rail", (22, 60), length, "ash"), at=(0, 0, 0))
    return d


@pytest.mark.parametrize(("length", "out"), [(900, None), (900.009, None), (900.01, 0.01), (901.5, 1.5)])
def test_a_rail_against_the_envelope(length: float, out: float | None) -> None:
    findings = found(rail(length))
    assert len(findings) == (out is not None)
    if out is not None:
        assert findings[0].measured == pytest.approx(900 + out)
        assert findings[0].required == 900
        assert findings[0].point == pytest.approx((900 + out, 11, 30))


def screwed(envelope: tuple[float, float, float] | None) -> Desk:
    """A plate 1.5 thick under a rail, its button heads 2.2 high (ISO 7380-1, M4) below it."""
    d = Desk("foot", envelope=envelope)
    member = d.place(Member("rail", (44, 60), 300, "ash"), at=(0, 0, 1.5))
    under = d.place(Plate("under", rectangle(300, 44), 1.5, "steel"), at=(0, 0, 0))
    d.join(InsertFixing(under, member, screw="ISO 7380 M4x12", pitch=300))
    return d


def test_button_heads_stand_proud_of_a_desk_but_not_of_an_envelope() -> None:
    assert found(screwed(None)) == []
    told = found(screwed((300, 44, 62)))
    assert [f.parts for f in told] == [("under fixing, screw 1",), ("under fixing, screw 2",)]
    assert all(f.measured == pytest.approx(-2.2) for f in told)


@pytest.mark.parametrize(("x", "sides"), [(0, 0), (-0.5, 1), (250.009, 0), (250.01, 1)])
def test_equipment_stays_within_the_desk_s_own_outline(x: float, sides: int) -> None:
    d = Desk("shelf")
    d.place(Plate("under", rectangle(300, 44), 1.5, "steel"), at=(0, 0, 0))
    d.place(Member("rail", (44, 60), 300, "ash"), at=(0, 0, 100))
    d.place(Component("box", "box.toml", "invented", (box_prism((50, 44, 20), (0, 0, 0)),), 1.0), at=(x, 0, 1.5))
    assert len(found(d)) == sides
