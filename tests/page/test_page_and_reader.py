"""Names are only text; keys reach everything; equal parts cost no further draw calls; nothing is drawn in idle."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.page.desks import HOSTILE
from tests.page.steps import at, settle, state

Opened = Callable[..., Page]


def test_hostile_names_are_text(opened: Opened) -> None:
    page = opened("hostile")
    page.get_by_role("tab", name="Parts").click()
    names = set(page.locator("#list .part .label").evaluate_all("all => all.map(each => each.textContent)"))
    assert names == set(HOSTILE)
    for number in range(len(HOSTILE)):
        page.locator("#list .part").nth(number).click()
        settle(page)
        assert page.locator("#right h2").evaluate("each => each.textContent") in HOSTILE
    page.locator("#by-bay").select_option(index=1)
    assert page.locator("#by-bay option").nth(1).evaluate("each => each.textContent") == f"bay {HOSTILE[1]}"
    assert page.evaluate("window.broken") is None
    assert page.locator("img, svg, iframe, object").count() == 0
    assert page.title() == f"{HOSTILE[0]} · desk"


def test_the_policy_refuses_what_the_page_does_not_do(opened: Opened) -> None:
    """Asked of the browser: scripts and styles that came in, and requests, are refused, whatever might put them there."""
    page = opened(noisy=True)
    refused = page.evaluate("""async () => {
        const said = [];
        document.addEventListener("securitypolicyviolation", (event) => said.push(event.effectiveDirective));
        const script = document.createElement("script");
        script.textContent = "window.broken = 1";
        document.body.append(script);
        await fetch("data:,x").catch(() => {});
        const button = document.createElement("button");
        button.setAttribute("onclick", "window.broken = 2");
        document.body.append(button);
        button.click();
        await new Promise((done) => setTimeout(done, 50));
        return [said, window.broken ?? null];
    }""")
    assert refused[1] is None
    assert {"script-src-elem", "connect-src", "script-src-attr"} <= set(refused[0])


def test_all_by_keys(opened: Opened) -> None:
    page = opened()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the picture"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "tab-findings"
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"  # the focus is seen
    page.keyboard.press("ArrowRight")
    assert page.locator("#parts").is_visible()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    assert state(page)["finding"] is not None
    page.locator("#picture").focus()
    was = state(page)["eye"]
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("+")
    now = state(page)["eye"]
    assert now["turn"] != was["turn"]
    assert now["height"] < was["height"]
    page.keyboard.press("a")
    page.keyboard.press("2")
    page.keyboard.press("Enter")
    picked = state(page)["picked"]
    assert picked is not None
    page.keyboard.press("h")
    assert state(page)["hidden"] == [picked]
    page.keyboard.press("h")
    page.keyboard.press("o")
    assert state(page)["only"] == [picked]
    page.keyboard.press("o")
    page.keyboard.press("m")
    assert page.locator("#measure").get_attribute("aria-pressed") == "true"
    page.keyboard.press("Escape")
    assert page.locator("#measure").get_attribute("aria-pressed") == "false"
    page.keyboard.press("?")
    assert page.get_by_role("dialog").is_visible()
    assert "next finding" in page.get_by_role("dialog").inner_text()
    page.keyboard.press("Escape")


def test_every_button_and_field_has_a_name(opened: Opened) -> None:
    page = opened()
    page.get_by_role("tab", name="Parts").click()
    page.locator("#list .part").first.click()
    nameless = page.evaluate("""() => [...document.querySelectorAll("button, input, select, canvas, [role]")]
        .filter((each) => !(each.textContent.trim() || each.getAttribute("aria-label") || each.labels?.length
          || each.getAttribute("aria-labelledby") || each.getAttribute("aria-hidden"))).map((each) => each.outerHTML)""")
    assert [each for each in nameless if 'hidden=""' not in each] == []


def test_equal_parts_are_drawn_at_one_stroke_and_nothing_in_idle(opened: Opened) -> None:
    page = opened()
    seen = state(page)
    # two joined meshes at most (solid, glass), and one for each shape that is there several times: dowels, ends with equal
    # holes, the two small blocks; faces and edges of each
    assert seen["frames"]["calls"] <= 2 * (1 + 3)
    drawn = seen["frames"]["drawn"]
    page.wait_for_timeout(300)
    assert page.evaluate("deskPage.state().frames.drawn") == drawn


def test_a_card_on_a_narrow_page_leaves_the_desk_in_sight(opened: Opened) -> None:
    page = opened()
    page.set_viewport_size({"width": 700, "height": 800})
    page.get_by_role("button", name="Whole desk").click()
    settle(page)
    page.get_by_role("tab", name="Parts").click()
    for _ in range(2):  # the card opens, below the picture, and closes
        page.locator("#list .part", has_text="front").click()
        seen = [at(page, (x, y, z)) for x in (0, 400) for y in (0, 200) for z in (-1.5, 62.5)]
        stage, bars = page.locator("#picture").bounding_box(), page.locator("#tools").bounding_box()
        assert stage is not None
        assert bars is not None
        assert min(y for _, y in seen) > 0
        assert max(y for _, y in seen) < bars["y"] - stage["y"]
        page.get_by_role("button", name="Close details").click()


def test_a_desk_without_parts(opened: Opened) -> None:
    page = opened("empty")
    assert state(page)["visible"] == 0
    assert "0 parts" in page.locator("#facts").inner_text()
    page.get_by_role("button", name="Above").click()
    page.locator("#picture").click()
    assert state(page)["picked"] is None


def test_a_cover_that_strikes_is_shown_where_it_strikes(opened: Opened) -> None:
    page = opened("striking")
    page.locator(".finding", has_text="strikes").or_(page.locator(".finding", has_text="cover")).first.click()
    seen = state(page)
    finding = page.evaluate("deskPage.state().finding")
    assert finding is not None
    assert len(seen["open"]) == 1
    share, = seen["open"].values()
    assert 0 < share < 1
    assert page.locator("#right").inner_text().count("strikes") >= 1


@pytest.mark.slow
def test_the_duty_desk(opened: Opened) -> None:
    """495 parts: everything in it can be picked from the list, and the page says of each what it is."""
    page = opened("duty")
    page.get_by_role("tab", name="Parts").click()
    page.locator("#by-kind").select_option(label="Members")
    for number in range(page.locator("#list .part").count()):
        row = page.locator("#list .part").nth(number)
        row.click()
        assert page.locator("#right h2").inner_text() == row.inner_text()
        assert " mm" in page.locator("#right dl").inner_text()
    assert state(page)["frames"]["calls"] < 80
