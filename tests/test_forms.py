"""Fans, boards, screens, drives, inlets, stand-offs of the catalogue against the published forms, sources beside them.

"from memory": the standard is named, its table was not at hand. "common practice": there is no standard.
"""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from deskmodel.catalogue import (
    HolePattern,
    board_form,
    drive_form,
    fan_size,
    hole_pattern,
    inlet_form,
    pattern_names,
    screen_mount,
    screw_size,
    stand_off_size,
)
from deskmodel.errors import InputFault
from tests.hostile import HOSTILE

INCH = 25.4


def places(pattern: HolePattern) -> dict[str, tuple[float, float]]:
    return {hole.name: hole.at for hole in pattern.holes}


# ---- boards

# ATX 2.x and microATX 1.2: pitches between columns and rows of holes, inches
COLUMNS = {("F", "C"): 6.2, ("C", "B"): 1.8, ("B", "R"): 0.8, ("C", "A"): 4.9, ("H", "G"): 4.9, ("L", "K"): 4.9}
ROWS = {("C", "F"): 0.9, ("C", "H"): 6.1, ("A", "G"): 6.1, ("H", "L"): 2.85, ("G", "K"): 2.85, ("J", "M"): 2.85}
# which holes a board has: microATX 1.2, Mini-ITX addendum to it
LETTERS = {"atx": "ACFGHJKLM", "micro-atx": "BCFHJLMRS", "mini-itx": "CFHJ"}
# sizes: ATX 12 x 9.6 inches, microATX 9.6 x 9.6 inches, Mini-ITX 170 x 170 mm (6.7 inches are 170.18)
SIZES = {"atx": (12 * INCH, 9.6 * INCH), "micro-atx": (9.6 * INCH, 9.6 * INCH), "mini-itx": (170.0, 170.0)}


@pytest.mark.parametrize("name", LETTERS)
def test_boards(name: str) -> None:
    form = board_form(name)
    assert "".join(letter for letter, _ in form.holes) == LETTERS[name]
    assert (form.width, form.depth) == pytest.approx(SIZES[name], abs=1e-9)
    assert form.hole == pytest.approx(0.156 * INCH, abs=0.005)
    assert form.thickness == pytest.approx(0.062 * INCH, abs=0.005)
    found = dict(form.holes)
    for (a, b), inches in COLUMNS.items():
        if a in found and b in found:
            assert found[b][0] - found[a][0] == pytest.approx(inches * INCH, abs=1e-9)
    for (a, b), inches in ROWS.items():
        if a in found and b in found:
            assert found[b][1] - found[a][1] == pytest.approx(inches * INCH, abs=1e-9)
    for x, y in found.values():
        # a hole with the ring of its screw head (0.4 inch, from memory) begins on the board
        assert 0.25 * INCH - 0.2 <= x <= form.width - 0.25 * INCH + 0.2
        assert 4.0 <= y <= form.depth - 4.0


def test_the_small_board_fits_the_holes_of_the_large_ones() -> None:
    # microATX 1.2 and the Mini-ITX addendum: what they share stands in the same place of every case
    atx, micro, mini = (places(hole_pattern(name)) for name in ("atx", "micro-atx", "mini-itx"))
    for small, large in ((mini, micro), (mini, atx), (micro, atx)):
        for letter in small.keys() & large.keys():
            assert small[letter] == large[letter]
    assert mini.keys() < micro.keys()
    assert mini.keys() < atx.keys()


def test_mini_itx_is_no_square_of_holes() -> None:
    # a trap of open templates: three corners on 157.48 x 154.94, the fourth (F) set 22.86 back behind the sockets
    found = places(hole_pattern("mini-itx"))
    assert found["C"][0] - found["F"][0] == pytest.approx(157.48)
    assert found["H"][1] - found["C"][1] == pytest.approx(154.94)
    assert found["F"][1] - found["C"][1] == pytest.approx(22.86)
    assert found["J"][1] - found["F"][1] == pytest.approx(154.94 - 22.86)
    # seen on the parts' side with the rear edge away from us the sockets are to the right: x, y, z must be right-handed,
    # or F would stand behind the card slots
    away = {hole.name: hole.at for hole in hole_pattern("mini-itx").places((170.0, 170.0), 180)}
    assert away["F"] == pytest.approx((170 - 6.35, 170 - 33.02))
    assert away["C"] == pytest.approx((170 - 163.83, 170 - 10.16))


