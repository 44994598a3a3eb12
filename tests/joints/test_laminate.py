"""Laminated members and members bonded with glue of some thickness. Thicknesses are common practice; PVAc has none."""

from __future__ import annotations

import pytest

from deskmodel import Bond, Desk, InputFault, Laminate, Member
from deskmodel.model import DeskModel
from tests.desks.build import frozen, plate, rail


def stack(gap: float = 0.0, count: int = 3, **more: object) -> DeskModel:
    d = Desk("stack")
    members = [rail(d, f"piece {i}", 400, (0, i * (22 + gap), 0)) for i in range(count)]
    d.join(Laminate(members, **more))
    return frozen(d)


def test_three_pieces() -> None:
    model = stack()
    assert [(r.name, r.kind, r.a, r.b, r.apart, r.layer, r.hardware) for r in model.joints] == [
        (f"piece 0 laminate, piece {i} to piece {i + 1}", "laminate", f"piece {i}", f"piece {i + 1}",
         0, 0, ()) for i in (0, 1)]
    assert all("laminate" in r.text and "PVAc" in r.text for r in model.joints)
    assert Laminate.stage == "laminate"
    assert all(not part.part.features for part in model.parts)


@pytest.mark.parametrize(("glue", "gap", "apart"), [
    ("PVAc", 0.2, 0.2), ("elastic", 0.5, 0.0), ("elastic", 0.2, -0.3), ("contact", 0.15, 0.0)])
def test_the_layer_counts(glue: str, gap: float, apart: float) -> None:
    assert [r.apart for r in stack(gap, glue=glue).joints] == pytest.approx([apart, apart], abs=1e-9)


@pytest.mark.parametrize("along", ["x", "-x"])
@pytest.mark.parametrize("turn", [0, 180])
def test_turned_end_for_end_the_grain_is_still_parallel(along: str, turn: float) -> None:
    d = Desk("turned")
    d.join(Laminate([rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 400, (0, 22, 0), along, turn)]))
    assert len(frozen(d).joints) == 1


@pytest.mark.parametrize(("length", "x", "together"), [(300, 0, "300"), (400, 10, "390"), (400, 0.01, "399.99"),
                                                    (410, -5, "400")])
def test_over_the_whole_length(length: float, x: float, together: str) -> None:
    d = Desk("short")
    d.join(Laminate([rail(d, "a", 400, (0, 0, 0)), rail(d, "b", length, (x, 22, 0))]))
    with pytest.raises(InputFault, match=f"'a' and 'b' lie together over {together} mm") as caught:
        frozen(d)
    assert "Bond" in (caught.value.allowed or "")


def test_pieces_of_other_heights() -> None:
    d = Desk("heights")
    d.join(Laminate([rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 400, (0, 22, 20), section=(30, 40))]))
    assert frozen(d).joints[0].apart == 0


def test_grain_crossed_end_to_end_and_plates() -> None:
    d = Desk("crossed")
    d.join(Laminate([rail(d, "a", 60, (0, 0, 0)), rail(d, "b", 60, (0, 22, 0), "z", section=(60, 22))]))
    with pytest.raises(InputFault, match="grain crossed"):
        frozen(d)
    d = Desk("ends")
    d.join(Laminate([rail(d, "a", 400, (0, 0, 0)), rail(d, "b", 400, (400, 0, 0))]))
    with pytest.raises(InputFault, match="end to end"):
        frozen(d)
    d = Desk("plate")
    d.join(Laminate([rail(d, "a", 400, (0, 0, 0)), plate(d, "sheet", 400, 22, (0, 0, 60), 6, "birch ply")]))
    with pytest.raises(InputFault, match="'sheet' in a laminate"):
        frozen(d)


def test_glue_that_does_not_bond_the_pair() -> None:
    d = Desk("metal")
    a = rail(d, "a", 400, (0, 0, 0))
    b = d.place(Member("bar", (22, 60), 400, "aluminium"), at=(0, 22, 0))
    d.join(Laminate([a, b]))
    with pytest.raises(InputFault, match="PVAc glue on 'bar' of aluminium"):
        frozen(d)


@pytest.mark.parametrize("more", [{"members": ("a",)}, {"members": ()}, {"members": "a"}, {"members": ("a", "a")},
                                  {"members": {"a", "b"}}, {"members": 5}, {"glue": "bone"}, {"glue": None}, {"glue": []}])
def test_refused(more: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        Laminate(**{"members": ("a", "b"), **more})
    assert caught.value.allowed


@pytest.mark.parametrize(("glue", "thickness", "layer"), [
    ("elastic", 1.0, 1.0), ("elastic", None, 0.5), ("PVAc", None, 0.0)])
@pytest.mark.parametrize("off", [0.0, 0.3])
def test_members_bonded_over_part_of_their_length(glue: str, thickness: float | None, layer: float, off: float) -> None:
    """What a laminate refuses, a shorter piece or one across the grain, is a bond: its glue may have thickness."""
    d = Desk("bond")
    a = rail(d, "a", 400, (0, 0, 0))
    b = rail(d, "b", 100, (50, 22 + layer + off, 0))
    across = rail(d, "across", 60, (200, 22 + layer + off, 0), "z")
    d.join(Bond(a, [b, across], glue, thickness))
    records = frozen(d).joints
    assert {r.layer for r in records} == {layer}
    assert [r.apart for r in records] == pytest.approx([off, off], abs=1e-9)
