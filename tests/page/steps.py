"""What the browser tests do and read, in words."""

from __future__ import annotations

import io
from typing import Any

from PIL import Image
from playwright.sync_api import Page

__all__ = ["at", "click_at", "colour_at", "near", "open_slider", "parts_tab", "pick", "pixels", "section", "settle", "state"]


def settle(page: Page) -> None:
    page.evaluate("deskPage.settled()")


def state(page: Page) -> dict[str, Any]:
    settle(page)
    found: dict[str, Any] = page.evaluate("deskPage.state()")
    return found


def at(page: Page, point: tuple[float, float, float]) -> tuple[float, float]:
    """Where a point of the desk is seen, px from the canvas's corner."""
    settle(page)
    seen = page.evaluate("point => deskPage.project(point)", list(point))
    return seen["x"], seen["y"]


def click_at(page: Page, point: tuple[float, float, float]) -> None:
    x, y = at(page, point)
    page.locator("#picture").click(position={"x": x, "y": y})
    settle(page)


def pixels(page: Page) -> Image.Image:
    settle(page)
    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")


def colour_at(page: Page, point: tuple[float, float, float]) -> tuple[int, int, int]:
    x, y = at(page, point)
    box = page.locator("#picture").bounding_box()
    assert box is not None
    found: tuple[int, int, int] = pixels(page).getpixel((round(box["x"] + x), round(box["y"] + y)))  # type: ignore[assignment]
    return found


def near(found: tuple[int, int, int], wanted: tuple[float, float, float], within: float) -> bool:
    return max(abs(a - b) for a, b in zip(found, wanted, strict=True)) <= within


def open_slider(page: Page, name: str, share: int) -> None:
    page.locator(f"#{name}").fill(str(share))
    settle(page)


def section(page: Page, axis: str) -> None:
    page.locator("#section-axis").select_option(label=f"across {axis}")
    settle(page)


def parts_tab(page: Page) -> None:
    page.get_by_role("tab", name="Parts").click()


def pick(page: Page, name: str) -> None:
    """A part, in the list."""
    page.locator("#list .part", has_text=name).first.click()