# ---- fans: makers' drawings in common (common practice); pitch by frame
FANS = {40: 32, 50: 40, 60: 50, 80: 71.5, 92: 82.5, 120: 105}
ROUNDED = {80: 72, 92: 83}  # what open templates print for them


@pytest.mark.parametrize("frame", FANS)
def test_fans(frame: int) -> None:
    size = fan_size(frame)
    assert size == fan_size(str(frame))
    assert (size.frame, size.pitch) == (frame, FANS[frame])
    assert size.pitch != ROUNDED.get(frame)
    low, high = (3.2, 3.5) if frame == 40 else (4.3, 4.5)
    assert low <= size.hole <= high
    assert "common practice" in size.source
    holes = hole_pattern(f"fan {frame}").holes
    assert len(holes) == 4
    apart = sorted(math.dist(a.at, b.at) for a, b in combinations(holes, 2))
    assert apart == pytest.approx([FANS[frame]] * 4 + [FANS[frame] * math.sqrt(2)] * 2)
    for hole in holes:
        assert min(hole.at) - hole.diameter / 2 > 1.0  # wall of the frame
        assert max(hole.at) + hole.diameter / 2 < frame - 1.0
        assert hole.depth is None
    assert {15, 25} & {round(t) for t in size.thicknesses} or frame == 40


# ---- screens: VESA FDMI parts (MIS-C from memory): pitch, heaviest screen
VESA = {"50x20": ("MIS-B", 50, 20, 2.0), "75x35": ("MIS-C", 75, 35, 4.5), "75": ("MIS-D 75", 75, 75, 14.0),
        "100": ("MIS-D 100", 100, 100, 14.0), "200x100": ("MIS-E", 200, 100, 22.7)}


@pytest.mark.parametrize("name", VESA)
def test_screens(name: str) -> None:
    mount = screen_mount(name)
    assert (mount.part, mount.across, mount.up, mount.mass) == VESA[name]
    assert (mount.thread, mount.diameter, mount.depth) == ("M4", 4.0, 10.0)
    pattern = hole_pattern(f"vesa {name}")
    xs, ys = ({hole.at[i] for hole in pattern.holes} for i in (0, 1))
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (mount.across, mount.up)
    assert (sum(xs), sum(ys)) == (0, 0)  # its middle at the origin
    assert {hole.depth for hole in pattern.holes} == {10.0}
    assert pattern.thread == "M4"


def test_the_part_c_is_not_the_part_e() -> None:
    # a trap of web pages: MIS-C printed as 200 x 100
    assert (screen_mount("75x35").across, screen_mount("75x35").up) != (200, 100)


# ---- drives: SFF-8201 and SFF-8301 tables
def test_drive_of_2_5_inches() -> None:
    form = drive_form("sff-8201")
    assert (form.width, form.tolerance, form.length) == (69.85, 0.25, 100.45)
    assert form.heights == (5.0, 7.0, 8.47, 9.5, 10.5, 12.7, 15.0, 17.0, 19.05)
    assert {y for _, y in form.bottom} == {14.00, 90.60} == {y for y, _ in form.side}
    (near, far) = sorted({x for x, _ in form.bottom})
    assert near == 4.07
    assert far - near == pytest.approx(61.72)
    assert near + far == pytest.approx(69.85, abs=0.02)  # in the middle of the drive
    assert {z for _, z in form.side} == {3.00}
    assert (form.thread, form.diameter) == ("M3", 3.0)
    assert (form.depth_at(9.5), form.depth_at(7.0), form.depth_at(5.0), form.depth_at()) == (3.0, 2.0, 2.0, 3.0)
    assert {hole.depth for hole in hole_pattern("sff-8201 bottom", 7.0).holes} == {2.0}
    assert {hole.depth for hole in hole_pattern("sff-8201 bottom").holes} == {3.0}


