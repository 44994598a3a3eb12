"""Every value of the catalogue against the standard that it is taken from, the source beside each table.

"from memory": the standard is named, its table was not at hand. "common practice": there is no standard.
"""

from __future__ import annotations

import math
import tomllib
from importlib.resources import files

import pytest

from deskmodel import hardware
from deskmodel.catalogue import clearance_hole, dowel_size, insert_size, screw_size
from deskmodel.errors import InputFault
from deskmodel.materials import material, material_names
from tests.hostile import HOSTILE

# ISO 10642: thread -> theoretical sharp head diameter dk, head height k max
ISO_10642 = {"M3": (6.72, 1.86), "M4": (8.96, 2.48), "M5": (11.20, 3.10), "M6": (13.44, 3.72), "M8": (17.92, 4.96)}
# ISO 7380-1: dk max, k max
ISO_7380 = {"M3": (5.7, 1.65), "M4": (7.6, 2.2), "M5": (9.5, 2.75), "M6": (10.5, 3.3), "M8": (14.0, 4.4)}
# ISO 273: fine, medium, coarse
ISO_273 = {"M2.5": (2.7, 2.9, 3.1), "M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8),
           "M6": (6.4, 6.6, 7.0), "M8": (8.4, 9.0, 10.0)}
# ISO 261 coarse pitches; ISO 724: core diameter D1 = d - 1.0825 P (1.0825 = 5 sqrt(3) / 8)
PITCH = {"M4": 0.7, "M5": 0.8}
# DIN 68150-1 diameters of fluted dowels (title seen); lengths as commonly stocked (common practice)
DIN_68150 = {5, 6, 8, 10, 12, 14, 16}
STOCKED = {6: {30}, 8: {30, 35, 40, 50}, 10: {40, 50, 60}, 12: {60}, 16: {120, 160}}
# the heads of DIN 7991, which many tables print under "ISO 10642"
DIN_7991 = {"M4": (8.0, 2.3), "M5": (10.0, 2.8)}


def table(name: str) -> dict:
    return tomllib.loads((files("deskmodel") / "catalogue" / f"{name}.toml").read_text(encoding="utf-8"))


SCREWS = [(standard, thread) for standard, sizes in table("screws").items() for thread in sizes if thread.startswith("M")]


@pytest.mark.parametrize(("standard", "thread"), SCREWS)
def test_screws(standard: str, thread: str) -> None:
    entry = table("screws")[standard][thread]
    expected = {"ISO 10642": ISO_10642, "ISO 7380": ISO_7380}[standard][thread]
    for length in entry["lengths"]:
        size = screw_size(f"{standard} {thread}x{length}")
        assert (size.head, size.head_height) == expected
        assert (size.diameter, size.length, size.thread) == (float(thread[1:]), length, thread)
        assert size.countersunk is (standard == "ISO 10642")
        assert standard in size.source


def test_every_standard_that_is_promised_is_there() -> None:
    assert set(SCREWS) == {(s, t) for s in ("ISO 10642", "ISO 7380") for t in ("M4", "M5")}


@pytest.mark.parametrize("thread", ["M4", "M5"])
def test_countersunk_heads_are_not_those_of_din_7991(thread: str) -> None:
    size = screw_size(f"ISO 10642 {thread}x12")
    assert (size.head, size.head_height) != DIN_7991[thread]
    # a 90° cone from the sharp rim to the shank is as deep as half the difference: only the theoretical dk does that
    assert (size.head - size.diameter) / 2 == pytest.approx(size.head_height, abs=1e-9)
    assert (DIN_7991[thread][0] - size.diameter) / 2 != pytest.approx(DIN_7991[thread][1], abs=0.2)


@pytest.mark.parametrize("written", ["ISO 10642 M4x12", "ISO 10642 M4 x 12", "ISO 10642 M4×12", "ISO 10642 M4x012"])
def test_one_screw_has_one_name(written: str) -> None:
    assert screw_size(written).designation == "ISO 10642 M4x12"


@pytest.mark.parametrize("thread", table("clearance_holes")["holes"])
def test_clearance_holes(thread: str) -> None:
    assert tuple(clearance_hole(thread, fit) for fit in ("fine", "medium", "coarse")) == ISO_273[thread]
    assert clearance_hole(thread) == ISO_273[thread][1]


def test_clearance_holes_are_all_there() -> None:
    assert set(table("clearance_holes")["holes"]) == set(ISO_273)
    assert table("clearance_holes")["source"] == "ISO 273"


