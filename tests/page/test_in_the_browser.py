"""The page in a real browser, opened from disk: it draws, and does what it offers. What is expected follows from the
statements of ``desks.py``."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from deskmodel.materials import material
from tests.page.installed import SIZE
from tests.page.steps import at, click_at, colour_at, near, open_slider, pixels, section, settle, state

Opened = Callable[..., Page]
VIEW = {"above": "Above", "front": "Front", "chair": "From the chair"}


def look(page: Page, view: str) -> None:
    page.get_by_role("button", name=VIEW[view], exact=True).click()
    settle(page)


def shaded(name: str, light: tuple[float, float]) -> tuple[float, float, float]:
    """The material's colour between two shares of light; the test allows for what lies between."""
    low, high = light
    red, green, blue = (255 * c * (low + high) / 2 for c in material(name).colour)
    return red, green, blue


def test_draws_each_part_in_the_colour_of_its_material_where_it_stands(opened: Opened) -> None:
    page = opened()
    look(page, "above")
    # the lid's middle, the top plate beside it; seen square to them
    for point in ((200, 100, 62.5), (50, 100, 62.5)):
        assert near(colour_at(page, point), shaded("aluminium", (0.9, 1.1)), 30), point
    look(page, "front")
    assert near(colour_at(page, (200, 0, 30)), shaded("ash", (0.8, 1.05)), 28)
    # the rim of the lead's bore is drawn: 10 above its axis the picture is dark
    x, y = at(page, (100, 0, 40))
    box = page.locator("#picture").bounding_box()
    assert box is not None
    left, top = round(box["x"] + x), round(box["y"] + y)
    assert np.asarray(pixels(page).crop((left - 3, top - 3, left + 4, top + 4)), dtype=float).mean(axis=2).min() < 110
    assert near(pixels(page).getpixel((1200, 160)), (0xE8, 0xE6, 0xE1), 2)  # beside the desk: --stage, light


def test_where_nothing_can_be_drawn_the_lists_are_there(browser: Browser, built: Callable[[str], Path]) -> None:
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce")  # type: ignore[arg-type]  # a plain dict
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    page.goto(built("desk").as_uri())
    page.wait_for_selector("html[data-ready=true]")
    assert "cannot draw" in page.locator("#loading").inner_text()
    assert "stop the build" in page.locator("#verdict").inner_text()
    assert page.locator("#tools").is_hidden()
    page.locator("#findings button.finding").first.click()
    assert "What to do" in page.locator("#right").inner_text()
    page.get_by_role("tab", name="Parts").click()
    page.locator("#list .part", has_text="neighbour").click()
    assert page.locator("#right h2").inner_text() == "neighbour"
    page.locator("#picture").click(position={"x": 30, "y": 30})
    page.keyboard.press("g")
    assert errors == []
    context.close()


def test_light_and_dark_are_the_readers(opened: Opened) -> None:
    found = {}
    for scheme in ("light", "dark"):
        page = opened(color_scheme=scheme)
        picture = np.asarray(pixels(page), dtype=float)
        found[scheme] = picture[:, :250].mean(), picture[300:500, 1150:1250].mean()
    assert found["light"][0] > 200 > 80 > found["dark"][0]
    assert found["light"][1] > 200 > 80 > found["dark"][1]


def test_a_click_picks_the_part_and_tells_of_it(opened: Opened) -> None:
    page = opened()
    look(page, "front")
    click_at(page, (200, 0, 30))
    assert state(page)["picked"] == "front"
    card = page.locator("#right").inner_text()
    for text in ("front", "ash", "400 × 22 × 60 mm", "drill", "hole lead", "Ø 20, through", "joints"):
        assert text in card, text
    # 400 × 22 × 60 less two bores of 20 and, in its back, two rows of two dowel holes; ash 690 kg/m³: 0.34 kg at most
    assert "g" in card.split("Mass")[1].split("\n")[1]
    click_at(page, (200, 0, -40))  # beside the desk: nothing
    assert state(page)["picked"] is None
    assert page.locator("#right").is_hidden()


