"""Checks what ``--set`` says against the signature of the script's ``desk`` function.

Texts (from the command line) are read as the type the signature asks for; values (from Python) must have it.
The type is the annotation; without one that of the default; without both a number if it reads as one.
"""

from __future__ import annotations

import difflib
import inspect
import math
import types
from collections.abc import Callable, Mapping
from typing import Any, Literal, Union, get_args, get_origin

from deskmodel.errors import InputFault

__all__ = ["Parameter", "bind_parameters"]

Parameter = int | float | str | bool | None
"""What a parameter of a desk may be: it is written into model.json and shown on every page."""

_WORDS = {"true": True, "yes": True, "on": True, "1": True, "false": False, "no": False, "off": False, "0": False}
_NAMES: dict[object, str] = {float: "a number", int: "a whole number", str: "text", bool: "true or false",
                             type(None): "none", None: "none"}
_UNTYPED = object()


def bind_parameters(function: Callable[..., object], texts: Mapping[str, str],
                    values: Mapping[str, Parameter]) -> dict[str, Parameter]:
    """Every argument the function is called with, defaults included, in the signature's order.

    Raises InputFault with the parameter as ``key``: unknown, ill-typed, not finite, or missing.
    """
    signature = _signature(function)
    named = {p.name: p for p in signature.parameters.values()
             if p.kind in (p.POSITIONAL_OR_KEYWORD, p.KEYWORD_ONLY)}
    rest = next((p for p in signature.parameters.values() if p.kind is p.VAR_KEYWORD), None)
    given: dict[str, str | Parameter] = {**values, **texts}
    bound: dict[str, Parameter] = {}
    for name in given:
        if name not in named and rest is None:
            raise _unknown(name, tuple(named))
    for name, parameter in named.items():
        wanted = _wanted(parameter)
        if name in texts:
            bound[name] = _read(name, texts[name], wanted)
        elif name in values:
            bound[name] = _match(name, values[name], wanted)
        elif parameter.default is not parameter.empty:
            bound[name] = _plain(name, parameter.default)
        else:
            raise InputFault("has no value and no default", allowed=f"--set {name}={_example(wanted)}", key=name)
    if rest is not None:
        wanted = _UNTYPED if rest.annotation is rest.empty else rest.annotation
        for name in sorted(set(given) - set(named)):
            bound[name] = _read(name, texts[name], wanted) if name in texts else _match(name, values[name], wanted)
    return bound


def _signature(function: Callable[..., object]) -> inspect.Signature:
    try:
        signature = inspect.signature(function, eval_str=True)
    except (NameError, SyntaxError, AttributeError, TypeError):  # an annotation that does not resolve is no type
        signature = inspect.signature(function)
    for parameter in signature.parameters.values():
        if parameter.kind is parameter.POSITIONAL_ONLY and parameter.default is parameter.empty:
            raise InputFault("is positional only, so nobody can give it a value", allowed="a parameter with a name",
                             key=parameter.name)
    return signature


def _wanted(parameter: inspect.Parameter) -> Any:
    if parameter.annotation is not parameter.empty:
        return parameter.annotation
    if parameter.default is not parameter.empty and parameter.default is not None:
        return type(parameter.default)
    return _UNTYPED


def _unknown(name: str, known: tuple[str, ...]) -> InputFault:
    near = difflib.get_close_matches(name, known, n=1)
    hint = f" (did you mean {near[0]!r}?)" if near else ""
    return InputFault(f"the desk has no such parameter{hint}", allowed=", ".join(known) or "none", key=name)


def _read(name: str, text: str, wanted: Any) -> Parameter:
    for kind in _alternatives(wanted):
        try:
            return _plain(name, _read_as(text, kind))
        except (ValueError, OverflowError):
            continue
    raise InputFault(f"{text!r} does not fit", allowed=_describe(wanted), key=name)


def _read_as(text: str, kind: Any) -> Parameter:
    if kind is bool:
        if text.strip().lower() not in _WORDS:
            raise ValueError(text)
        return _WORDS[text.strip().lower()]
    if kind is int:
        return int(text)
    if kind is float:
        return float(text)
    if kind is str:
        return text
    if kind in (None, type(None)):
        if text.strip().lower() != "none":
            raise ValueError(text)
        return None
    if get_origin(kind) is Literal:
        for choice in get_args(kind):
            if str(choice) == text:
                return choice  # type: ignore[no-any-return]  # _plain judges it
        raise ValueError(text)
    if kind is _UNTYPED:
        for attempt in (int, float):
            try:
                return attempt(text)
            except ValueError:
                continue
        return text
    raise ValueError(text)


def _match(name: str, value: Parameter, wanted: Any) -> Parameter:
    for kind in _alternatives(wanted):
        fits = (kind is _UNTYPED
                or (kind is float and isinstance(value, (int, float)) and not isinstance(value, bool))
                or (kind is int and isinstance(value, int) and not isinstance(value, bool))
                or (kind in (bool, str) and isinstance(value, kind))
                or (kind in (None, type(None)) and value is None)
                or (get_origin(kind) is Literal and value in get_args(kind)))
        if fits:
            return _plain(name, value)
    raise InputFault(f"{value!r} does not fit", allowed=_describe(wanted), key=name)


def _plain(name: str, value: object) -> Parameter:
    if isinstance(value, float) and not math.isfinite(value):
        raise InputFault(f"{value} is not a finite number", key=name)
    if value is None or isinstance(value, (bool, int, float, str)):
        return value
    raise InputFault(f"its value {value!r} cannot be written down", allowed="a number, text, true, false or none",
                     key=name)


def _alternatives(wanted: Any) -> tuple[Any, ...]:
    """The members of a union; a text for ``int | str`` is tried as a number first, whatever the order."""
    if get_origin(wanted) in (Union, types.UnionType):
        members = get_args(wanted)
        return tuple(sorted(members, key=lambda kind: (kind is str, members.index(kind))))
    return (wanted,)


def _describe(wanted: Any) -> str:
    names: list[str] = []
    for kind in _alternatives(wanted):
        if get_origin(kind) is Literal:
            names.extend(str(choice) for choice in get_args(kind))
        else:
            names.append(_NAMES.get(kind, "a number or text" if kind is _UNTYPED
                                    else f"{kind!r}, which --set cannot give"))
    return " or ".join(names)


def _example(wanted: Any) -> str:
    kind = _alternatives(wanted)[0]
    if get_origin(kind) is Literal:
        return str(get_args(kind)[0])
    return {float: "100", int: "4", bool: "true"}.get(kind, "…")
