"""File names from hostile names."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deskmodel.exporters import slug, slugs

HOSTILE = ["../x", "..", "/etc/passwd", "<script>alert(1)</script>", 'a"b', "it's", "=cmd|' /C calc'!A0", "a\nb", "a\0b",
           "Küchenschrank", "ＣＯＮ", "con", "LPT1", "桌子", "x" * 300, "", " ", ".hidden", "a/b", "a\\b", "-rf", "a" * 61,
           "\ud800", "nul.txt", "%2e%2e", "~", "$(x)", "`x`", "*", "é" * 300]


@pytest.mark.parametrize("name", HOSTILE)
def test_nothing_but_letters_digits_and_hyphens(name: str) -> None:
    assert re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,58}[a-z0-9])?", slug(name))
    assert slug(name) not in {"con", "nul", "lpt1"}


def test_plain_names_stay_readable() -> None:
    assert slug("Left end (oak)") == "left-end-oak"
    assert slug("Rückwand groß") == "rueckwand-gross"


def test_names_that_come_out_alike_are_told_apart() -> None:
    names = ["A b", "a-b", "a  b", "c", *HOSTILE]
    files = slugs(names)
    assert len(set(files.values())) == len(set(names))
    assert files["c"] == "c"
    assert slugs(reversed(names)) == files  # whatever comes before


@given(st.lists(st.text(max_size=80)))
def test_always_different_and_always_safe(names: list[str]) -> None:
    files = slugs(names)
    assert set(files) == set(names)
    assert len(set(files.values())) == len(files)
    assert all(re.fullmatch(r"[a-z0-9-]{1,60}", file) and not file.startswith("-") for file in files.values())
