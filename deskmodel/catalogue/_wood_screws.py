"""Wood screws. Lengths in mm."""

from __future__ import annotations

import re
from dataclasses import dataclass

from deskmodel._numbers import told
from deskmodel.catalogue._tables import table
from deskmodel.errors import InputFault

__all__ = ["WoodScrewSize", "wood_screw_size"]

_WOOD_SCREW = re.compile(r"([0-9](?:\.5)?)\s*[x×]\s*([0-9]{1,3})(?: (pan|countersunk))?")


@dataclass(frozen=True, slots=True)
class WoodScrewSize:
    """``diameter`` over the crests of the thread, ``core`` at its root, ``pilot`` the hole for hardwood, ``clearance`` the
    hole through which the screw passes. ``head``: of a countersunk screw the rim of its 90° cone; ``head_height`` above
    the face, 0 for a countersunk one, whose ``length`` counts from the top of the head."""

    designation: str
    diameter: float
    core: float
    length: float
    head: float
    head_height: float
    pilot: float
    clearance: float
    source: str

    @property
    def countersunk(self) -> bool:
        return self.head_height == 0

    @property
    def cone(self) -> float:
        """mm from the top of a countersunk head to where its 90° cone meets the shank; 0 for a pan head."""
        return (self.head - self.diameter) / 2 if self.countersunk else 0.0

    @property
    def tip(self) -> float:
        """Length of the point: about a diameter (common practice)."""
        return self.diameter


def wood_screw_size(designation: str) -> WoodScrewSize:
    """The wood screw "4x30" (diameter x length, countersunk) or "4x30 pan"."""
    goods = table("wood_screws")
    found = _WOOD_SCREW.fullmatch(designation) if isinstance(designation, str) else None
    entry = goods["sizes"].get(found[1]) if found else None
    if not found or not entry or int(found[2]) not in entry["lengths"]:
        names = (f"{d}x{'/'.join(map(str, size['lengths']))}" for d, size in goods["sizes"].items())
        raise InputFault(f"wood screw {told(designation)}", allowed=f"{'; '.join(names)}; countersunk, or with ' pan' after")
    head, height = entry["pan"] if found[3] == "pan" else (entry["countersunk"], 0.0)
    name = f"{found[1]}x{int(found[2])}{' pan' if found[3] == 'pan' else ''}"
    return WoodScrewSize(name, float(found[1]), entry["core"], float(found[2]), head, height, entry["pilot"],
                         entry["clearance"], goods["source"])