def test_hide_isolate_and_see_through(opened: Opened) -> None:
    page = opened()
    look(page, "front")
    behind = colour_at(page, (200, 0, 30))
    click_at(page, (200, 0, 30))
    page.locator("[data-act=hide]").click()
    assert state(page)["hidden"] == ["front"]
    assert page.evaluate("([x, y]) => deskPage.seenAt(x, y).part", list(at(page, (200, 0, 30)))) == "back"
    page.locator("[data-act=hide]").click()
    page.locator("[data-act=only]").click()
    assert state(page)["only"] == ["front"]
    assert state(page)["visible"] == 1
    page.locator("[data-act=only]").click()
    page.locator("[data-act=ghost]").click()
    assert state(page)["ghosts"] == ["front"]
    page.keyboard.press("Escape")
    page.locator("#everything").click()
    seen = state(page)
    assert (seen["hidden"], seen["only"], seen["ghosts"]) == ([], None, [])
    look(page, "front")
    assert near(colour_at(page, (200, 0, 30)), behind, 2)


def test_filter_by_name_kind_and_bay(opened: Opened) -> None:
    page = opened()
    total = state(page)["visible"]
    page.get_by_role("tab", name="Parts").click()
    page.locator("#by-kind").select_option(label="Hardware")
    page.locator("#list .part").first.wait_for()  # the browser lays out what a group holds in a frame of its own
    dowels = sum("dowel" in text for text in page.locator("#list .part").all_text_contents())
    assert state(page)["visible"] == dowels == 8  # two in each of four joints
    page.locator("#by-kind").select_option(label="all")
    page.locator("#by-name").fill("END")
    assert page.locator("#shown").inner_text().startswith("10 of")  # two ends, and their eight dowels by name
    page.locator("#by-name").fill("")
    page.locator("#by-bay").select_option(label="A")
    page.locator("#list .part", has_text="block").wait_for()
    shown = page.locator("#list").text_content() or ""
    for name in ("block", "neighbour", "near it", "lid"):
        assert name in shown
    assert "under-plate" not in shown
    page.locator("#by-bay").select_option(label="all")
    assert state(page)["visible"] == total


def test_covers_open_along_their_travel(opened: Opened) -> None:
    page = opened()
    before = page.evaluate("deskPage.poseOf('lid')")
    open_slider(page, "open-covers", 50)
    assert state(page)["open"] == {"lid": 0.5}
    after = page.evaluate("deskPage.poseOf('lid')")
    assert after[11] - before[11] == pytest.approx(45)  # half of its 90
    assert page.evaluate("deskPage.poseOf('lid backing')")[11] == pytest.approx(before[11] - 0.15 - 6 + 45)  # glue, backing
    assert after[:11] == before[:11]
    page.get_by_role("tab", name="Parts").click()
    page.locator("#list .part", has_text="lid").first.click()
    page.locator("[data-act=open]").click()
    assert page.evaluate("deskPage.poseOf('lid')") == before


def test_drawn_apart(opened: Opened) -> None:
    page = opened()
    def height(name: str) -> float:
        return float(page.evaluate("name => deskPage.poseOf(name)[11]", name))

    before = {name: height(name) for name in ("lid", "top plate", "front", "under-plate")}
    open_slider(page, "draw-apart", 100)
    rise = {name: height(name) - z for name, z in before.items()}
    assert rise["lid"] > rise["top plate"] > rise["front"] == 0 > rise["under-plate"]


def test_a_section_shows_what_is_cut(opened: Opened) -> None:
    page = opened()
    look(page, "front")
    section(page, "y")  # at 100 of 200; what lies before it is taken away
    plane = state(page)["section"]
    assert plane == {"normal": [0, -1, 0], "at": pytest.approx(-100)}
    seen = page.evaluate("([x, y]) => deskPage.seenAt(x, y)", list(at(page, (11, 100, 30))))
    assert seen["part"] == "left end"  # cut across: it runs along y
    assert seen["at"][1] == pytest.approx(100, abs=0.01)
    assert "section" in seen["label"]
    # hatched: of some neighbouring pixels of the cut some are darker
    x, y = at(page, (11, 100, 30))
    box = page.locator("#picture").bounding_box()
    assert box is not None
    left, top = round(box["x"] + x), round(box["y"] + y)
    patch = np.asarray(pixels(page).crop((left - 9, top - 9, left + 9, top + 9)), dtype=float).mean(axis=2)
    assert patch.max() - patch.min() > 30
    page.locator("#section-flip").click()
    assert state(page)["section"]["normal"] == [0, 1, 0]
    assert page.evaluate("([x, y]) => deskPage.seenAt(x, y).part", list(at(page, (200, 0, 50)))) == "front"