@pytest.mark.parametrize("designation", table("inserts")["sizes"])
def test_inserts(designation: str) -> None:
    size = insert_size(designation)
    thread, length = designation.split("x")
    assert (size.thread, size.length) == (thread, float(length))
    d, p = float(thread[1:]), PITCH[thread]
    assert size.bore == pytest.approx(d - 5 * math.sqrt(3) / 8 * p, abs=5e-4)  # ISO 724, rounded to a micrometre
    # common practice for hexagon-drive inserts in hardwood: M4 (8 outside) 6.0 to 6.5, M5 (10 outside) 7.5 to 8.0
    low, high, outside = {"M4": (6.0, 6.5, 8.0), "M5": (7.5, 8.0, 10.0)}[thread]
    assert low <= size.pilot <= high
    assert size.outside == outside
    assert "common practice" in size.source


def test_dowels() -> None:
    goods = table("dowels")
    assert {int(d) for d in goods["lengths"]} <= DIN_68150
    for diameter, lengths in goods["lengths"].items():
        assert set(lengths) <= STOCKED[int(diameter)]
        for length in lengths:
            size = dowel_size(f"{diameter}x{length}")
            assert (size.diameter, size.length, size.chamfer) == (float(diameter), length, 1.0)
            assert "DIN 68150" in size.source


# Wood Handbook (FPL-GTR-282): specific gravity at 12 %; density at 12 % = 1000 SG 1.12
WOOD = {"ash": 0.60, "beech": 0.64, "yellow birch": 0.62, "white oak": 0.68, "hard maple": 0.63}
# kg/m³: EN 1993 steel, EN 10088-1 1.4301, EN 573 5754 (all from memory), makers' data (common practice)
OTHER = {"steel": 7850, "stainless steel": 7900, "aluminium": 2660, "brass": 8470, "glass": 2500, "birch ply": 680,
         "PLA": 1240, "PETG": 1270}


@pytest.mark.parametrize("name", material_names())
def test_densities(name: str) -> None:
    goods = material(name)
    if name == "equipment":
        assert goods.density is None
    else:
        assert goods.density == pytest.approx(1000 * WOOD[name] * 1.12 if name in WOOD else OTHER[name], rel=1e-9)
    assert (goods.kind == "timber") == (name in WOOD)
    assert goods.source
    assert all(0 <= c <= 1 for c in goods.colour)


# ---- what is drawn of them

def test_a_countersunk_screw_is_as_long_over_all_as_it_is_called() -> None:
    # ISO 10642: nominal length includes the head; ISO 7380: from under the head
    sunk = hardware.screw("s", screw_size("ISO 10642 M4x12")).blank
    button = hardware.screw("s", screw_size("ISO 7380 M4x12")).blank
    assert (sunk.bounds[0][2], sunk.bounds[1][2]) == (0, 12)
    assert (button.bounds[0][2], button.bounds[1][2]) == (-2.2, 12)
    frustum = math.pi * 2.48 / 12 * (8.96**2 + 8.96 * 4 + 16)
    assert sunk.volume == pytest.approx(frustum + math.pi * 4 * (12 - 2.48), rel=1e-12)
    assert button.volume == pytest.approx(math.pi * 3.8**2 * 2.2 + math.pi * 4 * 12, rel=1e-12)


def test_dowel_and_insert_are_what_they_are_called() -> None:
    peg = hardware.dowel("d", dowel_size("8x40")).blank
    cone = math.pi / 3 * (16 + 12 + 9)  # 1 mm chamfer: frustum of radii 4 and 3
    assert peg.volume == pytest.approx(math.pi * 16 * 38 + 2 * cone, rel=1e-12)
    assert peg.bounds == ((-4, -4, 0), (4, 4, 40))
    sleeve = hardware.insert("i", insert_size("M4x10")).blank
    assert sleeve.volume == pytest.approx(math.pi / 4 * (64 - 3.242**2) * 10, rel=1e-12)


@pytest.mark.parametrize("ask", [dowel_size, screw_size, insert_size, clearance_hole, material])
@pytest.mark.parametrize("value", [*HOSTILE, "8x41", "7x40", "8", "ISO 7991 M4x12", "DIN 7991 M4x12", "ISO 10642 M4", "M4x9",
                                   "ISO 10642 M4x99999999999999999999", "٨x٤٠", "M7", "8x40\n"],
                         ids=lambda v: type(v).__name__)
def test_what_the_catalogue_has_not_is_refused_with_what_it_has(ask: object, value: object) -> None:
    with pytest.raises(InputFault) as caught:
        ask(value)
    assert caught.value.allowed
