"""What the reader holds when the desk is saved: a measurement, a card, a filter, a finding, the focus. Each goes on to tell
of the desk as it is now, or goes away with what it told of."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from deskmodel import Desk, Hole, Member
from deskmodel.materials import material
from deskmodel.page import Scene
from tests.page.conftest import Live
from tests.page.desks import bored, page_desk
from tests.page.steps import at, parts_tab, pick, state


def edited(scene: Scene, edit: Callable[[dict[str, Any]], None]) -> Scene:
    record = json.loads(json.dumps(scene.record))
    edit(record)
    return Scene(record, scene.shapes)


def measure_bore(page: Page, rail: str, bore: str) -> None:
    pick(page, rail)
    page.locator("#right li", has_text=f"hole {bore}").get_by_role("button", name="measure").click()


def test_a_measurement_is_taken_anew(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(seen(bored(lead=100, air=300)))
    parts_tab(page)
    measure_bore(page, "rail", "lead")
    measure_bore(page, "rail", "air")
    assert page.locator("#right h2").inner_text() == "200 mm"  # 300 - 100
    live.show(seen(bored(lead=110, air=300)))
    assert page.locator("#right h2").inner_text() == "190 mm"
    assert state(page)["measured"]["value"] == pytest.approx(190, abs=1e-9)
    live.show(seen(bored(new=50, lead=110, air=320)))  # another bore before them: they are known by their names
    assert page.locator("#right h2").inner_text() == "210 mm"
    assert page.locator("#measure").get_attribute("aria-pressed") == "true"
    assert page.locator("#overlay .measure").count() == 3  # both ends and the length between them
    page.get_by_role("button", name="Start again").click()
    assert page.locator("#right h2").inner_text() == "Pick two places"
    assert page.locator("#measure").get_attribute("aria-pressed") == "true"


def test_a_measurement_goes_with_its_place(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(seen(bored(lead=100, air=300)))
    parts_tab(page)
    measure_bore(page, "rail", "lead")
    measure_bore(page, "rail", "air")
    live.show(seen(bored(lead=100)))
    assert page.locator("#right").is_hidden()
    assert page.locator("#measure").get_attribute("aria-pressed") == "false"
    assert page.locator("#overlay .measure").count() == 0
    assert state(page)["measured"] is None


def test_of_bores_with_one_name_the_one_that_stays_is_measured(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def twins(*places: float) -> Desk:
        d = Desk("twins")
        d.place(Member("rail", (22, 60), 400, "ash", tuple(Hole("face side", (x, 30), 20) for x in places)), at=(0, 0, 0))
        return d

    page = live.show(seen(twins(100, 300)))
    parts_tab(page)
    for number in (0, 1):
        pick(page, "rail")
        page.locator("#right li", has_text="hole").nth(number).get_by_role("button", name="measure").click()
    live.show(seen(twins(50, 100, 300)))
    assert page.locator("#right h2").inner_text() == "200 mm"
    live.show(seen(twins(50, 300)))  # the bore at 100 is gone, and nobody knows which of the others it is to be
    assert page.locator("#right").is_hidden()


def test_the_card_of_a_part_goes_with_the_part(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(seen(bored()))
    parts_tab(page)
    pick(page, "rail")
    assert page.locator("#right h2").inner_text() == "rail"
    page.locator("[data-act=ghost]").focus()
    live.show(seen(bored("bar")))  # another name
    assert state(page)["picked"] is None
    assert page.locator("#right").is_hidden()
    assert page.evaluate("document.activeElement.id") == "picture"
    assert state(page)["hidden"] == state(page)["ghosts"] == []


def test_a_filter_by_what_is_gone_shows_all(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def named(bay: str) -> Desk:
        d = bored()
        d.bay(bay, x=(0, 400), y=(22, 200))
        return d

    page = live.show(seen(named("A")))
    parts_tab(page)
    page.locator("#by-bay").select_option(label="A")
    assert page.locator("#shown").inner_text() == "1 of 2 parts shown"  # "behind", y 100 to 122
    live.show(seen(named("B")))
    assert page.locator("#by-bay").evaluate("each => each.selectedOptions[0].textContent") == "all"
    assert state(page)["filter"] == {"text": "", "kind": "", "bay": ""}
    assert state(page)["visible"] == page.locator("#list .part").count() == 2


def test_the_parts_that_are_shown_are_counted(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(seen(bored()))
    parts_tab(page)
    assert page.locator("#shown").inner_text() == "2 of 2 parts shown"
    pick(page, "rail")
    page.locator("[data-act=only]").click()
    assert page.locator("#shown").inner_text() == "1 of 2 parts shown"
    page.locator("[data-act=hide]").click()
    assert page.locator("#shown").inner_text() == "0 of 2 parts shown"


def width_seen(page: Page, box: tuple[tuple[float, float, float], tuple[float, float, float]]) -> float:
    """Share of the picture's width that a box takes; all of it must be inside."""
    size = page.locator("#picture").bounding_box()
    assert size is not None
    seen = [at(page, (box[i][0], box[j][1], box[k][2])) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    assert all(0 <= x <= size["width"] and 0 <= y <= size["height"] for x, y in seen), seen
    return float(max(x for x, _ in seen) - min(x for x, _ in seen)) / size["width"]


def test_the_eye_follows_a_desk_that_becomes_another(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def long(length: float, x: float = 0.0) -> tuple[Scene, tuple[tuple[float, float, float], tuple[float, float, float]]]:
        d = Desk("growing")
        d.place(Member("rail", (22, 60), length, "ash"), at=(x, 0, 0))
        return seen(d), ((x, 0, 0), (x + length, 22, 60))

    page = live.show(seen(Desk("nothing yet")))
    first, box = long(400)
    live.show(first)
    assert width_seen(page, box) > 0.6
    page.evaluate("deskPage.turnTo(0.2, 0.3)")
    was = state(page)["eye"]
    longer, _ = long(600)
    live.show(longer)
    assert state(page)["eye"] == was  # the reader's own
    three, box = long(1300)
    live.show(three)
    assert width_seen(page, box) > 0.6
    assert state(page)["eye"]["turn"] == pytest.approx(0.2)
    elsewhere, box = long(1300, 5000)
    live.show(elsewhere)
    assert width_seen(page, box) > 0.6


def test_the_last_good_desk_is_spoken_of_where_there_is_one(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(None, fault="desk.py:1 invalid syntax")
    assert "is not shown" in page.locator("#fault").inner_text()
    assert "last good desk" not in page.locator("#fault").inner_text()
    assert page.locator("#loading").inner_text() == "There is no desk to show yet."
    live.show(seen(bored()))
    live.show(None, fault="desk.py:1 invalid syntax")
    assert "This is the last good desk." in page.locator("#fault").inner_text()


def test_of_two_findings_about_the_same_parts_the_chosen_one_stays_chosen(
        live: Live, seen: Callable[[Desk], Scene]) -> None:
    plain = seen(page_desk())
    number = next(i for i, each in enumerate(plain.record["findings"]) if each["id"] == "gap-too-small")

    def gaps(*places: float) -> Scene:
        """The gap at each x instead of the one that is found."""
        def edit(record: dict[str, Any]) -> None:
            one = record["findings"][number]
            record["findings"][number:number + 1] = [
                {**one, "point": [x, 91.5, 20], "message": f"too near at x {x:g}", "evidence": None} for x in places]
        return edited(plain, edit)

    page = live.show(gaps(250, 280))
    page.evaluate("number => deskPage.choose(number)", number + 1)
    assert page.locator("#right .message").inner_text() == "too near at x 280"
    live.show(gaps(252, 283))
    assert page.locator("#right .message").inner_text() == "too near at x 283"
    live.show(gaps(283))  # the other one is mended
    assert page.locator("#right .message").inner_text() == "too near at x 283"
    assert page.locator(".finding[aria-current=true]").count() == 1
    live.show(gaps(283, 250))
    live.show(gaps(250))  # the chosen one is
    assert state(page)["finding"] is None
    assert page.locator("#right").is_hidden()
    assert page.locator(".finding[aria-current=true]").count() == 0


def test_of_two_gaps_at_one_place_the_one_that_is_left_is_not_taken_for_the_other(
        live: Live, seen: Callable[[Desk], Scene]) -> None:
    def two(apart: float) -> Desk:
        d = Desk("two gaps")
        a, b = (d.place(Member(name, (22, 60), 400, "ash"), at=(0, y, 0)) for name, y in (("a", 0), ("b", 22 + apart)))
        d.require_gap(a, b, 5, reason="air")
        d.require_gap(a, b, 8, reason="hand")
        return d

    page = live.show(seen(two(3)))
    page.locator("#findings .finding", has_text="5 mm required").click()
    live.show(seen(two(4)))
    assert "air" in page.locator("#right .message").inner_text()
    live.show(seen(two(6)))  # wide enough for air, too narrow for a hand
    assert page.locator("#findings .finding", has_text="8 mm required").count() == 1
    assert page.locator("#right").is_hidden()


def test_the_mass_says_what_it_is_without(live: Live, seen: Callable[[Desk], Scene]) -> None:
    """A rail 400 × 22 × 60 is 0.528 l. "equipment" has no density."""
    one = 0.528 * (material("ash").density or 0)  # g

    def rails(*of: str) -> Scene:
        d = Desk("masses")
        for number, wood in enumerate(of):
            d.place(Member(f"rail {number}", (22, 60), 400, wood), at=(0, 50 * number, 0))
        return seen(d)

    page = live.show(rails("ash", "equipment", "equipment"))
    assert f" · {one:.0f} g without 2 parts · " in page.locator("#facts").inner_text()
    live.show(rails("ash", "ash"))
    assert f" · {2 * one:.0f} g · " in page.locator("#facts").inner_text()
    live.show(rails("equipment"))
    assert " · mass not known · " in page.locator("#facts").inner_text()
    live.show(rails())
    assert " mg" not in page.locator("#facts").inner_text()


def test_nothing_can_be_done_before_there_is_a_desk(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(None, fault="desk.py:1 invalid syntax")
    for place in ("#views", "#tools", "#picture", "#left"):
        box = page.locator(place).bounding_box()
        assert box is not None
        for share in (0.1, 0.3, 0.5, 0.7, 0.9):
            page.mouse.click(box["x"] + share * box["width"], box["y"] + min(box["height"] / 2, 20))
    for key in ("n", "b", "g", "0", "2", "m", "a", "Enter", "Escape"):
        page.keyboard.press(key)
    for _ in range(8):
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.closest('main')") is None
    assert page.locator("#loading").is_visible()
    live.show(seen(bored()))
    page.get_by_role("button", name="Above", exact=True).click()
    page.locator("#picture").focus()
    page.keyboard.press("n")
    assert state(page)["finding"] is not None


def test_a_check_that_was_not_done_holds_the_build_back(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def undone(outcome: str, reason: str) -> Scene:
        def edit(record: dict[str, Any]) -> None:
            record["findings"] = []
            for check in record["checks"]:
                check["outcome"] = "passed"
            record["checks"][0] |= {"outcome": outcome, "reason": reason}
        return edited(seen(bored()), edit)

    page = live.show(undone("crashed", "KeyError"))
    assert page.locator("#verdict").inner_text() == "■ 1 check not done: that holds the build back"
    assert page.locator("#verdict").get_attribute("class") == "stop"
    live.show(undone("not-checked", "no solid"))
    assert page.locator("#verdict").get_attribute("class") == "stop"
    live.show(undone("not-checked", "left out"))  # by whoever asked for some checks only
    assert page.locator("#verdict").inner_text() == "■ Not judged as a whole: 1 check was left out"
    live.show(undone("passed", ""))
    assert page.locator("#verdict").inner_text() == "✓ Nothing stops the build"
