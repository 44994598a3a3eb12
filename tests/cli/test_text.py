"""What is printed of findings, outcomes and faults: complete, labelled, and harmless on a terminal."""

from __future__ import annotations

import io
import re

import pytest

from deskmodel.cli.progress import TerminalProgress
from deskmodel.cli.text import Style, findings_text, input_fault_text, made_text, one_line, summary_text
from deskmodel.errors import InputFault
from deskmodel.findings import CheckOutcome, Finding, Severity

PLAIN = Style()


def finding(part: str = "back rail", severity: Severity = "stop", measured: float | None = 2.0, accepted: str | None = None,
            lines: tuple[str, ...] = ("desk.py:41",), message: str = "they overlap") -> Finding:
    return Finding("parts-overlap", severity, (part, "under-plate"), message, "shorten one", (450.0, 430.25, 1.5), measured,
                   0.0, "mm", "ISO 273", accepted, lines)


def outcome(*findings: Finding) -> CheckOutcome:
    return CheckOutcome("parts-overlap", "findings", findings)


def rows(text: str) -> dict[str, str]:
    """Label -> text, of one card."""
    found: dict[str, str] = {}
    label = ""
    for line in text.splitlines()[1:]:
        if not line.startswith("     "):
            label, _, rest = line.strip().partition(" ")
            found[label] = rest.strip()
        else:
            found[label] += " " + line.strip()
    return found


def test_a_card_says_everything() -> None:
    text = findings_text([outcome(finding())], PLAIN)
    assert text.splitlines()[0] == "[STOP] parts-overlap"
    assert rows(text) == {"parts": "back rail × under-plate", "where": "x 450.0  y 430.2  z 1.5 mm", "measured": "2 mm",
                          "needed": "0 mm", "what": "they overlap", "do": "shorten one", "script": "desk.py:41",
                          "source": "ISO 273"}


@pytest.mark.parametrize(("value", "shown"), [
    (0.05, "0.05 mm"), (1e-6, "1.0e-06 mm"), (12345.678, "12,345.678 mm"), (-0.0, "0 mm"), (100.0, "100 mm"),
    (0.0499, "0.05 mm"), (0.0494, "0.049 mm")])
def test_numbers(value: float, shown: str) -> None:
    assert rows(findings_text([outcome(finding(measured=value))], PLAIN))["measured"] == shown


def test_the_worst_comes_first_and_accepted_ones_last() -> None:
    text = findings_text([outcome(finding("a", "note", lines=()), finding("b", accepted="known", lines=()),
                                  finding("c", "warn", lines=()), finding("d", lines=()))], PLAIN)
    assert re.findall(r"^\[(\w+)\]", text, re.MULTILINE) == ["STOP", "WARN", "NOTE", "ACCEPTED"]
    assert "accepted    known" in text


def test_findings_from_one_line_share_a_card() -> None:
    many = [finding(f"screw {i}", measured=1.0 + i / 100) for i in range(1, 31)]
    text = findings_text([outcome(*many)], PLAIN)
    assert text.count("[STOP]") == 1
    said = rows(text)
    assert said["parts"] == "screw 30 × under-plate"  # the worst
    assert said["also"].startswith("29 more from the same line, with screw 1; screw 2; screw 3;")
    assert said["also"].endswith("and 17 more")
    assert findings_text([outcome(*many[:2], finding("x", lines=("desk.py:9",)))], PLAIN).count("[STOP]") == 2


@pytest.mark.parametrize("hostile", ["\x1b[31mred\x1b]0;title\x07", "a\r\nb", "\u202eright to left", "tab\there", "\x9b2J"])
def test_names_cannot_move_the_cursor(hostile: str) -> None:
    for text in (findings_text([outcome(finding(hostile, message=hostile))], PLAIN),
                 summary_text(hostile, "abc", 1, 1, [CheckOutcome("x", "not-checked", reason=hostile)], PLAIN),
                 input_fault_text(InputFault(hostile, allowed=hostile, file=hostile, key=hostile), PLAIN),
                 made_text(hostile, {}, (), None, PLAIN)):
        assert all(c.isprintable() or c == "\n" for c in text)
    assert "\n" not in one_line(hostile)


def test_what_was_not_checked_is_said_with_its_reason() -> None:
    outcomes = [CheckOutcome("a", "passed"), CheckOutcome("b", "not-checked", reason="no kernel"),
                CheckOutcome("c", "not-checked", reason="no kernel"), CheckOutcome("d", "crashed", reason="KeyError: 1"),
                CheckOutcome("e", "not-checked", reason="not asked for", deselected=True)]
    text = summary_text("shelf", "abcdef", 134, 10665, outcomes, PLAIN)
    assert "134 parts, 10,665 pairs" in text
    assert "b, c not checked: no kernel" in text
    assert "d crashed: KeyError: 1" in text
    assert "1 checks, by --only" in text
    assert "3 checks not done" in text
    assert "nothing found" not in text
    clean = summary_text("shelf", "abcdef", 1, 0, [CheckOutcome("a", "passed")], PLAIN)
    assert clean.endswith("nothing found")
    assert not re.search(r"safe|compl", clean)


def test_colour_is_only_paint() -> None:
    painted = findings_text([outcome(finding())], Style(colour=True))
    assert "\x1b[31;1m[STOP]\x1b[0m" in painted
    assert re.sub(r"\x1b\[[0-9;]*m", "", painted) == findings_text([outcome(finding())], PLAIN)


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(("terminal", "wanted", "environment", "colour"), [
    (True, True, {}, True), (True, False, {}, False), (False, True, {}, False), (True, True, {"NO_COLOR": "1"}, False),
    (True, True, {"NO_COLOR": ""}, True), (True, True, {"TERM": "dumb"}, False)])
def test_when_there_is_colour(terminal: bool, wanted: bool, environment: dict[str, str], colour: bool,
                              monkeypatch: pytest.MonkeyPatch) -> None:
    """https://no-color.org: when present and not empty."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert Style.of(Terminal() if terminal else io.StringIO(), wanted=wanted).colour is colour


def test_lines_stay_within_the_width() -> None:
    text = findings_text([outcome(finding("x" * 300, message="word " * 100))], Style(width=60))
    assert max(map(len, text.splitlines())) <= 60


def test_progress_on_a_terminal_is_one_line() -> None:
    stream = Terminal()
    progress = TerminalProgress(stream)
    progress.step("measuring")
    for i in range(1000):
        progress.count(i, 1000)
    progress.end()
    assert "\n" not in stream.getvalue()
    assert stream.getvalue().endswith("\r\x1b[K")
    assert stream.getvalue().count("\r") < 50


def test_progress_elsewhere_says_nothing_of_short_work() -> None:
    stream = io.StringIO()
    progress = TerminalProgress(stream)
    for i in range(1000):
        progress.step("measuring")
        progress.count(i, 1000)
    progress.end()
    assert stream.getvalue() == ""
