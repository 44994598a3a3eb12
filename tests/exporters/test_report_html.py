"""The report: complete, escaped, self-contained; read by lxml, as HTML and as strict XML, which the product does not use."""

from __future__ import annotations

import base64
import fnmatch
import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from lxml import etree, html

from deskmodel import Desk, Member
from deskmodel.checks import CHECKS
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob
from deskmodel.exporters.report_html import NAME, export_report
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit.problem import FitReport, Overlap
from deskmodel.model import DeskModel, freeze
from deskmodel.plans import desk_mass
from tests.desks.small import HOSTILE_NAMES, small_desk

SVG = "{http://www.w3.org/2000/svg}"
STOP = Finding("gap-too-small", "stop", ("supply", "front"), "supply and front are 3.00 mm apart; 5 mm are required: air",
               "move supply 2.00 mm to the back (+y)", (400.0, 80.0, 20.0), 3.0, 5.0, "mm", "the script: air",
               lines=("desk.py:7", "desk.py:9"))
WARN = Finding("insert-near-edge", "warn", ("under", "back"), "insert 2 stands 5.0 mm from an edge of back",
               "move the screw", (300.0, 390.0, 1.5), 5.0, 6.0, "mm", "common practice")
NOTE = Finding("dowel-too-shallow", "note", ("left",), "dowel 1 stands 20 mm in left", "take longer dowels", None, 20.0,
               24.0, "mm")
TAKEN = replace(WARN, id="unfastened-part", parts=("speaker",), message="nothing holds speaker",
                accepted="it stands by itself")


@pytest.fixture(scope="module")
def model() -> DeskModel:
    return freeze(small_desk(), {"width": 600, "wood": "ash"})[0]


def outcomes(*findings: Finding, others: Sequence[CheckOutcome] = ()) -> tuple[CheckOutcome, ...]:
    """Of all checks, in their order."""
    given = {each.id: each for each in others}
    found = []
    for check in CHECKS:
        own = tuple(finding for finding in findings if finding.id == check.id)
        found.append(given.get(check.id) or CheckOutcome(check.id, "findings" if own else "passed", own))
    return tuple(found)


def job(model: DeskModel, *findings: Finding, unreleased: str | None = None, others: Sequence[CheckOutcome] = (),
        **more: object) -> ExportJob:
    return ExportJob(model, outcomes(*findings, others=others), 123456, unreleased, {}, {},
                     summaries={check.id: check.summary for check in CHECKS}, **more)  # type: ignore[arg-type]


def page(of: ExportJob, folder: Path) -> html.HtmlElement:
    written = export_report(of)
    assert list(written.files) == [NAME]
    (folder / NAME).write_bytes(written.files[NAME])
    written.read_back(folder)
    etree.fromstring(written.files[NAME])  # strict: well-formed
    return html.fromstring(written.files[NAME])


def text(element: html.HtmlElement) -> str:
    return " ".join(element.text_content().split())


def section(read: html.HtmlElement, name: str) -> html.HtmlElement:
    found, = read.xpath(f"//section[@id='{name}']")
    return found


def test_it_is_always_written() -> None:
    assert not next(each for each in EXPORTERS if each.export is export_report).for_building


def test_everything_that_was_found_is_there(model: DeskModel, tmp_path: Path) -> None:
    read = page(job(model, NOTE, TAKEN, WARN, STOP, unreleased="1 finding stops the build", withheld=True), tmp_path)
    cards = read.xpath("//*[@data-finding]")
    assert [each.get("data-finding") for each in cards] == ["1", "2", "3", "4"]
    assert [card.xpath(".//span[@class='check']/text()")[0] for card in cards] == [
        "gap-too-small", "insert-near-edge", "dowel-too-shallow", "unfastened-part"]  # by severity; accepted last
    for card, finding in zip(cards, (STOP, WARN, NOTE, TAKEN), strict=True):
        said = text(card)
        for wanted in (finding.message, finding.remedy, finding.source or "", *finding.lines, *finding.parts,
                       f"needed{finding.required:g} {finding.unit}", f"measured{finding.measured:g} {finding.unit}"):
            assert wanted in said
        assert len(card.xpath(".//*[local-name()='svg']")) == 1
    assert "it stands by itself" in text(section(read, "accepted"))
    assert cards[3] in list(section(read, "accepted").iter())
    assert "1 finding stops the build" in text(section(read, "verdict"))
    assert "1 stops the build 1 warning 1 note 1 accepted 0 checks not done" in re.sub(
        r"(?<=[a-z])(?=\d)", " ", text(section(read, "verdict")))
    checks = {each.get("data-check"): text(each) for each in read.xpath("//*[@data-check]")}
    assert list(checks) == [check.id for check in CHECKS]
    assert checks["parts-overlap"].endswith("nothing found")
    assert "share material" in checks["parts-overlap"]
    assert checks["unfastened-part"].endswith("1 finding, 1 of them accepted")


