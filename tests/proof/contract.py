"""``jigs/jigs.json`` of an export: which jig is laid where. Only the rough pose is taken from it, never a seat.

Seat frame of a jig: w out of the wood, against the drill's way, 0 on the wood; u from the face side (end jigs) or along the
member (face jigs); v from the face edge.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from tests.proof.facets import Floats
from tests.proof.members import SIDES


@dataclass(frozen=True, eq=False)
class Bush:
    bore: float
    outside: float
    length: float


@dataclass(frozen=True, eq=False)
class Jig:
    """``turn``: rotation from the print frame to the seat frame, rough."""

    number: str
    kind: str
    stl: Path
    step: Path
    turn: Floats
    shift: Floats
    drill: float
    bush: Bush
    guide: float
    gap: float
    far_sight: float | None
    """u of the second sight edge of a face jig; the first is at 0. Rough: where they are the facets say."""


@dataclass(frozen=True, eq=False)
class Use:
    """One jig laid on one member (``member``, and equal ones: ``members``, each with its joint). ``mark`` in mm from the
    datum end."""

    jig: Jig
    member: str
    members: tuple[str, ...]
    file: Path
    place: str
    mark: float | None
    towards: str | None
    depth: float
    stop: float
    joints: tuple[str, ...]
    turned_over: bool
    through: bool

    def __str__(self) -> str:
        line = "" if self.mark is None else f", {self.mark:g} towards the {self.towards}"
        return f"{self.jig.number} on {self.member}, {self.place}{line}"

    @property
    def along(self) -> int:
        """Sense along the member in which the jig lies from its line; 0 where there is none."""
        return 0 if self.towards is None else SIDES[self.towards][1]

    def seat_axes(self) -> Floats:
        """(3, 3): columns u, v, w of the seat frame in the member frame; right-handed."""
        axis, sense = SIDES[self.place]
        w = sense * np.eye(3)[axis]
        v = np.array([0.0, 1, 0]) if axis == 2 else np.array([0.0, 0, -1])
        if self.jig.kind == "end":
            # u runs from the face side. On the far end this is left-handed: there the other side of the web lies on the
            # wood, and w of the jig looks along the member.
            return np.column_stack([[0.0, 1, 0], v, np.cross([0.0, 1, 0], v)])
        return np.column_stack([np.cross(v, w), v, w])


def read_contract(folder: Path) -> list[Use]:
    """Every use of every jig in an exported ``folder``."""
    data = json.loads((folder / "jigs" / "jigs.json").read_text(encoding="utf-8"))
    assert data["schema"] == 1
    jigs = {entry["number"]: _jig(folder, entry) for entry in data["jigs"]}
    return list(_uses(folder, data["uses"], jigs))


def _jig(folder: Path, entry: dict[str, Any]) -> Jig:
    pose = entry["seat_from_print"]
    return Jig(entry["number"], entry["kind"], folder / entry["stl"], folder / entry["step"],
               np.array(pose["rotation"], float), np.array(pose["translation"], float), float(entry["drill"]),
               Bush(*(float(entry["bush"][key]) for key in ("bore", "outside", "length"))), float(entry["guide"]),
               float(entry["gap"]), None if entry["far_sight"] is None else float(entry["far_sight"]))


def _uses(folder: Path, entries: list[dict[str, Any]], jigs: dict[str, Jig]) -> Iterator[Use]:
    for entry in entries:
        mark = entry["mark"]
        yield Use(jigs[entry["jig"]], entry["member"], tuple(entry["members"]), folder / entry["file"], entry["place"],
                  None if mark is None else float(mark), entry["towards"], float(entry["depth"]), float(entry["stop"]),
                  tuple(entry["joint"].split("; ")), bool(entry["turned_over"]), bool(entry["through"]))
