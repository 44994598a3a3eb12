"""``deskmodel explain [ID]``: what a check finds, why it matters, how it measures, its limits and its sources; or a word of
a script, the keys of a data sheet, the goods of the catalogue."""

from __future__ import annotations

import sys
import textwrap
from argparse import Namespace
from collections.abc import Iterator
from difflib import get_close_matches

from deskmodel.checks import CHECKS, SECTIONS, Check, check_named, sections
from deskmodel.cli.text import Style
from deskmodel.cli.words import TOPICS, page_of_word, words
from deskmodel.errors import InputFault

__all__ = ["explain"]


def explain(arguments: Namespace) -> int:
    style = Style.of(sys.stdout, wanted=arguments.colour)
    lines = _index(style) if arguments.id is None else _about(arguments.id, style)
    print("\n".join(lines))
    return 0


def _about(name: str, style: Style) -> Iterator[str]:
    page = page_of_word(name, style)
    if page is not None:
        return page
    try:
        return _page(check_named(name), style)
    except InputFault as fault:
        near = get_close_matches(name, [*words(), *TOPICS, *(check.id for check in CHECKS)], 1)
        meant = f"did you mean {near[0]}? " if near else ""
        raise InputFault(f"nothing is known of {name!r}", allowed=f"{meant}the id of a check ({fault.allowed}); "
                         f"{', '.join(TOPICS)}; a word of a script, such as Member, DowelJoint, Desk") from None


def _index(style: Style) -> Iterator[str]:
    wide = max(len(check.id) for check in CHECKS)
    for check in CHECKS:
        yield f"{style.paint(f'{check.id:<{wide}}', 'title')}  {check.summary}"
    yield f"\n{len(CHECKS)} checks; 'deskmodel explain ID' tells all about one."
    for topic, what in TOPICS.items():
        yield f"'deskmodel explain {topic}': {what}."
    yield "'deskmodel explain Desk', 'Member', 'DowelJoint' …: what a desk script can say."


def _page(check: Check, style: Style) -> Iterator[str]:
    yield f"{style.paint(check.id, 'title')}\n{check.summary}."
    texts = sections(check)
    for section in SECTIONS:
        yield f"\n{style.paint(section, 'label')}"
        yield textwrap.fill(texts[section], style.width - 4, initial_indent="    ", subsequent_indent="    ",
                            break_on_hyphens=False)
