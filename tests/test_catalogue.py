"""Every value of the catalogue against the standard that it is taken from, the source beside each table.

"from memory": the standard is named, its table was not at hand. "common practice": there is no standard.
"""

from __future__ import annotations

import math
import tomllib
from importlib.resources import files

import pytest

from deskmodel import hardware
from deskmodel.catalogue import clearance_hole, dowel_size, insert_size, screw_size, screws_of, thread_core
from deskmodel.errors import InputFault
from deskmodel.materials import material, material_names
from tests.hostile import HOSTILE

# ISO 10642: thread -> theoretical sharp head diameter dk, head height k max
ISO_10642 = {"M3": (6.72, 1.86), "M4": (8.96, 2.48), "M5": (11.20, 3.10), "M6": (13.44, 3.72), "M8": (17.92, 4.96)}
# ISO 7046/2009: theoretical dk (that of ISO 14581; from memory the same), k max
ISO_7046 = {"M3": (6.3, 1.65), "M4": (9.4, 2.7), "M5": (10.4, 2.7), "M6": (12.6, 3.3), "M8": (17.3, 4.65)}
# ISO 7046/2009: dk actual, max and min
ISO_7046_RIM = {"M3": (5.5, 5.2), "M4": (8.4, 8.0), "M5": (9.3, 8.9), "M6": (11.3, 10.9), "M8": (15.8, 15.4)}
# ISO 4762: dk max of the knurled head, k max; dk max of the plain head (from memory)
ISO_4762 = {"M3": (5.68, 3.0), "M4": (7.22, 4.0), "M5": (8.72, 5.0), "M6": (10.22, 6.0), "M8": (13.27, 8.0)}
ISO_4762_PLAIN = {"M3": 5.5, "M4": 7.0, "M5": 8.5, "M6": 10.0, "M8": 13.0}
# ISO 7380-1: dk max, k max
ISO_7380 = {"M3": (5.7, 1.65), "M4": (7.6, 2.2), "M5": (9.5, 2.75), "M6": (10.5, 3.3), "M8": (14.0, 4.4)}
# ISO 7045: dk max, k max (from memory)
ISO_7045 = {"M3": (5.6, 2.4), "M4": (8.0, 3.1)}
HEADS = {"ISO 10642": ISO_10642, "ISO 7046": ISO_7046, "ISO 4762": ISO_4762, "ISO 7380": ISO_7380, "ISO 7045": ISO_7045}
KINDS = {"ISO 10642": "countersunk", "ISO 7046": "countersunk", "ISO 4762": "cylinder", "ISO 7380": "button",
         "ISO 7045": "pan"}
# ISO 888 nominal lengths of screws (from memory)
ISO_888 = {4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 90, 100}
# ISO 273: fine, medium, coarse
ISO_273 = {"M2.5": (2.7, 2.9, 3.1), "M3": (3.2, 3.4, 3.6), "M4": (4.3, 4.5, 4.8), "M5": (5.3, 5.5, 5.8),
           "M6": (6.4, 6.6, 7.0), "M8": (8.4, 9.0, 10.0)}
# ISO 261 coarse pitches; ISO 724: core diameter D1 = d - 1.0825 P (1.0825 = 5 sqrt(3) / 8)
PITCH = {"M3": 0.5, "M4": 0.7, "M5": 0.8, "M6": 1.0, "M8": 1.25}
# DIN 68150-1 diameters of fluted dowels (title seen); lengths as commonly stocked (common practice)
DIN_68150 = {5, 6, 8, 10, 12, 14, 16}
STOCKED = {6: {30}, 8: {30, 35, 40, 50, 60}, 10: {40, 50, 60}, 12: {60}, 16: {120, 160}}
# the heads of DIN 7991 (dk, k) and of DIN 965 (dk, k), which many tables print under "ISO 10642" and "ISO 7046"
DIN_7991 = {"M3": (6.0, 1.7), "M4": (8.0, 2.3), "M5": (10.0, 2.8), "M6": (12.0, 3.3), "M8": (16.0, 4.4)}
DIN_965 = {"M3": (5.6, None), "M4": (7.5, 2.2), "M5": (9.2, 2.5), "M6": (11.0, 3.0), "M8": (14.5, 4.0)}


