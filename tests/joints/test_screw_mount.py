"""Screw mounts. Holes of a fan by the usual pitch; ISO 273 clearance holes; ISO 724 core of M4, 3.242; ISO 4032 nuts and ISO
7045 heads and lengths from memory."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from deskmodel import Component, CutOut, Desk, InputFault, ScrewMount, component, rectangle
from deskmodel.catalogue import nut_size
from deskmodel.findings import Finding
from deskmodel.fit import FitEngine
from deskmodel.model import DeskModel
from tests.desks.build import bores, frozen, plate
from tests.desks.equipment import FAN_HOLES, board, fan, horn
from tests.planted.harness import check_model


def mounted(what: Component, thickness: float = 1.5, lifted: float = 0.0, below: bool = False, features: tuple = (),
            **joint: object) -> DeskModel:
    """The equipment on a plate at z 0 to ``thickness``, or ``below`` it as it stands."""
    d = Desk("test")
    p = plate(d, "plate", 300, 300, (0, 0, 0), thickness, features=features)
    high = what.blank.bounds[1][2]
    it = d.place(what, at=(50, 60, -high - lifted if below else thickness + lifted))
    d.join(ScrewMount(it, p, **joint))
    return frozen(d)


_ENGINE = FitEngine()
_NO_FRAME = ("unfastened-part", "outside-envelope")


def pieces(model: DeskModel, kind: str) -> list:
    return [p for p in model.parts if getattr(p.part, "kind", "") == kind]


def found(model: DeskModel, *ids: str) -> list[Finding]:
    """Findings but of loose parts and of the desk's box: there is no frame here."""
    outcomes = check_model(model, {}, _ENGINE).outcomes
    return [f for o in outcomes for f in o.findings if f.id not in _NO_FRAME and (not ids or f.id in ids)]


def test_a_fan_on_screws_and_nuts() -> None:
    model = mounted(fan())
    holes = bores(model, "plate", "screw")
    assert {tuple(map(float, h.mouth[:2])) for h in holes} == {(50 + x, 60 + y) for x, y in FAN_HOLES}
    assert {(h.hole.diameter, h.hole.depth, h.hole.face) for h in holes} == {(4.5, None, "bottom")}
    # 1.5 + 15 + 3.2 = 19.7: the next length is 20, its tip 0.3 beyond the nut
    assert {p.part.designation for p in pieces(model, "screw")} == {"ISO 7045 M4x20"}
    assert {p.pose.origin[2] for p in pieces(model, "screw")} == {0}
    nuts = pieces(model, "nut")
    assert {(p.part.designation, p.pose.origin[2], p.part.blank.bounds[1][2]) for p in nuts} == {("ISO 4032 M4", 16.5, 3.2)}
    assert nuts[0].part.blank.bounds[1][0] == pytest.approx(7.0 / math.cos(math.radians(30)) / 2)
    for contact in model.contacts:
        assert (contact.inner, contact.outer, contact.start, contact.end) == pytest.approx((1.621, 2, 16.5, 19.7), abs=1e-3)
    assert len(model.contacts) == 4
    (record,) = model.joints
    assert (record.kind, record.a, record.b, len(record.hardware), record.text) == (
        "screw mount", "fan", "plate", 8, "4 × ISO 7045 M4x20 with a nut")
    assert found(model) == []


def test_nuts_on_the_plate() -> None:
    """As a mains inlet, its flange under the plate: heads below, nuts above."""
    model = mounted(fan(thick=3), below=True, nuts="plate")
    assert {p.pose.origin[2] for p in pieces(model, "screw")} == {-3}
    assert {p.pose.origin[2] for p in pieces(model, "nut")} == {1.5}
    assert {p.part.designation for p in pieces(model, "screw")} == {"ISO 7045 M4x8"}  # 3 + 1.5 + 3.2 = 7.7
    assert found(model) == []


@pytest.mark.parametrize(("depth", "thickness", "screw"), [
    (8, 1.5, "M4x6"),  # a diameter is 4: 5.5 at least; 6 - 1.5 = 4.5
    (8, 3, "M4x8"), (5, 1.5, "M4x6"),  # leaves 0.5
    (4.9, 1.5, "M4x5"),  # 6 would leave 0.4; 5 engages 3.5, more than 0.8 diameters
])
def test_into_threads(depth: float, thickness: float, screw: str) -> None:
    model = mounted(horn(depth=depth), thickness)
    assert {p.part.designation for p in pieces(model, "screw")} == {f"ISO 7045 {screw}"}
    assert not pieces(model, "nut")
    assert not model.contacts
    assert found(model) == []


