"""Answers about frozen values, kept while the values are.

From one save of a script to the next nearly all parts of a desk stay the same objects (``model.read_json``), so what was
worked out of one of them, and of nothing else, need not be worked out again. It is found again by the identity of the value,
which costs nothing; the value is held with the answer, so that its identity stays its own.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, ParamSpec, TypeVar

__all__ = ["Kept", "let_go", "remembered"]

P = ParamSpec("P")
R = TypeVar("R")

_MOST = 50_000
"""Answers of one kind from which those are let go that have not been asked for since the last time."""


class Kept:
    """Answers in two generations: what is not asked for between two calls of ``let_go`` is gone after the second."""

    _all: list[Kept] = []  # noqa: RUF012  # every one that there is

    def __init__(self) -> None:
        self._young: dict[Hashable, tuple[Any, Any]] = {}
        self._old: dict[Hashable, tuple[Any, Any]] = {}
        Kept._all.append(self)

    def get(self, key: Hashable) -> tuple[Any, Any] | None:
        """(what it is about, the answer)."""
        found = self._young.get(key)
        if found is None:
            found = self._old.pop(key, None)
            if found is not None:
                self._young[key] = found
        return found

    def put(self, key: Hashable, about: Any, answer: Any) -> None:
        if len(self._young) >= _MOST:
            self.age()
        self._young[key] = about, answer

    def age(self) -> None:
        self._old, self._young = self._young, {}


def let_go() -> None:
    """Called once for each desk that is checked: what only the desks before the last one needed is let go."""
    for kept in Kept._all:
        kept.age()


def remembered(work: Callable[P, R]) -> Callable[P, R]:
    """For a function of frozen values alone, given by their order: the same objects give the same answer object, which
    nobody may change. What it raises is not kept."""
    kept = Kept()

    @wraps(work)
    def asked(*values: P.args, **named: P.kwargs) -> R:
        assert not named
        key = tuple([id(value) for value in values])
        found = kept.get(key)
        if found is None:
            answer = work(*values, **named)
            kept.put(key, values, answer)
            return answer
        answer_before: R = found[1]
        return answer_before

    return asked