def table(name: str) -> dict:
    return tomllib.loads((files("deskmodel") / "catalogue" / f"{name}.toml").read_text(encoding="utf-8"))


SCREWS = [(standard, thread) for standard, sizes in table("screws").items() for thread in sizes if thread.startswith("M")]


@pytest.mark.parametrize(("standard", "thread"), SCREWS)
def test_screws(standard: str, thread: str) -> None:
    entry = table("screws")[standard][thread]
    assert set(entry["lengths"]) <= ISO_888
    for length in entry["lengths"]:
        size = screw_size(f"{standard} {thread}x{length}")
        assert (size.head, size.head_height) == HEADS[standard][thread]
        assert (size.diameter, size.length, size.thread) == (float(thread[1:]), length, thread)
        assert size.head_kind == KINDS[standard]
        assert size.countersunk is (KINDS[standard] == "countersunk")
        assert standard in size.source


def test_every_standard_that_is_promised_is_there() -> None:
    assert set(SCREWS) == {(standard, thread) for standard, heads in HEADS.items() for thread in heads}


@pytest.mark.parametrize(("standard", "thread"), SCREWS)
def test_screws_of_a_thread_from_the_shortest(standard: str, thread: str) -> None:
    found = screws_of(standard, thread)
    assert [size.length for size in found] == sorted({size.length for size in found})
    assert {size.thread for size in found} == {thread}
    assert all(size == screw_size(size.designation) for size in found)
    # a countersunk screw's length includes its head, of which some thread must be left
    assert all(size.length > size.head_height for size in found if size.countersunk)


@pytest.mark.parametrize("thread", PITCH)
def test_cores_of_inside_threads(thread: str) -> None:
    # ISO 724: D1 = D - 2 x 5/8 H, H = sqrt(3)/2 P
    assert thread_core(thread) == pytest.approx(float(thread[1:]) - 1.25 * math.sqrt(3) / 2 * PITCH[thread], abs=5e-4)


@pytest.mark.parametrize("thread", DIN_7991)
def test_countersunk_heads_are_not_those_of_din_7991(thread: str) -> None:
    size = screw_size(f"ISO 10642 {thread}x16")
    assert size.head > DIN_7991[thread][0] + 0.5
    assert size.head_height > DIN_7991[thread][1] + 0.1
    # a 90° cone from the sharp rim to the shank is as deep as half the difference: only the theoretical dk does that
    assert (size.head - size.diameter) / 2 == pytest.approx(size.head_height, abs=1e-9)
    assert (DIN_7991[thread][0] - size.diameter) / 2 != pytest.approx(DIN_7991[thread][1], abs=0.15)


@pytest.mark.parametrize("thread", DIN_965)
def test_recessed_countersunk_heads_are_not_those_of_din_965(thread: str) -> None:
    size = screw_size(f"ISO 7046 {thread}x16")
    most, least = ISO_7046_RIM[thread]
    assert least < size.rim == most < size.head
    assert size.rim != DIN_965[thread][0]
    assert size.head_height != DIN_965[thread][1]
    assert (size.head - size.diameter) / 2 == pytest.approx(size.head_height, abs=1e-9)  # the cone closes on the shank


@pytest.mark.parametrize("thread", ISO_4762)
def test_cylinder_heads_leave_room_for_the_knurled_ones(thread: str) -> None:
    size = screw_size(f"ISO 4762 {thread}x16")
    assert 0.1 < size.rim - ISO_4762_PLAIN[thread] < 0.3
    assert size.head_height == size.diameter  # ISO 4762: k = d


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
    # common practice for hexagon-drive inserts in hardwood: outside (about twice the thread) and the pilot's range
    low, high, outside = {"M3": (4.8, 5.0, 6.0), "M4": (6.0, 6.5, 8.0), "M5": (7.5, 8.0, 10.0), "M6": (8.5, 9.5, 12.0),
                          "M8": (11.5, 12.5, 16.0)}[thread]
    assert low <= size.pilot <= high
    assert size.bore < d < size.pilot < size.outside
    assert size.outside == outside
    assert "common practice" in size.source


