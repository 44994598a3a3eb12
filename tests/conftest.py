"""What tests of more than one folder share."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser


def pytest_configure() -> None:
    """A shell that starts the tests in the background makes them ignore interrupts, and so everything that they start."""
    with suppress(ValueError):  # not the main thread, as in a worker, which has it from the one that started it
        if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
            signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One for each process of the tests: two cannot be driven from one."""
    from playwright.sync_api import sync_playwright  # most tests need none of it

    from tests.page.installed import launched

    with sync_playwright() as playwright:
        started = launched(playwright)
        yield started
        started.close()


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for the cache of the whole run, empty at its start: the processes of the run share it, as they may."""
    base = tmp_path_factory.getbasetemp()
    return (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "cache"
