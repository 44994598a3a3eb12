"""How each cover opens once all joints are known: it lifts off, or turns about its hinges; by hand, or with a tool."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from deskmodel._where import Where
from deskmodel.desk import LiftOff, Swing
from deskmodel.errors import InputFault
from deskmodel.frames import norm, scale, sub
from deskmodel.joints import Opening

__all__ = ["opened"]

_ONE_PIN = 0.01  # mm; hinges whose axes lie nearer than this are in line


def opened(lifts: Iterable[LiftOff], openings: Iterable[Opening],
           places: Iterable[Where]) -> tuple[tuple[LiftOff, ...], tuple[Swing, ...]]:
    """Lifts and swings by the names of their covers. ``places``: where the script made each opening. InputFault, at its
    line, where a cover has hinges that are not in line."""
    made = sorted(zip(openings, places, strict=True), key=lambda each: (each[0].cover, each[0].parts))
    told, at = [each for each, _ in made], {id(each): where for each, where in made}
    stay: list[LiftOff] = []
    turn: list[Swing] = []
    for lift in sorted(lifts, key=lambda each: each.cover):
        mine = [each for each in told if each.cover == lift.cover]
        parts = (*lift.parts, *(part for each in mine for part in each.parts))
        tools = "; ".join(dict.fromkeys(each.tool for each in mine if each.tool)) or None
        pins = [each for each in mine if each.pin is not None]
        if not pins:
            stay.append(replace(lift, parts=parts, tool=tools))
            continue
        assert pins[0].pin is not None
        point, axis = pins[0].pin
        for each in pins[1:]:
            assert each.pin is not None
            between = sub(each.pin[0], point)
            aside = sub(between, scale(axis, sum(a * b for a, b in zip(between, axis, strict=True))))
            if norm(aside) > _ONE_PIN or norm(sub(each.pin[1], axis)) > 1e-6:
                raise InputFault(f"hinges of {lift.cover!r} that are not in line", allowed="hinges on one edge of the cover",
                                 file=at[id(each)].file, line=at[id(each)].line)
        turn.append(Swing(lift.cover, parts, point, axis, min(each.angle for each in pins), tools))
    return tuple(stay), tuple(turn)