def test_every_thread_has_an_insert_and_a_clearance_hole() -> None:
    threads = {thread for _, thread in SCREWS}
    assert {name.partition("x")[0] for name in table("inserts")["sizes"]} == threads == set(table("inserts")["bore"])
    assert all(clearance_hole(thread) > float(thread[1:]) for thread in threads)


def test_dowels() -> None:
    goods = table("dowels")
    assert {int(d): set(lengths) for d, lengths in goods["lengths"].items()} == STOCKED
    assert {int(d) for d in goods["lengths"]} <= DIN_68150
    for diameter, lengths in goods["lengths"].items():
        assert set(lengths) <= STOCKED[int(diameter)]
        for length in lengths:
            size = dowel_size(f"{diameter}x{length}")
            assert (size.diameter, size.length, size.chamfer) == (float(diameter), length, 1.0)
            assert "DIN 68150" in size.source


# Wood Handbook (FPL-GTR-282): specific gravity at 12 %; density at 12 % = 1000 SG 1.12
WOOD = {"ash": 0.60, "ash veneer": 0.60, "beech": 0.64, "yellow birch": 0.62, "white oak": 0.68, "hard maple": 0.63}
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
    assert (goods.kind in ("timber", "veneer")) == (name in WOOD)
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


def test_other_heads_as_drawn() -> None:
    cap = hardware.screw("s", screw_size("ISO 4762 M6x60")).blank
    assert (cap.bounds[0][2], cap.bounds[1][2], cap.bounds[1][0]) == (-6, 60, 5.11)
    assert cap.volume == pytest.approx(math.pi * (5.11**2 * 6 + 9 * 60), rel=1e-12)
    # ISO 7046 M4: the rim 8.4 stands 0.5 deep where the sharp cone would be 9.4; below it the frustum to the shank
    sunk = hardware.screw("s", screw_size("ISO 7046 M4x16")).blank
    assert sunk.bounds == ((-4.2, -4.2, 0), (4.2, 4.2, 16))
    frustum = math.pi * 2.2 / 12 * (8.4**2 + 8.4 * 4 + 16)
    assert sunk.volume == pytest.approx(math.pi * (4.2**2 * 0.5 + 4 * (16 - 2.7)) + frustum, rel=1e-12)


def test_dowel_and_insert_are_what_they_are_called() -> None:
    peg = hardware.dowel("d", dowel_size("8x40")).blank
    cone = math.pi / 3 * (16 + 12 + 9)  # 1 mm chamfer: frustum of radii 4 and 3
    assert peg.volume == pytest.approx(math.pi * 16 * 38 + 2 * cone, rel=1e-12)
    assert peg.bounds == ((-4, -4, 0), (4, 4, 40))
    sleeve = hardware.insert("i", insert_size("M4x10")).blank
    assert sleeve.volume == pytest.approx(math.pi / 4 * (64 - 3.242**2) * 10, rel=1e-12)


@pytest.mark.parametrize("ask", [dowel_size, screw_size, insert_size, clearance_hole, thread_core, material])
@pytest.mark.parametrize("value", [*HOSTILE, "8x41", "7x40", "8", "ISO 7991 M4x12", "DIN 7991 M4x12", "ISO 10642 M4", "M4x9",
                                   "ISO 10642 M4x99999999999999999999", "٨x٤٠", "M7", "8x40\n"],
                         ids=lambda v: type(v).__name__)
def test_what_the_catalogue_has_not_is_refused_with_what_it_has(ask: object, value: object) -> None:
    with pytest.raises(InputFault) as caught:
        ask(value)
    assert caught.value.allowed


@pytest.mark.parametrize("value", [*HOSTILE, "DIN 912", "M7"], ids=lambda v: type(v).__name__)
def test_screws_that_the_catalogue_has_not(value: object) -> None:
    for asked in ((value, "M4"), ("ISO 4762", value)):
        with pytest.raises(InputFault) as caught:
            screws_of(*asked)
        assert "ISO 4762" in caught.value.allowed
