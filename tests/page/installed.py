"""The browser that is installed here, as the tests and the benchmarks start it."""

from __future__ import annotations

import shutil

from playwright.sync_api import Browser, Playwright

__all__ = ["SIZE", "launched"]

FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync", "--use-angle=swiftshader",
         "--enable-unsafe-swiftshader")
BROWSERS = ("chromium", "chromium-browser", "google-chrome-stable")
SIZE = {"width": 1280, "height": 800}


def launched(playwright: Playwright) -> Browser:
    """With a profile of its own that is thrown away. AssertionError where there is none."""
    path = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    assert path, "the page is tested in a browser, and there is none: install the package chromium"
    return playwright.chromium.launch(executable_path=path, args=list(FLAGS))
