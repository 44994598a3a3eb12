"""One built page for all processes of the tests, opened in the browser of each."""

from __future__ import annotations

import fcntl
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from deskmodel import Desk
from deskmodel.page import Scene, standalone
from deskmodel.session.run import Session
from tests.desks import cover_strikes
from tests.page.desks import cut_rail, duty_scene, page_desk, plain_rails, scene
from tests.page.installed import SIZE
from tests.page.server import StandIn

DESKS: dict[str, Callable[[], Scene]] = {
    "desk": lambda: scene(page_desk()), "hostile": lambda: scene(plain_rails()), "empty": lambda: scene(Desk("nothing")),
    "cut": lambda: scene(cut_rail()), "striking": lambda: scene(cover_strikes.FAILING.build()), "duty": duty_scene}
_DRIVER = "GL Driver Message"  # the software renderer remarks on every pixel that is read back


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """The page of a desk by its name in DESKS, made once, whichever process of the tests asks first."""
    folder = tmp_path_factory.getbasetemp()
    if folder.name.startswith("popen-"):
        folder = folder.parent

    def page(name: str) -> Path:
        path = folder / f"{name}.html"
        with open(folder / f"{name}.lock", "w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not path.exists():
                beside = folder / f"{name}.part"
                beside.write_bytes(standalone(DESKS[name]()))
                beside.rename(path)
        return path

    return page


@pytest.fixture
def opened(browser: Browser, built: Callable[[str], Path]) -> Iterator[Callable[..., Page]]:
    """Opens a page from disk and waits until it has drawn. At the end: nothing on the console, nothing of a network."""
    contexts = []
    said: list[str] = []
    asked: list[str] = []

    def page(name: str = "desk", noisy: bool = False, **options: str) -> Page:
        context = browser.new_context(viewport=SIZE, reduced_motion="reduce", **options)  # type: ignore[arg-type]
        contexts.append(context)
        made = context.new_page()
        if not noisy:
            made.on("console", lambda message: said.append(message.text) if _DRIVER not in message.text else None)
            made.on("pageerror", lambda error: said.append(str(error)))
        made.on("request", lambda request: asked.append(request.url))
        made.goto(built(name).as_uri())
        made.wait_for_selector("html[data-ready=true]")
        return made

    yield page
    for context in contexts:
        context.close()
    assert said == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert len([url for url in asked if url.startswith("file:")]) == len(contexts)


class Live:
    """The live page in a browser (``page``), its ``server``; ``said``: its errors and what is on its console."""

    def __init__(self, browser: Browser) -> None:
        self.server = StandIn()
        self.context = browser.new_context(viewport=SIZE, reduced_motion="reduce")  # type: ignore[arg-type]  # a plain dict
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.page.on("console", lambda message: self.said.append(message.text) if _DRIVER not in message.text else None)
        self.page.on("pageerror", lambda error: self.said.append(str(error)))

    def show(self, scene: Scene | None, fault: str | None = None) -> Page:
        """Waits until the round is drawn."""
        number = self.server.show(scene, fault=fault)
        if self.page.url == "about:blank":
            self.page.goto(self.server.url)
        self.page.wait_for_selector(f"html[data-round='{number}']")
        return self.page


@pytest.fixture
def live(browser: Browser) -> Iterator[Live]:
    made = Live(browser)
    yield made
    made.context.close()
    made.server.close()
    assert made.said == []


@pytest.fixture(scope="module")
def seen() -> Callable[[Desk], Scene]:
    """What is shown of a desk, of one session."""
    session = Session()
    return lambda desk: scene(desk, session)