def test_a_data_sheet_with_threads(tmp_path) -> None:
    sheet = tmp_path / "box.toml"
    sheet.write_text('name = "box"\nsource = "invented"\nmass = 0.4\n[[body]]\nbox = [100, 100, 40]\nat = [0, 0, 0]\n'
                     '[pattern]\nform = "vesa 75"\nat = [50, 50]\n')
    model = mounted(component(sheet))
    assert len(pieces(model, "screw")) == 4  # FDMI MIS-D 75: M4
    assert found(model) == []


def test_equipment_that_does_not_touch() -> None:
    model = mounted(fan(), lifted=0.8)
    told = found(model)
    assert {f.id for f in told} >= {"joint-faces-apart"}
    # the nut sits on the fan, 0.8 higher: 20 - 1.5 - 0.8 - 15 = 2.7 of 3.2
    (short,) = [f for f in told if f.id == "screw-too-short"]
    assert (short.severity, short.measured, short.required) == ("warn", pytest.approx(2.7), pytest.approx(3.2))
    assert "its nut" in short.message


def test_a_thread_that_ends_too_soon() -> None:
    """The same screws, and a box with shallower threads: the screw bottoms."""
    model = mounted(horn(depth=8))
    def shallow(part):
        return replace(part, part=horn(depth=4.2)) if part.name == "horn" else part
    changed = replace(model, parts=tuple(map(shallow, model.parts)))
    (long,) = found(changed, "screw-too-long")
    assert (long.severity, long.measured) == ("stop", pytest.approx(4.2 - 4.5))
    assert any(f.id == "parts-overlap" for f in found(changed, "parts-overlap"))


def test_a_lost_nut_and_a_lost_screw() -> None:
    model = mounted(fan())
    without = {kind: replace(model, parts=tuple(p for p in model.parts if not p.name.endswith(f"{kind} 2")),
                             contacts=tuple(c for c in model.contacts if not c.male.endswith(" 2")),
                             joints=tuple(replace(j, hardware=tuple(h for h in j.hardware if not h.endswith(f"{kind} 2")))
                                          for j in model.joints))
               for kind in ("screw", "nut")}
    assert {f.id for f in found(without["screw"])} == {"hole-without-partner", "pattern-unmet"}
    (lost,) = found(without["nut"])
    assert (lost.id, lost.severity) == ("screw-too-short", "stop")


@pytest.mark.parametrize(("make", "message"), [
    (lambda: mounted(horn(), below=True), "threaded and 8 mm deep"),
    (lambda: mounted(board()), "above the plate"),
    (lambda: mounted(fan(diameter=6)), "a screw for mounting hole 1"),
    (lambda: mounted(fan(thick=60)), "into a nut"),
    (lambda: mounted(horn(depth=3)), "mm deep"),
    (lambda: mounted(horn(diameter=4.5)), "Ø 4.5; allowed: threads M3"),
    (lambda: mounted(fan(), nuts="top"), "nuts 'top'"),
    (lambda: mounted(fan(), screw="ISO 10642"), "countersunk screws"),
    (lambda: mounted(fan(), features=(CutOut(rectangle(20, 20, (45, 55))),)), "cut away"),
])
def test_what_is_refused(make, message: str) -> None:
    with pytest.raises(InputFault, match=message):
        make()


def test_nuts_of_the_catalogue() -> None:
    """ISO 4032 (from memory): m is 0.8 of the thread (M3 to M4, to 0.94 above), and e min = 1.13 s min, s min a tolerance
    of h13 or h14 below s max."""
    for thread, least in (("M3", 5.32), ("M4", 6.78), ("M5", 7.78), ("M6", 9.78), ("M8", 12.73)):
        size = nut_size(thread)
        assert size.corners == pytest.approx(1.13 * least, abs=0.01)
        assert 0.8 <= size.height / float(thread[1:]) + 1e-9 <= 0.95
        assert size.corners <= size.widest
    with pytest.raises(InputFault, match="nut 'M7'"):
        nut_size("M7")


