"""The focus, the walk through a list and the scroll place of whoever works by keys outlast a save and what a card does."""

from __future__ import annotations

from collections.abc import Callable

from deskmodel import Desk, Member
from deskmodel.page import Scene
from tests.page.conftest import Live
from tests.page.desks import bored, page_desk, plain_rails
from tests.page.steps import parts_tab, pick, settle

HELD = "document.activeElement.textContent"


def test_the_focus_stays_on_what_it_was_on(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def rails(*names: str) -> Scene:
        d = Desk("rails")
        for number, name in enumerate(names):
            d.place(Member(name, (22, 60), 400, "ash"), at=(0, 50 * number, 0))
        return seen(d)

    page = live.show(rails("a", "b", "c"))
    findings = page.locator("#findings .finding")
    findings.filter(has_text="b").last.focus()
    said = page.evaluate(HELD)
    live.show(rails("new", "a", "b", "c"))
    assert page.evaluate(HELD) == said
    parts_tab(page)
    page.locator("#list .part", has_text="b").focus()
    live.show(rails("another", "new", "a", "b", "c"))
    assert page.evaluate(HELD) == "b"
    live.show(rails("new", "a", "c"))  # it is gone: what stands in its place
    assert page.evaluate("document.activeElement.matches('#list .part')")
    page.locator("#list summary").focus()
    live.show(rails("a", "c"))
    assert page.evaluate("document.activeElement.tagName") == "SUMMARY"
    pick(page, "c")
    page.locator("[data-act=fit]").focus()
    live.show(rails("a", "b", "c"))
    assert page.evaluate("document.activeElement.dataset.act") == "fit"


def test_what_a_card_does_by_keyboard_leaves_the_focus_there(live: Live, seen: Callable[[Desk], Scene]) -> None:
    page = live.show(seen(bored(lead=100, air=300)))
    parts_tab(page)
    pick(page, "rail")
    for act in ("ghost", "hide", "only"):
        page.locator(f"[data-act={act}]").focus()
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.dataset.act") == act
    page.locator("#right li", has_text="hole lead").get_by_role("button", name="measure").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "Pick two places"  # the card's own head
    page.get_by_role("button", name="Start again").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "Start again"
    page.get_by_role("button", name="Close details").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "picture"


def test_a_list_is_one_stop_whatever_is_unfolded(live: Live, seen: Callable[[Desk], Scene]) -> None:
    def stops() -> list[str]:
        found: list[str] = page.locator("#list button").evaluate_all(
            "all => all.filter(each => each.tabIndex === 0 && each.checkVisibility()).map(each => each.textContent)")
        return found

    page = live.show(seen(page_desk()))
    parts_tab(page)
    assert len(stops()) == 1
    page.locator("#list summary", has_text="Hardware").click()
    page.locator("#list .part", has_text="dowel").first.wait_for()
    assert len(stops()) == 1
    page.locator("#list .part", has_text="front").first.focus()
    for _ in range(page.locator("#list .part").count() - 1):
        page.keyboard.press("ArrowDown")
    assert stops() == [page.evaluate(HELD)] == page.locator("#list .part").last.all_text_contents()
    while "dowel" not in page.evaluate(HELD):
        page.keyboard.press("ArrowUp")
    assert stops() == [page.evaluate(HELD)]
    page.locator("#list summary", has_text="Hardware").click()  # the stop is folded away with its group
    settle(page)
    assert len(stops()) == 1
    assert "dowel" not in stops()[0]


def test_lists_and_cards_stay_where_they_were_scrolled_to(live: Live, seen: Callable[[Desk], Scene]) -> None:
    names = tuple(f"rail {number:02}" for number in range(50))
    page = live.show(seen(plain_rails(names)))
    page.locator("#findings").evaluate("each => { each.scrollTop = 400; }")
    live.show(seen(plain_rails((*names, "one more"))))
    assert page.locator("#findings").evaluate("each => each.scrollTop") == 400
    parts_tab(page)
    page.locator("#parts").evaluate("each => { each.scrollTop = 300; }")
    live.show(seen(plain_rails(names)))
    assert page.locator("#parts").evaluate("each => each.scrollTop") == 300

    page.set_viewport_size({"width": 1280, "height": 420})
    pick(page, "rail 20")
    page.locator("#right summary", has_text="Faces").click()
    page.locator("#right").evaluate("each => { each.scrollTop = 60; }")
    assert page.locator("#right").evaluate("each => each.scrollTop") == 60
    live.show(seen(plain_rails((*names, "one more"))))
    assert page.locator("#right h2").inner_text() == "rail 20"
    assert page.locator("#right summary", has_text="Faces").evaluate("each => each.parentElement.open")
    assert page.locator("#right").evaluate("each => each.scrollTop") == 60
