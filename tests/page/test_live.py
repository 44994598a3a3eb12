"""The live page with a stand-in for its server: it shows each round, fetches what is new and nothing else, keeps the last
good view under a fault, and highlights what changed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from deskmodel.page import Scene
from tests.page.desks import checked, page_desk
from tests.page.server import StandIn
from tests.page.steps import state


@pytest.fixture(scope="module")
def scenes() -> tuple[Scene, Scene]:
    """Before and after: the block moved by 20 and out of the front rail, the bore 10 to the right."""
    session, first = checked(page_desk())
    before = session.scene(first)
    _, second = checked(page_desk(deep=0.0, bore=110.0, block=80.0), session)
    return before, session.scene(second, before=before)


@pytest.fixture
def server() -> Iterator[StandIn]:
    made = StandIn()
    yield made
    made.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 800}, reduced_motion="reduce")
    yield context.new_page()
    context.close()


def drawn(page: Page, number: int) -> None:
    page.wait_for_selector(f"html[data-round='{number}']")


def test_rounds(server: StandIn, page: Page, scenes: tuple[Scene, Scene]) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if "GL Driver" not in message.text else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    before, after = scenes
    number = server.show(before)
    page.goto(server.url)
    drawn(page, number)
    assert state(page)["changed"] == []
    assert set(before.shapes) == {each.removeprefix("shape/") for each in server.asked if each.startswith("shape/")}
    was = page.evaluate("deskPage.poseOf('block')")

    page.evaluate("deskPage.turnTo(0.3, 0.4)")
    server.asked.clear()
    number = server.show(after, changes={"new": [], "still": [0], "gone": [
        {"id": "parts-overlap", "parts": ["block", "front"], "message": "they overlap <b>no more</b>"}]})
    drawn(page, number)
    seen = state(page)
    assert page.evaluate("deskPage.poseOf('block')")[3] - was[3] == pytest.approx(20)
    assert seen["changed"] == ["block", "front"]
    assert page.locator("#news").inner_text() == "0 new · 1 gone ◆ 2 parts changed"  # what their colour means
    assert seen["eye"]["turn"] == pytest.approx(0.3)  # the reader's own view stays
    asked = {each.removeprefix("shape/") for each in server.asked if each.startswith("shape/")}
    assert asked == set(after.shapes) - set(before.shapes)  # the front rail with its other bore, and nothing else
    assert page.locator(".gone").inner_text() == "gone: they overlap <b>no more</b>"

    text = "desk.py:3 name 'raill' is not defined <script>window.broken = 1</script>"
    number = server.show(None, fault=text)
    drawn(page, number)
    assert page.locator("#fault pre").inner_text() == text
    assert page.locator("#fault").is_visible()
    assert state(page)["visible"] == len(after.record["parts"])  # the last good view stays
    assert page.evaluate("window.broken ?? null") is None

    number = server.show(before)
    drawn(page, number)
    assert page.locator("#fault").is_hidden()
    assert said == []


def test_the_verdict_is_there_before_the_desk(server: StandIn, page: Page, scenes: tuple[Scene, Scene]) -> None:
    first = server.show(scenes[0])
    page.goto(server.url)
    drawn(page, first)
    asked = len(server.asked)
    server.begin()
    page.wait_for_selector("#verdict.none")
    assert page.locator("#verdict").inner_text() == "… Checking"
    checks = [{"id": "parts-overlap", "outcome": "findings"}]
    number = server.tell(findings=[{"severity": "stop", "accepted": None}, {"severity": "stop", "accepted": "it is glued"}],
                         checks=checks, changes={"new": 2, "gone": 1, "still": 0})
    page.wait_for_selector(f"html[data-verdict='{number}']")
    assert page.locator("#verdict").inner_text() == "■ 1 finding stops the build"
    assert page.locator("#news").inner_text() == "2 new · 1 gone"
    assert page.locator("#desk").get_attribute("aria-busy") == "true"
    assert page.locator("html").get_attribute("data-round") == str(first)
    assert len(server.asked) == asked  # the desk of that round is not to be had yet

    server.show(scenes[1])
    drawn(page, number)
    stops = sum(each["severity"] == "stop" and each["accepted"] is None for each in scenes[1].record["findings"])
    assert stops > 1
    assert page.locator("#verdict").inner_text() == f"■ {stops} findings stop the build"  # what the record says holds
    assert page.locator("#news").inner_text() == "◆ 2 parts changed"
    assert page.locator("#desk").get_attribute("aria-busy") is None

    number = server.tell(fault={"text": "desk.py:2 <b>invalid</b> syntax"})
    page.wait_for_selector(f"html[data-verdict='{number}']")
    assert page.locator("#fault pre").inner_text() == "desk.py:2 <b>invalid</b> syntax"
    assert page.locator("#verdict").inner_text() == "? Not checked"
    assert page.locator("#desk").get_attribute("aria-busy") is None  # the desk that is shown is all there is
    server.show(None, fault="desk.py:2 <b>invalid</b> syntax")
    drawn(page, number)
    assert page.locator("#fault").is_visible()
    assert page.locator("#verdict").inner_text() == "? Not checked"
    page.reload()  # whoever comes later is told the same
    drawn(page, number)
    assert page.locator("#verdict").inner_text() == "? Not checked"
    server.tell(findings=[], checks=[], changes=None)
    page.wait_for_selector("#verdict.good")
    assert page.locator("#fault").is_hidden()


def test_a_newer_verdict_is_not_written_over(server: StandIn, page: Page, scenes: tuple[Scene, Scene]) -> None:
    """Two saves in quick succession: the desk of the first is drawn when the verdict of the second is known."""
    server.show(scenes[0])
    page.goto(server.url)
    drawn(page, 1)
    page.evaluate("""() => {
        window.texts = [];
        new MutationObserver(() => window.texts.push(document.querySelector("#verdict").textContent))
            .observe(document.querySelector("#verdict"), {childList: true});
    }""")
    server.show(scenes[1])
    number = server.tell(findings=[], checks=[{"id": "parts-overlap", "outcome": "crashed"}], changes=None)
    page.wait_for_selector(f"html[data-verdict='{number}']")
    drawn(page, number - 1)
    newest = "■ 1 check not done: that holds the build back"
    assert page.locator("#verdict").inner_text() == newest
    told = page.evaluate("texts")
    assert set(told[told.index(newest):]) == {newest}


def test_a_picked_part_stays_picked(server: StandIn, page: Page, scenes: tuple[Scene, Scene]) -> None:
    number = server.show(scenes[0])
    page.goto(server.url)
    drawn(page, number)
    page.get_by_role("tab", name="Parts").click()
    page.locator("#list .part", has_text="neighbour").click()
    page.locator("[data-act=ghost]").click()
    number = server.show(scenes[1])
    drawn(page, number)
    seen = state(page)
    assert seen["picked"] == "neighbour"
    assert seen["ghosts"] == ["neighbour"]
    assert page.locator("#right h2").inner_text() == "neighbour"


def test_a_fault_before_anything_could_be_shown(server: StandIn, page: Page) -> None:
    number = server.show(None, fault="desk.py:1 invalid syntax")
    page.goto(server.url)
    drawn(page, number)
    assert "invalid syntax" in page.locator("#fault").inner_text()
    assert page.locator("#loading").inner_text() == "There is no desk to show yet."


def test_before_the_first_round_it_says_what_it_waits_for(server: StandIn, page: Page) -> None:
    with page.expect_request("**/events"):
        page.goto(server.url)
    page.wait_for_timeout(300)  # the connection that opens changes nothing
    assert page.locator("#loading").inner_text() == "Waiting for the first check …"


def test_a_page_that_nobody_sees_listens_no_more_and_catches_up(server: StandIn, page: Page,
                                                                scenes: tuple[Scene, Scene]) -> None:
    server.show(scenes[0])
    page.goto(server.url)
    drawn(page, 1)
    hide = """hidden => {
        Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
        document.dispatchEvent(new Event("visibilitychange"));
    }"""
    page.evaluate(hide, True)
    number = server.show(scenes[1])
    page.wait_for_timeout(500)
    assert page.locator("html").get_attribute("data-round") == "1"
    assert server.asked.count("events") == 1
    page.evaluate(hide, False)
    drawn(page, number)
    assert server.asked.count("events") == 2


def test_an_address_that_is_gone_is_told_and_tried_again(server: StandIn, page: Page, scenes: tuple[Scene, Scene]) -> None:
    server.show(scenes[0])
    page.route("**/events", lambda route: route.fulfill(status=404))
    page.goto(server.url)
    page.wait_for_function("document.querySelector('#loading').textContent.includes('open the address it prints')")
    page.unroute("**/events")
    drawn(page, 1)
    assert page.locator("#loading").is_hidden()