def test_flies_to_a_finding_and_shows_the_room_that_two_parts_share(opened: Opened) -> None:
    page = opened()
    page.locator(".finding", has_text="block").first.click()
    seen = state(page)
    assert seen["shown"] == {"bodies": 1, "room": False, "span": None, "ring": False}
    assert seen["focus"] == ["block", "front"]
    # 60 to 90 by 20 to 22 by 5 to 45: its middle is where the picture's is, give or take the bars
    assert seen["eye"]["target"][:2] == pytest.approx([75, 21], abs=12)
    assert seen["eye"]["height"] < 300
    red, _, blue = colour_at(page, (75, 21, 25))
    assert red - blue > 60  # the body of the overlap
    card = page.locator("#right").inner_text()
    assert "2.00 mm" in card
    assert "make one of the two smaller" in card


def test_flies_to_a_gap_and_shows_its_line_with_its_length(opened: Opened) -> None:
    page = opened()
    page.locator(".finding", has_text="near it").first.click()
    seen = state(page)
    assert seen["shown"]["span"] == pytest.approx(3.0, abs=0.01)
    assert page.locator("#overlay .tag").inner_text() == "3 mm · 5 mm required"
    assert "air" in page.locator("#right").inner_text()
    ends = page.locator("#overlay .mark.end")
    assert ends.count() == 2


def test_measures_exactly_between_holes_faces_and_planes(opened: Opened) -> None:
    page = opened()
    look(page, "front")
    page.locator("#measure").click()
    # the walls of both bores, at their lower rims: what is met is the wall, what is meant the axis
    page.evaluate("deskPage.turnTo(0, 0.5)")
    for x in (100, 300):
        click_at(page, (x, 4, 20.0))
    found = state(page)["measured"]
    assert found["what"] == "axis to axis, parallel"
    assert found["value"] == pytest.approx(200, abs=1e-9)  # 300 - 100, by the script
    assert found["error"] == 0
    assert found["mouths"] == pytest.approx(200, abs=1e-9)  # both in the face side
    assert "exact" in page.locator(".exactness").inner_text()
    page.get_by_role("button", name="Start again").click()
    look(page, "above")
    click_at(page, (350, 100, 62.5))  # the top plate's top, z 62.5
    look(page, "front")
    page.evaluate("deskPage.turnTo(0, -0.9)")
    click_at(page, (50, 150, -1.5))  # the under-plate's bottom, z -1.5
    found = state(page)["measured"]
    assert found["what"] == "plane to plane, square to both"
    assert found["value"] == pytest.approx(64, abs=1e-9)


def test_measuring_from_the_list_needs_no_picture(opened: Opened) -> None:
    page = opened()
    page.get_by_role("tab", name="Parts").click()
    page.locator("#list .part", has_text="front").first.click()
    page.locator("#right li", has_text="hole lead").get_by_role("button", name="measure").click()
    page.locator("#list .part", has_text="right end").first.click()
    page.locator("#right summary", has_text="Faces").click()
    page.locator("#right li", has_text="back side").get_by_role("button", name="measure").click()
    found = state(page)["measured"]
    # placed along y its back side looks to -x, at x = 378; the bore's axis at 100 runs along y
    assert found["value"] == pytest.approx(278, abs=1e-9)
    assert found["what"] == "axis to plane, parallel"


def test_keys_work_from_the_start_and_leave_others_their_own(opened: Opened) -> None:
    page = opened()
    assert page.evaluate("document.activeElement === document.body")
    page.keyboard.press("?")
    assert page.locator("#keys").is_visible()
    page.keyboard.press("Escape")
    assert page.locator("#keys").is_hidden()
    page.keyboard.press("n")
    assert state(page)["finding"] == 0
    turn = state(page)["eye"]["turn"]
    page.locator("#findings button.finding").first.focus()
    page.keyboard.press("ArrowDown")
    assert state(page)["eye"]["turn"] == turn  # it walks the list
    page.get_by_role("tab", name="Parts").click()
    page.locator("#by-name").fill("")
    page.locator("#by-name").press("m")
    assert page.locator("#by-name").input_value() == "m"
    assert state(page)["measured"] is None
