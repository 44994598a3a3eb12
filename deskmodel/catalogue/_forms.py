"""Bought things of published form: fans, boards, screens, drives, inlets, stand-offs. Lengths in mm, mass in kg."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from deskmodel._numbers import is_number, told
from deskmodel.catalogue._tables import table
from deskmodel.errors import InputFault

__all__ = ["BoardForm", "DriveForm", "FanSize", "InletForm", "ScreenMount", "StandOffSize", "board_form", "drive_form",
           "fan_size", "inlet_form", "screen_mount", "stand_off_size"]

Places = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class FanSize:
    """A square ``frame``, holes of diameter ``hole`` on a square of ``pitch``; ``thicknesses`` are the usual ones."""

    frame: float
    pitch: float
    hole: float
    thicknesses: tuple[float, ...]
    source: str


@dataclass(frozen=True, slots=True)
class BoardForm:
    """``width`` along the rear edge, ``depth`` towards the front. Seen on the side of the parts: x along the rear edge from
    the sockets' side to the card slots, y towards the front. ``holes``: letter and place."""

    name: str
    width: float
    depth: float
    thickness: float
    hole: float
    holes: tuple[tuple[str, tuple[float, float]], ...]
    source: str


@dataclass(frozen=True, slots=True)
class ScreenMount:
    """Four threaded holes in the back of a screen; ``part`` of the standard; ``depth`` of thread to count on; ``mass``: the
    heaviest screen that hangs on it."""

    part: str
    across: float
    up: float
    thread: str
    diameter: float
    depth: float
    mass: float
    source: str


@dataclass(frozen=True, slots=True)
class DriveForm:
    """x across, y from the connectors' end, z up from the bottom. ``width`` to ± ``tolerance``, ``length`` at most.
    ``bottom``: (x, y) of the usual holes, ``bottom_wide`` of those that some drives have instead (empty: none);
    ``side``: (y, z). ``diameter`` of the ``thread``; ``depth``: how far a screw may go in; ``thin_depth`` in drives
    up to ``thin_height``."""

    name: str
    width: float
    tolerance: float
    length: float
    heights: tuple[float, ...]
    thread: str
    diameter: float
    bottom: Places
    bottom_wide: Places
    side: Places
    depth: float
    thin_height: float
    thin_depth: float
    source: str

    def depth_at(self, height: float | None = None) -> float:
        """mm that a screw may go into a drive of that height; None: any but a thin one."""
        return self.thin_depth if height is not None and height <= self.thin_height else self.depth


@dataclass(frozen=True, slots=True)
class InletForm:
    """A mains inlet in the frame of its flange. ``cut_out`` (width, height) takes every usual body, ``cut_out_least`` the
    smallest; two screws ``pitch`` apart; ``depth`` behind the panel, least and most."""

    name: str
    cut_out: tuple[float, float]
    cut_out_least: tuple[float, float]
    pitch: float
    hole: float
    screw: str
    flange: tuple[float, float]
    depth: tuple[float, float]
    source: str


@dataclass(frozen=True, slots=True)
class StandOffSize:
    """Hexagonal, ``flats`` across the flats, ``thread`` at both ends, ``length`` between its faces."""

    thread: str
    length: float
    flats: float
    source: str

    @property
    def corners(self) -> float:
        """Across the corners: the room it needs."""
        return self.flats / math.cos(math.radians(30))


def fan_size(frame: float | str) -> FanSize:
    """The fan of frame 40, 50, 60, 80, 92 or 120."""
    goods = table("fans")
    name = f"{frame:g}" if is_number(frame) else frame
    entry = _entry("fan", name, goods["sizes"])
    return FanSize(float(str(name)), entry["pitch"], entry["hole"], tuple(map(float, entry["thicknesses"])), goods["source"])


def board_form(name: str) -> BoardForm:
    """The board "atx", "micro-atx" or "mini-itx"."""
    goods = table("boards")
    entry = _entry("board", name, goods["sizes"])
    places = tuple((letter, _pair(goods["holes"][letter])) for letter in entry["holes"])
    return BoardForm(name, *_pair(entry["size"]), goods["thickness"], goods["hole"], places, goods["source"])


def screen_mount(pattern: str) -> ScreenMount:
    """The mount "75", "100", "75x35", "50x20" or "200x100" (mm between the holes)."""
    goods = table("screens")
    entry = _entry("screen mount", pattern, goods["sizes"])
    return ScreenMount(entry["part"], *_pair(entry["pitch"]), entry["thread"], entry["diameter"],
                       entry["depth"], entry["mass"], f"{goods['source']}, {entry['part']}")


def drive_form(name: str) -> DriveForm:
    """The drive "sff-8201" (2.5 inch) or "sff-8301" (3.5 inch)."""
    entry = _entry("drive", name, table("drives"))
    side = entry["side"]
    return DriveForm(
        name, entry["size"][0], entry["tolerance"], entry["size"][1], tuple(entry["heights"]), entry["thread"],
        entry["diameter"], _grid(entry["bottom"]), _grid(entry["bottom_76"]) if "bottom_76" in entry else (),
        tuple((y, side["z"]) for y in side["rows"]), entry["depth"], entry.get("thin_height", 0.0),
        entry.get("thin_depth", entry["depth"]), entry["source"])


def inlet_form(name: str) -> InletForm:
    """The inlet "c14"."""
    entry = _entry("inlet", name, table("inlets"))
    return InletForm(name, _pair(entry["cut_out"]), _pair(entry["cut_out_least"]), entry["pitch"], entry["hole"],
                     entry["screw"], _pair(entry["flange"]), _pair(entry["depth"]), entry["source"])


def stand_off_size(designation: str) -> StandOffSize:
    """The stand-off "M3x6.5" (thread x length)."""
    goods = table("stand_offs")
    named = {f"{thread}x{length:g}": (thread, length) for thread, entry in goods["sizes"].items()
             for length in entry["lengths"]}
    found = named.get(designation) if isinstance(designation, str) else None
    if found is None:
        raise InputFault(f"stand-off {told(designation)}", allowed=", ".join(named))
    thread, length = found
    return StandOffSize(thread, float(length), goods["sizes"][thread]["flats"], goods["source"])


def _entry(what: str, name: Any, entries: dict[str, Any]) -> dict[str, Any]:
    entry: dict[str, Any] | None = entries.get(name) if isinstance(name, str) else None
    if entry is None:
        raise InputFault(f"{what} {told(name)}", allowed=", ".join(entries))
    return entry


def _pair(values: list[float]) -> tuple[float, float]:
    first, second = values
    return float(first), float(second)


def _grid(entry: dict[str, list[float]]) -> Places:
    return tuple((x, y) for y in entry["rows"] for x in entry["x"])
