"""``--set`` against the signature of ``desk``."""

from __future__ import annotations

from typing import Any, Literal, Optional

import pytest

from deskmodel.errors import InputFault
from deskmodel.session.parameters import bind_parameters


def typed(width: float = 900, count: int = 4, wood: str = "ash", veneer: bool = False,
          side: Literal["left", "right"] = "left", depth: float | None = None,
          end: Optional[int] = None) -> None: ...  # noqa: UP045  # both spellings exist


def untyped(width=900, count=4, wood="ash", veneer=False, other=None): ...  # type: ignore[no-untyped-def]


def open_ended(width: float, **parameters: float) -> None: ...


@pytest.mark.parametrize(("name", "text", "value"), [
    ("width", "1450", 1450.0), ("width", "1.5e3", 1500.0), ("count", "6", 6), ("wood", "12", "12"),
    ("veneer", "yes", True), ("veneer", "0", False), ("side", "right", "right"), ("depth", "none", None),
    ("depth", "450", 450.0), ("end", "3", 3), ("wood", "a=b", "a=b")])
def test_texts_become_what_the_signature_says(name: str, text: str, value: object) -> None:
    bound = bind_parameters(typed, {name: text}, {})
    assert bound[name] == value
    assert type(bound[name]) is type(value)
    assert list(bound) == ["width", "count", "wood", "veneer", "side", "depth", "end"]


@pytest.mark.parametrize(("name", "text"), [
    ("width", "9oo"), ("width", ""), ("width", "nan"), ("width", "inf"), ("width", "1e400"), ("count", "4.5"),
    ("count", "4e0"), ("veneer", "2"), ("side", "top"), ("depth", "deep"), ("end", "1.5")])
def test_ill_typed_texts_are_refused_with_what_is_allowed(name: str, text: str) -> None:
    with pytest.raises(InputFault) as caught:
        bind_parameters(typed, {name: text}, {})
    assert caught.value.key == name
    assert repr(text) in caught.value.problem or "finite" in caught.value.problem


def test_without_annotations_the_default_says_the_type() -> None:
    bound = bind_parameters(untyped, {"width": "800", "wood": "7", "veneer": "on", "other": "7.5"}, {})
    assert bound == {"width": 800, "count": 4, "wood": "7", "veneer": True, "other": 7.5}
    with pytest.raises(InputFault):
        bind_parameters(untyped, {"width": "8.5"}, {})


def test_unknown_and_missing_parameters() -> None:
    with pytest.raises(InputFault, match=r"no such parameter \(did you mean 'width'\?\)") as caught:
        bind_parameters(typed, {"widht": "3"}, {})
    assert "count" in (caught.value.allowed or "")
    with pytest.raises(InputFault, match="no value and no default") as caught:
        bind_parameters(open_ended, {}, {})
    assert caught.value.key == "width"
    assert bind_parameters(open_ended, {"width": "3", "else_": "4"}, {}) == {"width": 3.0, "else_": 4.0}


@pytest.mark.parametrize(("name", "value", "fits"), [
    ("width", 3, True), ("width", 3.5, True), ("width", True, False), ("width", "3", False),
    ("count", 3, True), ("count", 3.0, False), ("side", "left", True), ("side", "up", False),
    ("depth", None, True), ("width", None, False), ("width", float("nan"), False)])
def test_values_from_python_must_have_the_type(name: str, value: Any, fits: bool) -> None:
    if fits:
        assert bind_parameters(typed, {}, {name: value})[name] == value
    else:
        with pytest.raises(InputFault):
            bind_parameters(typed, {}, {name: value})


@pytest.mark.parametrize("default", [object(), [1], float("inf")])
def test_a_default_that_cannot_be_written_down_is_refused(default: object) -> None:
    def desk(width=default) -> None: ...  # type: ignore[no-untyped-def]

    with pytest.raises(InputFault) as caught:
        bind_parameters(desk, {}, {})
    assert caught.value.key == "width"