def test_drive_of_3_5_inches() -> None:
    form = drive_form("sff-8301")
    assert (form.width, form.tolerance, form.length, form.heights) == (101.60, 0.25, 147.0, (17.8, 26.1, 42.0))
    (near, far) = sorted({x for x, _ in form.bottom})
    assert near == 3.18
    assert far - near == pytest.approx(95.25)
    assert near + far == pytest.approx(101.60, abs=0.02)
    first, second = sorted({y for _, y in form.bottom})
    assert first == 41.28
    assert second - first == pytest.approx(44.45)
    assert sorted({y for _, y in form.bottom_wide})[1] - first == pytest.approx(76.20)
    (rear, front) = sorted(y for y, _ in form.side)
    assert rear == 28.50
    assert front - rear == pytest.approx(101.60)
    assert {z for _, z in form.side} == {6.35}
    assert (form.thread, form.depth_at(17.8)) == ("6-32 UNC", 3.8)
    assert form.diameter == pytest.approx(0.138 * INCH, abs=0.001)  # ASME B1.1: No. 6
    wide = hole_pattern("sff-8301 bottom 76")
    assert {hole.at for hole in wide.holes} == set(form.bottom_wide)
    assert not drive_form("sff-8201").bottom_wide


# ---- inlet: makers' sheets in common (common practice)
def test_inlet() -> None:
    form = inlet_form("c14")
    assert form.pitch == 40.0
    assert 27 <= form.cut_out_least[0] <= form.cut_out[0] <= 28
    assert 19.8 <= form.cut_out_least[1] <= form.cut_out[1] <= 20.5
    assert form.cut_out[0] + form.hole < form.pitch < form.flange[0]  # screws beside the opening, under the flange
    assert form.cut_out[1] < form.flange[1] <= 24
    assert form.depth == (14.0, 40.0)
    assert screw_size(f"{form.screw}x10").diameter < form.hole
    assert [hole.at for hole in hole_pattern("c14").holes] == [(-20.0, 0.0), (20.0, 0.0)]
    assert "licensed" not in form.source


@pytest.mark.parametrize(("name", "flats"), [("M2.5x6", 5.0), ("M3x6.5", 5.5), ("M4x10", 7.0)])
def test_stand_offs(name: str, flats: float) -> None:
    size = stand_off_size(name)
    assert f"{size.thread}x{size.length:g}" == name
    assert size.flats == flats  # common practice
    assert size.corners == pytest.approx(2 / math.sqrt(3) * flats)
    assert "common practice" in size.source


# ---- every pattern

@pytest.mark.parametrize("name", pattern_names())
def test_a_pattern_stands_where_it_is_told(name: str) -> None:
    pattern = hole_pattern(name)
    assert hole_pattern(f"  {name.upper()} ") == pattern
    assert pattern.source
    assert len({hole.name for hole in pattern.holes}) == len(pattern.holes)
    if pattern.size != (0.0, 0.0):
        assert all(0 < hole.at[i] < pattern.size[i] for hole in pattern.holes for i in (0, 1))
    (x0, y0) = (12.5, -7.0)
    for quarter, turn in enumerate((0, 90, 180, 270)):
        for hole, there in zip(pattern.holes, pattern.places((x0, y0), turn), strict=True):
            # a turn by quarters is a product with i in the plane of complex numbers
            expected = complex(x0, y0) + complex(*hole.at) * 1j**quarter
            assert complex(*there.at) == pytest.approx(expected, abs=1e-9)
            assert (there.name, there.diameter, there.depth) == (hole.name, hole.diameter, hole.depth)


@pytest.mark.parametrize("turn", [45, -90, 360, 90.5, math.nan, True, "90", None])
def test_other_turns_are_refused(turn: object) -> None:
    with pytest.raises(InputFault, match="turn"):
        hole_pattern("fan 80").places((0, 0), turn)


@pytest.mark.parametrize("ask", [fan_size, board_form, screen_mount, drive_form, inlet_form, stand_off_size, hole_pattern])
@pytest.mark.parametrize("value", [*HOSTILE, "fan 70", "vesa 200", "sff-8301 top", "e-atx", "M3", 70, 1e400],
                         ids=lambda v: type(v).__name__)
def test_what_the_catalogue_has_not_is_refused_with_what_it_has(ask: object, value: object) -> None:
    with pytest.raises(InputFault) as caught:
        ask(value)
    assert caught.value.allowed
