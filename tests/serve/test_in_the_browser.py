"""A desk that is edited, in a real browser: the watch as people start it, and what the page shows after each save."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser

from tests.cli.commands import CLEAN, STRIKING
from tests.cli.test_watch_command import watching
from tests.page.installed import SIZE
from tests.page.steps import state


def test_each_save_is_seen(browser: Browser, tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    with watching(tmp_path) as running:
        running.until("the page: ")
        address = running.said.split()[-1]
        context = browser.new_context(viewport=SIZE, reduced_motion="reduce")  # type: ignore[arg-type]  # a plain dict
        page = context.new_page()
        said: list[str] = []
        asked: list[str] = []
        page.on("console", lambda message: said.append(message.text) if "GL Driver" not in message.text else None)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("request", lambda request: asked.append(request.url))
        page.goto(address)

        def drawn(number: int) -> None:
            page.wait_for_selector(f"html[data-round='{number}']", timeout=60_000)

        drawn(1)
        parts = state(page)["visible"]
        (tmp_path / "desk.py").write_text(STRIKING)
        drawn(2)
        assert state(page)["visible"] == parts + 1
        assert "strip" in state(page)["changed"]
        assert "strip" in page.locator("body").inner_text()

        (tmp_path / "desk.py").write_text("raise ValueError('<script>window.broken = 1</script>')\n")
        drawn(3)
        assert "ValueError: <script>window.broken = 1</script>" in page.locator("#fault").inner_text()
        assert page.evaluate("window.broken ?? null") is None
        assert state(page)["visible"] == parts + 1

        (tmp_path / "desk.py").write_text(CLEAN)
        drawn(4)
        assert page.locator("#fault").is_hidden()
        assert state(page)["visible"] == parts
        assert said == []
        assert {url.rpartition("/")[0] for url in asked} <= {address.rstrip("/"), f"{address}shape"}
        blank = context.new_page()  # another page of the same browser, which knows the address, has no access
        blank.goto("data:text/html,<title>foreign</title>")
        told = blank.evaluate("""async address => {
            const answers = [];
            for (const mode of ["cors", "no-cors"]) {
                try { const got = await fetch(address + "scene", { mode }); answers.push(got.type + got.status); }
                catch (error) { answers.push("refused"); }
            }
            return answers;
        }""", address)
        assert told[0] == "refused"
        assert told[1] in ("refused", "opaque0")  # opaque: nothing of it can be read
        context.close()
        assert running.interrupt() == 0
