"""The page: its template filled with what the facts say."""

from __future__ import annotations

import base64
import hashlib
import tomllib
from collections import Counter
from collections.abc import Iterator
from string import Template

from deskmodel.component import Component
from deskmodel.drawing.dimensions import figure
from deskmodel.findings import CheckOutcome, needless
from deskmodel.plans import BayRow, desk_box, mass_text
from deskmodel.plans.cautions import DEFERS, NOT_LOOKED_AT, cautions
from deskmodel.report._facts import ReportFacts
from deskmodel.report._findings import FindingsPart, template
from deskmodel.report._markup import Markup, element, escaped, join, row, table
from deskmodel.report._words import counted, place_text, quantity, sides

__all__ = ["outcome_text", "report_page", "room_text"]

_ROLES = {"member": ("member", "members"), "plate": ("plate", "plates"), "cover": ("cover", "covers"),
          "backing": ("backing", "backings"), "veneer": ("veneer", "veneers"), "component": ("component", "components"),
          "custom": ("custom shape", "custom shapes"), "hardware": ("piece of hardware", "pieces of hardware")}
_SIDES = (("x0", "left"), ("x1", "right"), ("y0", "front"), ("y1", "back"), ("z0", "below"), ("z1", "above"))
_NAMED = 6  # names of one sentence


def report_page(facts: ReportFacts) -> bytes:
    """One HTML file that asks for nothing else: no network, no script, its only style told by its hash."""
    style = Template(template("page.css")).substitute(revision=facts.revision[:12])
    said = FindingsPart(facts)
    standing = len(facts.numbered) > facts.count("accepted")
    kind, verdict, means = _verdict(facts)
    return Template(template("page.html")).substitute(
        style=style, style_hash=f"sha256-{base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()}",
        title=escaped(facts.model.name), release="released" if facts.unreleased is None else "unreleased",
        unreleased="" if facts.unreleased is None else element(
            "p", element("strong", "UNRELEASED: not to build from. "), facts.unreleased, class_="unreleased"),
        revision=escaped(facts.revision), verdict=verdict, verdict_kind=kind, verdict_means=escaped(means),
        counts=join(element("li", each) for each in _counts(facts)), map=said.map,
        map_title="Where the findings are" if facts.numbered else "The desk from above",
        bound=_small(said.bound if standing or not facts.numbered else ""), findings=said.standing, accepted=said.accepted,
        accepted_intro=_accepted_intro(facts, "" if standing else said.bound), needless=_needless(facts),
        undone=_undone(facts), figures=join(_told(each) for each in _figures(facts)), parameters=_parameters(facts),
        bays=_bays(facts), checks=_checks(facts), defers=escaped(DEFERS), not_looked_at=escaped(NOT_LOOKED_AT),
        cautions=_cautions(facts), files_intro=escaped(_files_intro(facts)), files=_files(facts),
    ).encode("utf-8", "backslashreplace")


def _verdict(facts: ReportFacts) -> tuple[str, str, str]:
    """(kind, headline, what follows)."""
    stops, undone, warns = facts.count("stop"), len(facts.undone), facts.count("warn")
    if stops:
        return ("stop", counted(stops, "finding stops the build", "findings stop the build"),
                "Nobody should build from this revision: change the script, or accept what can be lived with in writing.")
    if undone:
        return ("stop", f"Not judged: {counted(undone, 'check could', 'checks could')} not be done",
                "Nobody should build from this revision before these checks have been done; below is why they were not.")
    if facts.left_out:
        return ("stop", "Not judged as a whole: checks were left out",
                "What was checked shows nothing that stops the build; the checks that were left out may.")
    if warns:
        return ("warn", f"Nothing found that stops the build; {counted(warns, 'warning', 'warnings')} to be looked at",
                "A warning rests on common practice, or on what was assumed: read it, then change the script or accept it.")
    return ("clear", "Nothing found that stops the build",
            "The checks below were done with this revision. What was accepted, and what no check looks at, is told below.")


def _counts(facts: ReportFacts) -> Iterator[str]:
    yield counted(facts.count("stop"), "stops the build", "stop the build")
    yield counted(facts.count("warn"), "warning", "warnings")
    yield counted(facts.count("note"), "note", "notes")
    yield counted(facts.count("accepted"), "accepted", "accepted")
    yield counted(len(facts.undone), "check not done", "checks not done")
    if facts.left_out:
        yield counted(len(facts.left_out), "check left out", "checks left out")


def _small(text: str) -> str:
    return element("p", text, class_="small") if text else ""


def _accepted_intro(facts: ReportFacts, bound: str) -> str:
    if not facts.count("accepted"):
        return ""
    return _small(f"Found, and accepted in the script with a written reason. They stay findings. {bound}".rstrip())


def _needless(facts: ReportFacts) -> str:
    gone = needless(facts.model.acceptances, facts.outcomes)
    if not gone:
        return ""
    items = [element("li", f"{each.id} of {' × '.join(each.parts)} ({each.reason})"
                     + (f", {facts.lines[each.title]}" if each.title in facts.lines else "")) for each in gone]
    return join([element("h3", "Accepted in the script, but not found"),
                 element("p", "Take these out: left standing, they would silence a fault that somebody makes later."),
                 element("ul", *items)])


