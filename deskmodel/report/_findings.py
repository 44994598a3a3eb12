"""Findings as HTML: a card with its picture for those that get one, a table for the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from string import Template

from deskmodel.drawing import Drawing
from deskmodel.drawing.desk_map import Pin
from deskmodel.drawing.place import Place
from deskmodel.drawing.place_view import LETTERS, PlaceViews
from deskmodel.drawing.svg import svg_lines
from deskmodel.report._facts import Numbered, ReportFacts
from deskmodel.report._markup import Markup, element, escaped, join, row, table
from deskmodel.report._places import pictured, place_of
from deskmodel.report._words import counted, place_text, quantity

__all__ = ["FindingsPart", "template"]

_TAGS = {"stop": "stops the build", "warn": "warning", "note": "note"}
_MAP_WIDE, _MAP_HIGH = 178.0, 72.0


class FindingsPart:
    """What the page says of the findings: ``standing`` and ``accepted`` cards and tables, ``map``, ``bound``."""

    def __init__(self, facts: ReportFacts) -> None:
        self._facts = facts
        self._views = PlaceViews(facts.model)
        self.shown = pictured(facts.numbered)
        self.standing = self._part([each for each in facts.numbered if each.finding.accepted is None])
        self.accepted = self._part([each for each in facts.numbered if each.finding.accepted is not None])

    @property
    def bound(self) -> str:
        """How many have a picture."""
        total = len(self._facts.numbered)
        if not total:
            return "No check found anything."
        order, drawn = "By severity, then by check.", ""
        if len(self.shown) < total:
            drawn = (f" {len(self.shown)} of {total:,} findings have a picture, the gravest of each kind first; all others "
                     "follow in the tables.")
        return (f"{order}{drawn} In the pictures A and B are the parts in question, red is the place and what was measured; "
                "they are true to the scale they state when the page is printed at 100 %.")

    @property
    def map(self) -> Markup:
        pins = [Pin(str(each.number), each.finding.point, each.finding.stops) for each in self._facts.numbered
                if each.number in self.shown and each.finding.point is not None]
        left = len(self._facts.numbered) - len(pins)
        said = "The desk from above: members, equipment, bays by name; the chair's side is below."
        if self._facts.numbered:
            said += " Red numbers: findings, those on a red ground stop the build."
        if left:
            said += f" {counted(left, 'finding is', 'findings are')} not on the map, without a picture or without a place."
        drawing = self._views.map.overview(_MAP_WIDE, _MAP_HIGH, pins, "where the findings are", self._facts.revision)
        return element("figure", svg(drawing), element("figcaption", said), class_="map")

    def _part(self, numbered: Sequence[Numbered]) -> Markup:
        cards = [self._card(each) for each in numbered if each.number in self.shown]
        rest = [each for each in numbered if each.number not in self.shown]
        if not numbered:
            return element("p", "None.")
        if not rest:
            return join(cards)
        head = f"{counted(len(rest), 'further finding', 'further findings')}, without a picture"
        return join([*cards, element("h3", head),
                     table(("no.", "check", "what, what to do, script line", "measured", "needed"),
                           [_short(each) for each in rest], "rest")])

    def _card(self, each: Numbered) -> Markup:
        finding = each.finding
        place = place_of(finding, self._facts.model, self._facts.fit)
        drawing = self._views.picture(place, f"finding {each.number}: {finding.id}", self._facts.revision)
        said = Template(template("finding.html")).substitute(
            kind=_kind(each), number=each.number, tag=escaped(_tag(each)), check=escaped(finding.id),
            message=escaped(finding.message), facts=join(_facts(each)),
            picture=element("figure", svg(drawing), element("figcaption", *_legend(place, self._views.marked(place)))))
        return Markup(said)


@cache
def template(name: str) -> str:
    return (files("deskmodel.report") / name).read_text(encoding="utf-8")


def svg(drawing: Drawing) -> Markup:
    """A drawing within a page."""
    lines = list(svg_lines(drawing))[1:]  # less the declaration of XML
    return Markup("\n".join(['<svg role="img" ' + lines[0].removeprefix("<svg "), *lines[1:]]))


def _kind(each: Numbered) -> str:
    return "accepted" if each.finding.accepted is not None else each.finding.severity


def _tag(each: Numbered) -> str:
    tag = _TAGS[each.finding.severity]
    return f"accepted ({tag})" if each.finding.accepted is not None else tag


def _legend(place: Place, marked: Sequence[str]) -> Iterator[Markup]:
    for i, name in enumerate(marked):
        yield element("span", element("b", LETTERS[i], class_="first" if i % 2 == 0 else "second"), f" {name}",
                      class_="part")
    others = [name for name in place.parts if name not in marked]
    if others:
        yield element("span", f"not marked: {', '.join(others[:6])}{' …' if len(others) > 6 else ''}", class_="part")
    if place.rooms:
        yield element("span", f"dashed: {', '.join(room.name for room in place.rooms)}", class_="part")


def _facts(each: Numbered) -> Iterator[Markup]:
    finding = each.finding
    told = [("where", place_text(finding.point)),
            ("measured", quantity(finding.measured, finding.unit)), ("needed", quantity(finding.required, finding.unit)),
            ("do", finding.remedy), ("source", finding.source or "–"), ("script", ", ".join(finding.lines) or "–")]
    if finding.accepted is not None:
        told.append(("accepted because", finding.accepted))
    for label, text in told:
        if text == "–" and label != "where":
            continue
        yield element("div", element("dt", label), element("dd", text), class_="short" if label in _SHORT else None)


_SHORT = ("where", "measured", "needed", "source", "script")


def _short(each: Numbered) -> Markup:
    finding = each.finding
    where = f" ({', '.join(finding.lines)})" if finding.lines else ""
    what = [finding.message, " – ", element("b", "do: "), f"{finding.remedy}{where}"]
    if finding.accepted is not None:
        what += [" – ", element("b", "accepted because: "), finding.accepted]
    return row([str(each.number), join([element("b", finding.id), Markup("<br/>"), _tag(each)]), join(what),
                quantity(finding.measured, finding.unit), quantity(finding.required, finding.unit)], class_=_kind(each),
               data_finding=str(each.number))
