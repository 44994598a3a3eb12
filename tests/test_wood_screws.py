"""Wood screws of the catalogue. DIN 7997 / DIN 97 countersunk and DIN 7996 / DIN 96 round heads, DIN 7998 threads: all from
memory, as the catalogue says itself; ISO 273 clearance holes; pilot holes common practice."""

from __future__ import annotations

import math
import tomllib
from importlib.resources import files

import pytest

from deskmodel import hardware
from deskmodel.catalogue import clearance_hole, stand_off_size, thread_core, wood_screw_size
from deskmodel.errors import InputFault
from tests.hostile import HOSTILE

TABLE = tomllib.loads((files("deskmodel") / "catalogue" / "wood_screws.toml").read_text(encoding="utf-8"))
DIAMETERS = sorted(TABLE["sizes"], key=float)
# heads of DIN 97 are those of DIN 963 of the same diameter (from memory)
DIN_97 = {3: 5.6, 3.5: 6.6, 4: 7.5, 4.5: 8.3, 5: 9.2, 6: 11.0}


@pytest.mark.parametrize("d", DIAMETERS)
def test_sizes(d: str) -> None:
    outer = float(d)
    for length in TABLE["sizes"][d]["lengths"]:
        sunk, pan = wood_screw_size(f"{d}x{length}"), wood_screw_size(f"{d}x{length} pan")
        assert (sunk.diameter, sunk.length, sunk.head, sunk.head_height) == (outer, length, DIN_97[outer], 0)
        # DIN 96: 2 d wide, 0.7 d high (from memory), rounded to a tenth
        assert (pan.head, pan.head_height) == pytest.approx((2 * outer, 0.7 * outer), abs=0.051)
        # DIN 7998: core about 0.7 d (from memory)
        assert sunk.core == pan.core == pytest.approx(0.7 * outer, abs=0.051)
        low, high = TABLE["pilot_of_core"]
        assert (low, high) == (0.7, 1.0)  # trade pages conflict between these (common practice)
        assert low * sunk.core - 1e-9 <= sunk.pilot <= high * sunk.core + 1e-9
        assert sunk.cone == pytest.approx((DIN_97[outer] - outer) / 2)
        assert pan.cone == 0
        assert length > sunk.cone + sunk.tip + outer  # a diameter of full thread below the head
        assert "from memory" in sunk.source


@pytest.mark.parametrize(("d", "hole"), [
    ("3", clearance_hole("M3")), ("3.5", 3.9), ("4", clearance_hole("M4")), ("4.5", 5.0), ("5", clearance_hole("M5")),
    ("6", clearance_hole("M6"))])
def test_clearance_holes(d: str, hole: float) -> None:
    # ISO 273 medium; 3.5 and 4.5 are in it, too (from memory)
    assert wood_screw_size(f"{d}x30").clearance == hole


@pytest.mark.parametrize("written", ["4x30", "4 x 30", "4×30", "4x030", "4x30 countersunk"])
def test_one_screw_has_one_name(written: str) -> None:
    assert wood_screw_size(written) == wood_screw_size("4x30")
    assert wood_screw_size("4x30").designation == "4x30"
    assert wood_screw_size("4x30 pan").designation == "4x30 pan"


def test_what_is_drawn() -> None:
    sunk = hardware.wood_screw("s", wood_screw_size("4x30")).blank
    pan = hardware.wood_screw("p", wood_screw_size("4x30 pan")).blank
    assert (sunk.bounds[0][2], sunk.bounds[1][2]) == (0, 30)  # the length of a countersunk screw is that over all
    assert (pan.bounds[0][2], pan.bounds[1][2]) == (-2.8, 30)
    cone = math.pi * 1.75 / 12 * (7.5**2 + 7.5 * 4 + 4**2)  # frustum of the head, (7.5 - 4) / 2 high
    tip = math.pi * 2**2 * 4 / 3
    assert sunk.volume == pytest.approx(cone + math.pi * 4 * (30 - 1.75 - 4) + tip, rel=1e-12)
    assert pan.volume == pytest.approx(math.pi * 16 * 2.8 + math.pi * 4 * 26 + tip, rel=1e-12)


def test_a_stand_off_is_drawn_round() -> None:
    blank = hardware.stand_off("s", stand_off_size("M3x6.5"), thread_core("M3")).blank
    corners = 5.5 / math.cos(math.radians(30))
    assert blank.volume == pytest.approx(math.pi / 4 * (corners**2 - 2.459**2) * 6.5, rel=1e-12)
    assert blank.bounds[1] == pytest.approx((corners / 2, corners / 2, 6.5))


@pytest.mark.parametrize("value", [*HOSTILE, "4x31", "7x30", "4", "4x30 raised", "M4x30", "4x30\n", "4x99999", "٤x٣٠"],
                         ids=lambda v: type(v).__name__)
def test_what_the_catalogue_has_not_is_refused_with_what_it_has(value: object) -> None:
    with pytest.raises(InputFault) as caught:
        wood_screw_size(value)  # type: ignore[arg-type]
    assert "4x" in (caught.value.allowed or "")
