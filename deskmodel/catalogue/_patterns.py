"""Mounting holes of published forms: what a data sheet's [pattern] asks for.

A pattern's frame: x, y as seen from above; its origin where ``hole_pattern`` says.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from deskmodel._numbers import is_number, told
from deskmodel.catalogue._forms import board_form, drive_form, fan_size, inlet_form, screen_mount
from deskmodel.catalogue._tables import table
from deskmodel.errors import InputFault

__all__ = ["HolePattern", "PatternHole", "hole_pattern", "pattern_names"]


@dataclass(frozen=True, slots=True)
class PatternHole:
    """A hole at ``at``; ``depth`` None: right through, else how far a screw may go into the thread. mm."""

    name: str
    at: tuple[float, float]
    diameter: float
    depth: float | None = None


@dataclass(frozen=True, slots=True)
class HolePattern:
    """``size``: the form's outline from the origin, (0, 0) where it has none. ``thread``: of threaded holes, whose
    ``diameter`` is then the thread's own; "" where the holes let a screw through."""

    form: str
    size: tuple[float, float]
    holes: tuple[PatternHole, ...]
    thread: str
    source: str

    def places(self, at: tuple[float, float], turn: float = 0) -> tuple[PatternHole, ...]:
        """The holes with the pattern's origin at ``at``, turned about it anticlockwise as seen from above, by 0, 90, 180
        or 270 degrees."""
        if not is_number(turn) or turn not in _TURNS:
            raise InputFault(f"turn {told(turn)}", allowed=f"{', '.join(map(str, _TURNS))} degrees")
        cos, sin = _TURNS[int(turn)]
        return tuple(replace(hole, at=(at[0] + cos * x - sin * y, at[1] + sin * x + cos * y))
                     for hole in self.holes for x, y in (hole.at,))


_TURNS = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}


def pattern_names() -> tuple[str, ...]:
    return tuple(_makers())


def hole_pattern(form: str, height: float | None = None) -> HolePattern:
    """The mounting holes of "mini-itx", "micro-atx", "atx", "fan 80", "vesa 75", "sff-8201 bottom", "c14" …

    Origin and x, y: of a board the rear edge's corner on the sockets' side, x along that edge, y to the front; of a fan a
    corner of its frame; of a drive lying on its bottom the left corner of its connectors' end, y away from it; of the
    others the middle of the pattern, x across. ``height`` of a drive: thin ones allow shorter screws only."""
    makers = _makers()
    make = makers.get(" ".join(form.lower().split())) if isinstance(form, str) else None
    if make is None:
        raise InputFault(f"form {told(form)}", allowed=", ".join(makers))
    return make(height)


def _makers() -> dict[str, Callable[[float | None], HolePattern]]:
    makers: dict[str, Callable[[float | None], HolePattern]] = {}
    makers |= {name: partial(_board, name) for name in table("boards")["sizes"]}
    makers |= {f"fan {name}": partial(_fan, name) for name in table("fans")["sizes"]}
    makers |= {f"vesa {name}": partial(_screen, name) for name in table("screens")["sizes"]}
    makers |= {f"{name} bottom": partial(_drive, name) for name in table("drives")}
    makers |= {f"{name} bottom 76": partial(_wide_drive, name) for name in table("drives") if drive_form(name).bottom_wide}
    makers |= {name: partial(_inlet, name) for name in table("inlets")}
    return makers


def _board(name: str, _: float | None) -> HolePattern:
    form = board_form(name)
    holes = tuple(PatternHole(letter, at, form.hole) for letter, at in form.holes)
    return HolePattern(name, (form.width, form.depth), holes, "", form.source)


def _fan(name: str, _: float | None) -> HolePattern:
    size = fan_size(name)
    near, far = (size.frame - size.pitch) / 2, (size.frame + size.pitch) / 2
    places = ((near, near), (far, near), (near, far), (far, far))
    return HolePattern(f"fan {name}", (size.frame, size.frame), _numbered(places, size.hole, None), "", size.source)


def _screen(name: str, _: float | None) -> HolePattern:
    mount = screen_mount(name)
    x, y = mount.across / 2, mount.up / 2
    holes = _numbered(((-x, -y), (x, -y), (-x, y), (x, y)), mount.diameter, mount.depth)
    return HolePattern(f"vesa {name}", (0.0, 0.0), holes, mount.thread, mount.source)


def _drive(name: str, height: float | None) -> HolePattern:
    form = drive_form(name)
    return HolePattern(f"{name} bottom", (form.width, form.length),
                       _numbered(form.bottom, form.diameter, form.depth_at(height)), form.thread, form.source)


def _wide_drive(name: str, height: float | None) -> HolePattern:
    form = drive_form(name)
    return replace(_drive(name, height), form=f"{name} bottom 76",
                   holes=_numbered(form.bottom_wide, form.diameter, form.depth_at(height)))


def _inlet(name: str, _: float | None) -> HolePattern:
    form = inlet_form(name)
    return HolePattern(name, (0.0, 0.0), _numbered(((-form.pitch / 2, 0.0), (form.pitch / 2, 0.0)), form.hole, None), "",
                       form.source)


def _numbered(places: tuple[tuple[float, float], ...], diameter: float, depth: float | None) -> tuple[PatternHole, ...]:
    return tuple(PatternHole(str(number), at, diameter, depth) for number, at in enumerate(places, 1))