def test_bays_figures_parameters_revision(model: DeskModel, tmp_path: Path) -> None:
    mass = replace(desk_mass(model, {}), unknown={"back": "no density", "left": "not measured"})
    read = page(job(model, mass=mass), tmp_path)
    bay, = read.xpath("//*[@data-bay]")
    # by hand: 600 × 400 less 22 on each side; from the under-plate at 1.5 up to the ply of the cover, 6 thick and 0.15 of
    # glue below 62
    assert "556 × 356 × 54.35" in text(bay)
    assert "supply" in text(bay)
    assert {each.get("data-parameter"): each.xpath("./dd/text()") for each in read.xpath("//*[@data-parameter]")} == {
        "width": ["600"], "wood": ["ash"]}
    figures = text(section(read, "figures"))
    assert "600 × 400 × 63.5 mm" in figures
    assert "123,456" in figures
    assert f"{mass.kg:.1f} kg, without back, left, whose mass is unknown" in figures
    assert "not measured" in text(section(page(job(model), tmp_path), "figures"))
    assert job(model).revision in text(read.body)


def test_without_findings(model: DeskModel, tmp_path: Path) -> None:
    read = page(job(model), tmp_path)
    assert "Nothing found that stops the build" in text(section(read, "verdict"))
    assert "UNRELEASED" not in text(read.body)
    assert read.body.get("class") == "released"
    assert "Every check was done" in text(section(read, "not-checked"))
    assert not read.xpath("//*[@data-finding]")
    for word in ("complies", "is safe", "compliant", "certified that"):
        assert word not in text(read.body).lower()
    # the gap and the keep-out that the script accepts are not found here
    assert "Accepted in the script, but not found" in text(section(read, "accepted"))


def test_unreleased(model: DeskModel, tmp_path: Path) -> None:
    read = page(job(model, STOP, unreleased="1 finding stops the build", withheld=True), tmp_path)
    assert "UNRELEASED: not to build from. 1 finding stops the build" in text(read.xpath("//header")[0])
    assert read.body.get("class") == "unreleased"
    assert "@page unreleased" in read.xpath("//style")[0].text
    held = {text(row[0]) for row in read.xpath("//section[@id='files']//tr[@class='held']")}
    assert "model.step" in held
    assert not held & {"report.html", "findings.json", "model.json", "documents/bays.csv"}
    read = page(job(model, STOP, unreleased="1 finding stops the build"), tmp_path)  # --unreleased
    assert not read.xpath("//tr[@class='held']")
    assert "Every file says that it is unreleased" in text(section(read, "files"))


def test_what_was_not_checked_is_said_with_its_reason(model: DeskModel, tmp_path: Path) -> None:
    undone = (CheckOutcome("parts-overlap", "not-checked", reason="front and left: the kernel gave up"),
              CheckOutcome("web-too-thin", "crashed", reason="ZeroDivisionError: division by zero"),
              CheckOutcome("cover-strikes", "not-checked", reason="not asked for", deselected=True))
    read = page(job(model, others=undone, unreleased="not checked: parts-overlap"), tmp_path)
    said = text(section(read, "not-checked"))
    assert "parts-overlap: not checked: front and left: the kernel gave up" in said
    assert "web-too-thin: crashed: ZeroDivisionError: division by zero" in said
    assert "cover-strikes: left out" in said
    assert "Not judged: 2 checks could not be done" in text(section(read, "verdict"))
    assert section(read, "verdict").get("class") == "verdict stop"


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_names_are_text(name: str, tmp_path: Path) -> None:
    odd = freeze(small_desk(lambda key: f"{name[:140]}{key}{name[:140]}"), {f"p{name}": name})[0]
    parts = (odd.parts[0].name, odd.parts[-1].name)
    finding = Finding("parts-overlap", "stop", parts, f"{name} $style ${{title}} %s", name, (10.0, 10.0, 10.0), 1.0, 0.0,
                      "mm", name, lines=(name,))
    of = job(odd, finding, replace(finding, accepted=name), unreleased=name)
    read = page(of, tmp_path)
    plain = page(job(freeze(small_desk(), {"p": "x"})[0], replace(finding, parts=("front", "left")),
                     replace(finding, parts=("front", "left"), accepted="x"), unreleased="x"), tmp_path)
    assert {each.tag for each in read.iter()} - {each.tag for each in plain.iter()} <= {SVG + "g"}
    assert not read.xpath("//script | //iframe | //img | //*[local-name()='foreignObject'] | //form | //link")
    assert all(not attribute.startswith("on") and attribute not in ("style", "src")
               for each in read.iter() for attribute in each.attrib)
    assert next(text(each) for each in read.xpath("//*[@data-finding]//p[@class='message']")).endswith(
        "$style ${title} %s")