def _undone(facts: ReportFacts) -> Markup:
    rows = [element("li", element("b", each.id), f": {outcome_text(each)}") for each in (*facts.undone, *facts.left_out)]
    return element("ul", *rows) if rows else element("p", "Every check was done.")


def _figures(facts: ReportFacts) -> Iterator[tuple[str, str]]:
    box = desk_box(facts.model)
    if box is not None:
        yield "size over all, x × y × z", f"{sides(tuple(b - a for a, b in zip(*box, strict=True)))} mm"
    mass = facts.mass
    if mass is None:
        yield "mass", "not measured"
    else:
        yield "mass", (mass_text(mass.kg) if mass.parts else "none is known") + _without(mass.unknown)
        yield "centre of gravity", place_text(mass.centre)
    roles = Counter[str](placed.role for placed in facts.model.parts)
    told = ", ".join(counted(roles[role], *words) for role, words in _ROLES.items() if roles[role])
    yield "parts", f"{len(facts.model.parts):,}" + (f": {told}" if told else "")
    yield "pairs of bodies judged", f"{facts.pairs:,}"
    yield "joints", f"{len(facts.model.joints):,}"
    heat = sum(placed.part.heat for placed in facts.model.parts if isinstance(placed.part, Component))
    if heat:
        yield "heat of the equipment (data sheets)", f"{figure(heat)} W"


def _told(pair: tuple[str, str], parameter: str | None = None) -> Markup:
    return element("div", element("dt", pair[0]), element("dd", pair[1]), data_parameter=parameter)


def _without(unknown: object) -> str:
    names = sorted(unknown) if isinstance(unknown, dict) else []
    if not names:
        return ""
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return f", without {', '.join(names[:_NAMED])}{more}, whose mass is unknown"


def _parameters(facts: ReportFacts) -> Markup:
    if not facts.model.parameters:
        return element("p", "The script takes none.")
    return element("dl", *(_told((name, str(value)), name) for name, value in facts.model.parameters), class_="figures")


def _bays(facts: ReportFacts) -> Markup:
    if not facts.bays:
        return element("p", "The script states no bay.")
    head = ("bay", "clear size", "holds", *(title for _, title in _SIDES))
    return table(head, [row((each.bay.name, sides(each.clear), ", ".join(each.holds) or "–",
                             *(room_text(each, side) for side, _ in _SIDES)), data_bay=str(number))
                        for number, each in enumerate(facts.bays)], "bays")


def room_text(each: BayRow, side: str) -> str:
    return quantity(each.room[side], None) if side in each.room else "–"


def outcome_text(outcome: CheckOutcome) -> str:
    """How a check went, in words."""
    if outcome.deselected:
        return "left out"
    if outcome.outcome in ("not-checked", "crashed"):
        found = f"; {counted(len(outcome.findings), 'finding', 'findings')} all the same" if outcome.findings else ""
        return f"{outcome.outcome.replace('-', ' ')}: {outcome.reason or 'no reason given'}{found}"
    accepted = sum(finding.accepted is not None for finding in outcome.findings)
    if not outcome.findings:
        return "nothing found"
    return counted(len(outcome.findings), "finding", "findings") + (f", {accepted} of them accepted" if accepted else "")


def _checks(facts: ReportFacts) -> Markup:
    rows = [row((each.id, facts.summaries.get(each.id, "–"), outcome_text(each)), data_check=each.id,
                class_=each.outcome) for each in facts.outcomes]
    return table(("check", "looks for", "outcome"), rows, "checks") if rows else element("p", "No check was run.")


def _cautions(facts: ReportFacts) -> Markup:
    made = cautions(facts.model)
    if not made:
        return element("p", "This desk holds none of the causes that are looked for.")
    return join(element(
        "article", element("h3", each.title), element("p", f"Because of: {_some(each.causes)}.", class_="small"),
        element("ul", *(element("li", point) for point in each.points)),
        element("p", f"Look into: {'; '.join(each.standards)}.", class_="small"), class_="caution") for each in made)


def _some(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - 2 * _NAMED} more" if len(names) > 2 * _NAMED else ""
    return ", ".join(names[:2 * _NAMED]) + more


def _files_intro(facts: ReportFacts) -> str:
    beside = "All files of one folder carry this revision; those of another revision belong to another desk."
    if facts.withheld:
        return f"{beside} What somebody could build from was held back because of what the verdict says."
    if facts.unreleased is not None:
        return f"{beside} Every file says that it is unreleased."
    return f"{beside} Each is written as far as the desk holds what it is about."


def _files(facts: ReportFacts) -> Markup:
    rows = []
    for each in tomllib.loads(template("files.toml"))["file"]:
        held = facts.withheld and each.get("build", False)
        rows.append(row((element("code", each["path"]), each["what"], "held back" if held else each["who"]),
                        class_="held" if held else None))
    return table(("file", "what it is", "who gets it"), rows, "files")
