"""``deskmodel explain [ID]``: what a check finds, why it matters, how it measures, its limits and its sources."""

from __future__ import annotations

import sys
import textwrap
from argparse import Namespace
from collections.abc import Iterator

from deskmodel.checks import CHECKS, SECTIONS, Check, check_named, sections
from deskmodel.cli.text import Style

__all__ = ["explain"]


def explain(arguments: Namespace) -> int:
    style = Style.of(sys.stdout, wanted=arguments.colour)
    lines = _index(style) if arguments.id is None else _page(check_named(arguments.id), style)
    print("\n".join(lines))
    return 0


def _index(style: Style) -> Iterator[str]:
    wide = max(len(check.id) for check in CHECKS)
    for check in CHECKS:
        yield f"{style.paint(f'{check.id:<{wide}}', 'title')}  {check.summary}"
    yield f"\n{len(CHECKS)} checks; 'deskmodel explain ID' tells all about one."


def _page(check: Check, style: Style) -> Iterator[str]:
    yield f"{style.paint(check.id, 'title')}\n{check.summary}."
    texts = sections(check)
    for section in SECTIONS:
        yield f"\n{style.paint(section, 'label')}"
        yield textwrap.fill(texts[section], style.width - 4, initial_indent="    ", subsequent_indent="    ",
                            break_on_hyphens=False)