def test_it_asks_for_nothing_else(model: DeskModel) -> None:
    data = export_report(job(model, STOP)).files[NAME]
    read = html.fromstring(data)
    policy, = read.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
    style, = read.xpath("//style")
    digest = base64.b64encode(hashlib.sha256(style.text.encode()).digest()).decode()
    assert policy.startswith("default-src 'none'")
    assert f"style-src 'sha256-{digest}'" in policy
    assert all(href.startswith("#") and read.xpath(f"//*[@id='{href[1:]}']") for href in read.xpath("//@href"))
    assert set(re.findall(rb"https?://[^\"' <]+", data)) == {b"http://www.w3.org/2000/svg"}
    assert not re.search(rb"url\(|@import", data)


def test_the_same_bytes_each_time(model: DeskModel) -> None:
    again = freeze(small_desk(), {"wood": "ash", "width": 600})[0]
    assert export_report(job(model, STOP, TAKEN)).files == export_report(job(again, STOP, TAKEN)).files


def test_four_hundred_findings(model: DeskModel, tmp_path: Path) -> None:
    many = [replace(STOP, parts=("supply", "front"), message=f"number {i} of many", measured=4.0 - i * 0.005)
            for i in range(390)]
    few = [replace(WARN, message=f"row {i}") for i in range(10)]
    read = page(job(model, *many, *few, unreleased="390 findings stop the build"), tmp_path)
    told = {each.get("data-finding"): text(each) for each in read.xpath("//*[@data-finding]")}
    assert set(told) == {str(i) for i in range(1, 401)}
    assert {m for said in told.values() for m in re.findall(r"number \d+ of many|row \d+", said)} == {
        finding.message for finding in (*many, *few)}
    pictures = read.xpath("//article[@data-finding]")
    assert len(pictures) == 24
    assert "24 of 400 findings have a picture" in text(section(read, "findings"))
    shown = {each.get("data-finding") for each in pictures}
    assert "390" in shown  # the gravest of its kind: the least gap
    assert shown & {str(i) for i in range(391, 401)}  # and one of the other kind
    assert (tmp_path / NAME).stat().st_size < 1_000_000


def numbers(path: str) -> list[float]:
    return [float(each) for each in re.findall(r"-?\d+(?:\.\d+)?", path)]


def red(card: html.HtmlElement) -> list[list[float]]:
    return [numbers(each.get("d")) for each in card.xpath(".//*[local-name()='path'][@class='measured']")]


