"""What a check is, and the facts it gets. No kernel, no mesh: explaining a check is quick."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from deskmodel.findings import Finding
from deskmodel.frames import Vec
from deskmodel.model import DeskModel

if TYPE_CHECKING:
    from deskmodel.fit.problem import FitReport

__all__ = ["SECTIONS", "Check", "Facts", "Need", "Strike", "at", "lines_of", "sections"]

Need = Literal["model", "fit", "travel"]
SECTIONS = ("Finds", "Why it matters", "How measured", "Limits", "Sources")


@dataclass(frozen=True, slots=True)
class Strike:
    """An opening cover's ``moving`` part meets ``part`` at ``point`` (desk frame) after ``travel``: mm where it lifts off,
    degrees where it turns."""

    cover: str
    moving: str
    part: str
    travel: float
    point: Vec
    unit: Literal["mm", "°"] = "mm"


@dataclass(frozen=True)
class Facts:
    """All a check may look at.

    ``fit``: the engine's report on parts and keep-outs; ``keep_outs``: the engine's body name of each keep-out to its
    index in the model; ``strikes``: what covers meet when they open. A fact that could not be had is None and ``missing``
    says why, by need. ``lines``: where the script made each part, joint and keep-out. ``unlifted``: what of the lifting
    could not be judged.
    """

    model: DeskModel
    fit: FitReport | None = None
    strikes: tuple[Strike, ...] | None = None
    keep_outs: Mapping[str, int] = field(default_factory=dict)
    lines: Mapping[str, str] = field(default_factory=dict)
    missing: Mapping[Need, str] = field(default_factory=dict)
    unlifted: tuple[str, ...] = ()


@dataclass(frozen=True)
class Check:
    """One fault to look for. ``explanation`` has the five sections; ``run`` says what it found.

    ``unmeasured``: pairs or parts it needed and could not judge: it then has not passed."""

    id: str
    needs: Need
    explanation: str
    run: Callable[[Facts], list[Finding]]
    unmeasured: Callable[[Facts], list[str]] = lambda facts: []

    @property
    def summary(self) -> str:
        return self.explanation.strip().splitlines()[0].rstrip(".")


def sections(check: Check) -> dict[str, str]:
    """The explanation by section; a missing one is missing in the result."""
    found: dict[str, list[str]] = {}
    current = None
    for line in check.explanation.strip().splitlines()[1:]:
        head, colon, rest = line.partition(":")
        if colon and head in SECTIONS:
            current = head
            found[current] = [rest.strip()]
        elif current:
            found[current].append(line.strip())
    return {name: " ".join(part for part in text if part) for name, text in found.items()}


def at(point: Vec) -> str:
    """A point for people: "x 120.0, y 35.5, z 12.0"."""
    x, y, z = (round(v, 1) + 0.0 for v in point)
    return f"x {x:.1f}, y {y:.1f}, z {z:.1f}"


def lines_of(facts: Facts, names: Iterable[str]) -> tuple[str, ...]:
    """The script lines of these names, each once, in order."""
    return tuple(dict.fromkeys(facts.lines[name] for name in names if name in facts.lines))
