"""model.json read: whole, or of a text like the one before the lines that differ."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from deskmodel._model_data import KINDS, SCHEMA, DeskModel, encode, fields_of
from deskmodel._model_text import dump, lines_of
from deskmodel._numbers import told
from deskmodel._remembered import Kept
from deskmodel._typed import check_fields
from deskmodel.errors import InputFault
from deskmodel.frames import Pose, cross, dot, sub

__all__ = ["read_json"]


@lru_cache(maxsize=2)
def read_json(text: str) -> DeskModel:
    """The model of a model.json. InputFault where the file is not one. The same text is read once: a model is a value; of a
    text that resembles one read before, the lines that differ."""
    model = _read_by_lines(text) or _read_whole(text)
    _check_references(model)
    return model


def _read_by_lines(text: str) -> DeskModel | None:
    """None where the text is not laid out as ours is, or anything in it is not as it should be."""
    lines = lines_of(text)
    if lines is None or lines.get("schema") != str(SCHEMA) or lines.get("is") != dump(DeskModel.__name__):
        return None
    as_written = "unreleased" not in lines
    inner: dict[str, Any] = {}
    try:
        for key, value in lines.items():
            if key not in ("schema", "is", "unreleased"):
                read = [_line(item) for item in (value if isinstance(value, list) else [value])]
                inner[key] = tuple([each for each, _ in read]) if isinstance(value, list) else read[0][0]
                as_written = as_written and all(same for _, same in read)
        model = _made(DeskModel, inner, _check_value)
    except (InputFault, TypeError, ValueError, AttributeError, ArithmeticError, RecursionError):
        return None  # read as a whole it is told where
    if as_written:
        model.__dict__["_text"] = text
    return model if isinstance(model, DeskModel) else None


_LINES = Kept()


def _line(text: str) -> tuple[Any, bool]:
    """The value of a line, which is a value for good: from one save of a script to the next hardly any of them change. And
    whether the line is how that value is written."""
    known = _LINES.get(text)
    if known is None:
        value = _decode(json.loads(text, parse_constant=_no_number), _check_value)
        known = None, (value, dump(encode(value)) == text)
        _LINES.put(text, *known)
    return known[1][0], known[1][1]


def _read_whole(text: str) -> DeskModel:
    try:
        body = json.loads(text, parse_constant=_no_number)
    except json.JSONDecodeError as fault:
        raise InputFault(f"not JSON: {fault.msg}", allowed="a model.json", line=fault.lineno) from None
    except (ValueError, RecursionError) as fault:  # a whole number of thousands of digits; brackets without end
        raise InputFault(f"not JSON: {told(str(fault))}", allowed="a model.json") from None
    if not isinstance(body, dict) or body.pop("schema", None) != SCHEMA:
        raise InputFault("not a model.json of this schema", allowed=f"schema {SCHEMA}")
    body.pop("unreleased", None)  # a remark of whoever wrote the file, no part of the desk
    try:
        model = _decode(body, _check_value)
    except InputFault:
        raise
    except (TypeError, ValueError, AttributeError, ArithmeticError, RecursionError) as fault:
        # a constructor met a value that its annotation forbids before the fields could be looked at
        raise InputFault(f"a value of the wrong kind: {told(str(fault))}", allowed="a model.json") from None
    if not isinstance(model, DeskModel):
        raise InputFault(f"a {type(model).__name__} instead of a desk", allowed="a model.json")
    return model


def _decode(value: Any, check: Callable[[Any], None] = lambda made: None) -> Any:
    """The value that ``encode`` wrote; ``check`` is shown every dataclass that is made."""
    if isinstance(value, list):
        return tuple([_decode(v, check) for v in value])
    if isinstance(value, dict):
        fields = dict(value)
        name = fields.pop("is", None)
        kind = KINDS.get(name) if isinstance(name, str) else None
        if kind is None:
            raise InputFault(f"a value that is {told(name)}", allowed=", ".join(KINDS))
        return _made(kind, {name: _decode(v, check) for name, v in fields.items()}, check)
    return value


def _made(kind: Any, inner: dict[str, Any], check: Callable[[Any], None]) -> Any:
    names = fields_of(kind) or ()
    if set(inner) != set(names):
        raise InputFault(f"a {kind.__name__} of {', '.join(sorted(inner))}", allowed=", ".join(names))
    made = kind(**inner)
    check(made)
    return made


def _check_value(made: Any) -> None:
    check_fields(made)
    if isinstance(made, Pose):
        x, y, z = (made.axis(i) for i in range(3))
        if max(abs(dot(x, x) - 1), abs(dot(y, y) - 1), *(abs(v) for v in sub(cross(x, y), z))) > 1e-6:
            raise InputFault(f"{told(made.rotation)} is no rotation", allowed="a right-handed frame of unit axes")


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")


def _check_references(model: DeskModel) -> None:
    """InputFault where the model names a part that it has not, or has one twice."""
    names = [part.name for part in model.parts]
    if len(set(names)) != len(names):
        raise InputFault("two parts of one name", allowed="a name of its own for each part")
    bays = [bay.name for bay in model.bays]
    if len(set(bays)) != len(bays):
        raise InputFault("two bays of one name", allowed="a name of its own for each bay")
    told_of = [(joint.a, joint.b, *joint.hardware) for joint in model.joints]
    told_of += [(rule.a, rule.b) for rule in (*model.gaps,)] + [(c.male, c.female) for c in model.contacts]
    told_of += [(lift.cover, *lift.parts) for lift in model.lifts]
    told_of += [(swing.cover, *swing.parts) for swing in model.swings]
    told_of += [(room.owner,) for room in model.keep_outs if room.owner is not None]
    for name in sorted({name for group in told_of for name in group} - set(names)):  # the same one on every run
        raise InputFault(f"a joint, gap, lift or keep-out of {name!r}, which is no part", allowed="names of parts")