def test_a_gap_is_drawn_to_scale(tmp_path: Path) -> None:
    """Two rails side by side, 8 mm apart: the red line between them is 8 mm long at 1 : 1, 4 mm at 1 : 2."""
    d = Desk("pair")
    d.place(Member("one", (22, 60), 300, "ash"), at=(0, 0, 0))
    d.place(Member("other", (22, 60), 300, "ash"), at=(0, 30, 0))
    model = freeze(d)[0]
    finding = Finding("gap-too-small", "stop", ("one", "other"), "too near", "move", (150.0, 22.0, 30.0), 8.0, 10.0, "mm",
                      span=((150.0, 22.0, 30.0), (150.0, 30.0, 30.0)))
    read = page(job(model, finding), tmp_path)
    card, = read.xpath("//article[@data-finding]")
    said = " ".join(card.xpath(".//*[local-name()='text']/text()"))
    assert "from above, z = 30; 1 : 2" in said
    assert "from the right, x = 150; 1 : 2" in said
    assert said.count("8 mm") == 2
    lines = [each for each in red(card) if len(each) == 4]
    long = [each for each in lines if abs(abs(each[2] - each[0]) + abs(each[3] - each[1]) - (4.0 + 10.0)) < 0.01]
    assert len(long) == 2  # 8 mm at 1 : 2, and a tail of 5 on each side, once upright and once across
    # what is cut of "one" from the right: 22 × 60 at 1 : 2 is 11 wide and 30 high, by hand; the view shows 39
    cut = [each for each in (numbers(p.get("d")) for p in card.xpath(".//*[local-name()='path'][@class='visible']"))
           if abs(max(each[::2]) - min(each[::2]) - 11.0) < 0.01 and abs(max(each[1::2]) - min(each[1::2]) - 30.0) < 0.01]
    assert len(cut) == 2


def test_an_overlap_is_the_area_that_both_share(tmp_path: Path) -> None:
    d = Desk("pair")
    d.place(Member("one", (22, 60), 300, "ash"), at=(0, 0, 0))
    d.place(Member("other", (22, 60), 300, "ash"), at=(200, 18, 20))
    model = freeze(d)[0]
    box = ((200.0, 18.0, 20.0), (300.0, 22.0, 60.0))
    overlap = Overlap("one", "other", "overlap", 100.0 * 4.0 * 40.0, 4.0, (250.0, 20.0, 40.0), box)
    finding = Finding("parts-overlap", "stop", ("one", "other"), "they overlap", "move", overlap.point, 4.0, 0.0, "mm")
    read = page(job(model, finding, fit=FitReport(overlaps=(overlap,))), tmp_path)
    card, = read.xpath("//article[@data-finding]")
    reds = [numbers(each.get("d")) for each in card.xpath(".//*[local-name()='path'][@fill='#c81e1e']")]
    said = " ".join(card.xpath(".//*[local-name()='text']/text()"))
    scale = 2.0 if "1 : 2" in said else 5.0
    sizes = {(round((max(e[::2]) - min(e[::2])) * scale, 1), round((max(e[1::2]) - min(e[1::2])) * scale, 1)) for e in reds}
    assert sizes == {(100.0, 4.0), (4.0, 40.0)}  # from above, from the right: 100 × 4 and 4 × 40, by hand


def test_a_file_that_lost_something_does_not_read_back(model: DeskModel, tmp_path: Path) -> None:
    written = export_report(job(model, STOP))
    data = written.files[NAME]
    for spoilt in (data[:-200], data.replace(b"3.00 mm apart", b"4.00 mm apart"), data.replace(b'data-finding="1"', b""),
                   data.replace(b'data-check="web-too-thin"', b'data-check="x"'), data.replace(b"</h1>", b"<b></h1>"),
                   data.replace(b'data-bay="0"', b""), b"\xff" + data):
        assert spoilt != data
        (tmp_path / NAME).write_bytes(spoilt)
        with pytest.raises(BuildFault):
            written.read_back(tmp_path)


def test_a_desk_without_parts(tmp_path: Path) -> None:
    read = page(job(freeze(Desk("nothing"))[0]), tmp_path)
    assert "This desk holds no part." in text(read.body)


def test_every_file_that_is_written_is_told(model: DeskModel, tmp_path: Path) -> None:
    """The names in exports/README.md, which lists all files, against the page's own list."""
    read = page(job(model), tmp_path)
    told = [each.strip() for row in read.xpath("//section[@id='files']//tbody/tr") for each in text(row[0]).split(",")]
    readme = (Path(__file__).parents[2] / "exports" / "README.md").read_text(encoding="utf-8")
    names = []
    for line in readme.splitlines():
        if line.startswith("| `"):
            first: list[str] = re.findall(r"`([^`]+)`", line.split("|")[1])
            for name in first:
                names.append(names[-1].rpartition(".")[0] + name if re.fullmatch(r"\.[a-z0-9]+", name) else name)
    assert len(names) > 30
    for name in names:
        assert any(fnmatch.fnmatch(name, pattern) for pattern in told), f"{name} is told nowhere on the page"
