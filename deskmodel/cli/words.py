"""What ``deskmodel explain`` says besides checks: the words of a desk script, the keys of a data sheet, the goods."""

from __future__ import annotations

import inspect
import textwrap
from collections.abc import Callable, Iterator
from typing import Any

import deskmodel
from deskmodel import catalogue
from deskmodel.cli.text import Style
from deskmodel.errors import InputFault
from deskmodel.materials import material

__all__ = ["TOPICS", "page_of_word", "words"]

TOPICS = {"words": "what a desk script can say, by kind",
          "data-sheet": "the keys of a data sheet", "workshop": "the keys of workshop.toml",
          "stock": "the keys of stock.toml, what can be bought and what lies there",
          "service": "the keys of service.toml", "goods": "what hardware, forms and materials can be named"}


def words() -> dict[str, Any]:
    """What a script can say, by name: what ``deskmodel`` offers, and the verbs of a Desk ("Desk.place")."""
    found = {name: getattr(deskmodel, name) for name in deskmodel.__all__}
    found |= {f"Desk.{name}": verb for name, verb in vars(deskmodel.Desk).items() if not name.startswith("_")}
    return found


def page_of_word(name: str, style: Style) -> Iterator[str] | None:
    """The page about a topic or a word; None where there is none of that name."""
    if name == "words":
        return _list(style)
    if name == "data-sheet":
        from deskmodel.component import _sheet  # only here: it is long

        return iter([inspect.cleandoc(_sheet.__doc__ or "")])
    if name == "workshop":
        from deskmodel.workshop import _read

        return iter([inspect.cleandoc(_read.__doc__ or "")])
    if name == "stock":
        from deskmodel.stock import _read as stock_list

        return iter([inspect.cleandoc(stock_list.__doc__ or "")])
    if name == "service":
        from deskmodel.service import _read as service

        return iter([inspect.cleandoc(service.__doc__ or "")])
    if name == "goods":
        return _goods(style)
    known = words()
    full = name if name in known else f"Desk.{name}"
    return _word(full, known[full], style) if full in known else None


def _word(name: str, what: Any, style: Style) -> Iterator[str]:
    yield style.paint(f"{name}{_arguments(what)}", "title")
    yield inspect.cleandoc(what.__doc__ or "")
    if what is deskmodel.Desk:
        yield f"\n{inspect.cleandoc(deskmodel.Desk.__init__.__doc__ or '')}\n"
        yield from _each({verb: each for verb, each in words().items() if verb.startswith("Desk.")}, style)
        yield "\n'deskmodel explain Desk.bore' tells all about one."


_KINDS = {"parts": ("deskmodel.part", "deskmodel.component", "deskmodel.cover", "deskmodel.veneer"),
          "cuts and bends": ("deskmodel.features", "deskmodel.bends"), "joints": ("deskmodel.joints",),
          "outlines": ("deskmodel.profiles",)}
"""Kinds of words, and the modules that hold them; what is in none of them stands last."""


def _list(style: Style) -> Iterator[str]:
    """All words of a script by kind, each with its first sentence."""
    rest = {name: what for name, what in words().items() if not name.startswith("Desk.") and inspect.getdoc(what)}
    kinds = {kind: {name: what for name, what in rest.items() if getattr(what, "__module__", "").startswith(modules)}
             for kind, modules in _KINDS.items()}
    told = {name for found in kinds.values() for name in found}
    kinds["the desk, and what else there is"] = {name: what for name, what in rest.items() if name not in told}
    for kind, found in kinds.items():
        yield style.paint(kind, "title")
        yield from _each(found, style)
        yield ""
    yield ("'deskmodel explain Member' tells all about one, 'explain Desk' what a desk is told, 'explain goods' what can be "
           "named.")


def _each(found: dict[str, Any], style: Style) -> Iterator[str]:
    for name, what in found.items():
        text = textwrap.fill(f"{name}  {_first_sentence(what)}", style.width, subsequent_indent="    ",
                             break_on_hyphens=False)
        yield text.replace(name, style.paint(name, "label"), 1)


def _first_sentence(what: Any) -> str:
    paragraph = " ".join((inspect.getdoc(what) or "").split("\n\n")[0].split())
    return paragraph.split(". ")[0].removesuffix(".") + "."


def _arguments(what: Any) -> str:
    if not callable(what):
        return ""
    try:
        signature = inspect.signature(what)
    except (TypeError, ValueError):
        return ""
    kept = [each.replace(annotation=inspect.Parameter.empty) for name, each in signature.parameters.items()
            if name != "self"]
    return str(signature.replace(parameters=kept, return_annotation=inspect.Signature.empty))


def _goods(style: Style) -> Iterator[str]:
    """Each reader of the catalogue says what it would have taken."""
    readers: dict[str, Callable[[str], object]] = {
        "dowels": catalogue.dowel_size, "screws": catalogue.screw_size, "inserts": catalogue.insert_size,
        "wood screws": catalogue.wood_screw_size, "stand-offs": catalogue.stand_off_size,
        "nuts": catalogue.nut_size, "hinges": catalogue.hinge_size,
        "mounting holes of published forms": catalogue.hole_pattern, "materials": material}
    for title, read in readers.items():
        try:
            read("")
        except InputFault as fault:
            yield style.paint(title, "label")
            for line in (fault.allowed or "").split("; "):
                yield textwrap.fill(line, style.width - 4, initial_indent="    ", subsequent_indent="        ",
                                    break_on_hyphens=False, break_long_words=False)
