"""Reading the catalogue. Lengths in mm."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from deskmodel._numbers import told
from deskmodel.catalogue._tables import table
from deskmodel.errors import InputFault

__all__ = ["DowelSize", "HeadKind", "InsertSize", "ScrewSize", "clearance_hole", "dowel_size", "insert_size", "screw_size",
           "screws_of", "thread_core"]

HeadKind = Literal["countersunk", "button", "cylinder", "pan"]

_DOWEL = re.compile(r"([0-9]{1,4})\s*[x×]\s*([0-9]{1,4})")
_SCREW = re.compile(r"(ISO [0-9]+) (M[0-9]+)\s*[x×]\s*([0-9]{1,4})")


@dataclass(frozen=True, slots=True)
class DowelSize:
    diameter: float
    length: float
    chamfer: float
    source: str


@dataclass(frozen=True, slots=True)
class ScrewSize:
    """``head`` and ``head_height``: for a countersunk screw the theoretical sharp diameter, to which the plate's cone is
    cut, and the cone's height; for the others diameter and height above the face. ``rim``: the largest diameter of the
    real head, for a countersunk one without its sharp edge. ``length``: as the shop counts it, with a countersunk head,
    below any other."""

    designation: str
    diameter: float
    length: float
    head: float
    head_height: float
    head_kind: HeadKind
    rim: float
    thread: str
    source: str

    @property
    def countersunk(self) -> bool:
        """Whether the head sinks into the plate; the others sit on it."""
        return self.head_kind == "countersunk"


@dataclass(frozen=True, slots=True)
class InsertSize:
    """``outside`` over the crests of the wood thread, ``pilot`` the hole for hardwood, ``bore`` the core diameter of
    the metric thread."""

    thread: str
    length: float
    outside: float
    pilot: float
    bore: float
    source: str


def dowel_size(designation: str) -> DowelSize:
    """The dowel "8x40" (diameter x length)."""
    goods = table("dowels")
    found = _DOWEL.fullmatch(designation) if isinstance(designation, str) else None
    lengths = goods["lengths"].get(found[1], []) if found else []
    if not found or int(found[2]) not in lengths:
        names = (f"{d}x{n}" for d, each in goods["lengths"].items() for n in each)
        raise InputFault(f"dowel {told(designation)}", allowed=", ".join(names))
    return DowelSize(float(found[1]), float(found[2]), goods["chamfer"], goods["source"])


def screw_size(designation: str) -> ScrewSize:
    """The screw "ISO 10642 M4x12" (standard, thread x length)."""
    goods = table("screws")
    found = _SCREW.fullmatch(designation) if isinstance(designation, str) else None
    entry = goods.get(found[1], {}).get(found[2]) if found else None
    if not found or not entry or int(found[3]) not in entry["lengths"]:
        names = (f"{standard} {thread}x{'/'.join(map(str, size['lengths']))}" for standard, sizes in goods.items()
                 for thread, size in sizes.items() if thread.startswith("M"))
        raise InputFault(f"screw {told(designation)}", allowed="; ".join(names))
    standard = goods[found[1]]
    # however the script spaced it: the shop reads one name, and equal screws are equal parts
    name = f"{found[1]} {found[2]}x{int(found[3])}"
    return ScrewSize(name, entry["diameter"], float(found[3]), entry["head"], entry["head_height"],
                     standard["head_kind"], entry.get("rim", entry["head"]), found[2], standard["source"])


def screws_of(standard: str, thread: str) -> tuple[ScrewSize, ...]:
    """All lengths of a standard's screws of one thread, ("ISO 7045", "M3"), the shortest first."""
    goods = table("screws")
    entry = goods.get(standard, {}).get(thread) if isinstance(standard, str) and isinstance(thread, str) else None
    if not entry:
        raise InputFault(f"screws of {told(standard)}, {told(thread)}",
                         allowed="; ".join(f"{name} {', '.join(t for t in each if t.startswith('M'))}"
                                           for name, each in goods.items()))
    return tuple(screw_size(f"{standard} {thread}x{length}") for length in sorted(entry["lengths"]))


def thread_core(thread: str) -> float:
    """Core diameter D1 of a coarse metric inside thread ("M4"): ISO 724."""
    goods = table("inserts")["bore"]
    if not isinstance(thread, str) or thread not in goods:
        raise InputFault(f"inside thread {told(thread)}", allowed=", ".join(goods))
    core: float = goods[thread]
    return core


def insert_size(designation: str) -> InsertSize:
    """The insert "M4x10" (thread x length)."""
    goods = table("inserts")
    entry = goods["sizes"].get(designation) if isinstance(designation, str) else None
    if not entry:
        raise InputFault(f"insert {told(designation)}", allowed=", ".join(goods["sizes"]))
    thread, _, length = designation.partition("x")
    return InsertSize(thread, float(length), entry["outside"], entry["pilot"], goods["bore"][thread], goods["source"])


def clearance_hole(thread: str, fit: str = "medium") -> float:
    """Diameter of the clearance hole for a thread ("M4"): fit "fine", "medium" or "coarse" (ISO 273)."""
    goods = table("clearance_holes")
    entry = goods["holes"].get(thread) if isinstance(thread, str) else None
    if not entry or not isinstance(fit, str) or fit not in entry:
        raise InputFault(f"clearance hole {told(thread)}, {told(fit)}",
                         allowed=f"{', '.join(goods['holes'])}; fine, medium, coarse")
    diameter: float = entry[fit]
    return diameter
