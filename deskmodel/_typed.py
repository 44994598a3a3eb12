"""Whether the fields of a dataclass hold what their annotations say: for values that come out of a file."""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from deskmodel._numbers import is_number, told
from deskmodel.errors import InputFault
from deskmodel.features import FEATURES, Feature

__all__ = ["check_fields"]

Test = Callable[[Any], bool]


def check_fields(value: Any) -> None:
    """InputFault for the first field of a dataclass instance that is not of its annotated type. Fields of fields that
    are dataclasses themselves are taken to have been checked before."""
    kind: type[Any] = type(value)
    for name, test in _tests(kind).items():
        if not test(getattr(value, name)):
            raise InputFault(f"{name} of a {kind.__name__} is {told(getattr(value, name))}",
                             allowed=str(kind.__annotations__.get(name)))


_KNOWN: dict[type, dict[str, Test]] = {}


def _tests(kind: type) -> dict[str, Test]:
    known = _KNOWN.get(kind)
    if known is None:
        hints = get_type_hints(kind)
        known = _KNOWN[kind] = {field.name: _test(hints[field.name]) for field in dataclasses.fields(kind)}
    return known


def _test(hint: Any) -> Test:
    """What tells whether a value is of the annotated type."""
    origin, args = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        tests = [_test(arg) for arg in args]
        return lambda value: any(test(value) for test in tests)
    if origin is Literal:
        return lambda value: isinstance(value, str) and value in args
    if origin is tuple and len(args) == 2 and args[1] is Ellipsis:
        each = _test(args[0])
        return lambda value: isinstance(value, tuple) and all(map(each, value))
    if origin is tuple:
        tests = [_test(arg) for arg in args]
        return lambda value: (isinstance(value, tuple) and len(value) == len(tests)
                              and all(test(v) for test, v in zip(tests, value, strict=True)))
    if hint is float:
        return is_number
    if hint is int:
        return lambda value: isinstance(value, int) and not isinstance(value, bool)
    if hint is Feature:
        return lambda value: type(value) in FEATURES
    return lambda value: isinstance(value, hint)
