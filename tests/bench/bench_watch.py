"""From saving to the verdict on the page: ``python -m tests.bench.bench_watch`` from the checkout. Prints a table; asserts
no time.

``deskmodel watch`` runs as people start it, on a copy of the duty desk, with an empty cache that the first round fills; the
page is open in a headless browser (``--no-browser``: nobody looks, and the times end when each is told). Each row is the
median of edits of one kind, none of which has been measured before:

    component moved     a loose box in its bay
    member changed      a cable bore through a rail or cross member, and its cable
    plate changed       all vents of the under-plate, 760 holes, with another diameter

*seen* is from the save until the watch runs the script (it looks at the files every 20 ms), *script* to the desk as data,
*solids* to meshes, *fit* with the covers' ways, *checks*; *shown* from then until the page has drawn what the round came to:
*verdict* is all of it. *page* is from the checks to the record of the desk, *picture* from the save until the browser has
drawn that. Wall clock; the table says how busy the machine was.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
AIMS = {"component moved": 0.8, "member changed": 1.2, "plate changed": 3.0}
STAGES = {"script": ("running the script", "reading the desk"), "solids": ("making custom shapes", "building shapes"),
          "fit": ("measuring part against part", "opening the covers"), "checks": ("checking",)}

_BOXES = ('stand("keyboard", "C1", 40', 'stand("slip-printer", "D2", 8', 'stand("network-switch", "A2", 8',
          'stand("ais-receiver", "D4", 20', 'stand("mobile-router", "A3", 78')
_BORES = ('("A2", "left speaker", 150', '("C2", "keyboard", 260', '("D3", "printer", 90', '("E2", "right speaker", 150',
          '"screen", rows["B"][2][0] + 30', '"12 V", rows["B"][2][0] + 190')

def edits(kind: str, number: int) -> tuple[str, str, str]:
    """(file, what stands there, what is to stand there) of the edit of that number, from 1."""
    if kind == "plate changed":
        return "plates.py", "columns, rows, PITCH, HOLE,", f"columns, rows, PITCH, HOLE - {0.013 * number:.3f},"
    places = _BOXES if kind == "component moved" else _BORES
    place = places[number % len(places)]
    return "bays.py", place, f"{place}.{number:02d}"


class Told:
    """Listens to the watch: when what of each round was told, by ("verdict" or "round", its number)."""

    def __init__(self, address: str) -> None:
        self._at: dict[tuple[str, int], float] = {}
        self._news = threading.Condition()
        self._events = urllib.request.urlopen(f"{address}events")
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        kind = ""
        for line in self._events:
            if line.startswith(b"event: "):
                kind = line[7:].decode().strip()
            elif line.startswith(b"data: "):
                with self._news:
                    self._at[kind, json.loads(line[6:])["number"]] = time.perf_counter()
                    self._news.notify_all()

    def at(self, kind: str, number: int) -> float:
        with self._news:
            assert self._news.wait_for(lambda: (kind, number) in self._at, timeout=300), f"no {kind} {number}"
            return self._at[kind, number]


def main() -> None:
    arguments = _arguments()
    taken: dict[str, list[dict[str, float]]] = {kind: [] for kind in AIMS}
    with tempfile.TemporaryDirectory(prefix="deskmodel-bench-") as place:
        folder = Path(place)
        shutil.copytree(ROOT / "parts", folder / "parts", ignore=shutil.ignore_patterns("__pycache__"))
        began = time.perf_counter()
        with _watch(folder) as address, _looking(address, arguments.browser) as shown:
            told, number = Told(address), 1
            shown(told, "round", number)
            print(f"first round shown after {time.perf_counter() - began:.1f} s", flush=True)
            for kind in AIMS:
                for edit in range(1, arguments.edits + 1):
                    number += 1
                    taken[kind].append(_edited(folder / "parts", address, told, shown, kind, edit, number))
                number += 1
                for name in ("bays.py", "plates.py"):
                    _save(folder / "parts" / name, (ROOT / "parts" / name).read_text(encoding="utf-8"))
                shown(told, "round", number)
    columns = ("seen", *STAGES, "shown", "verdict", "page", "picture")
    print(f"{f'medians of {arguments.edits}':18}" + "".join(f"{name:>8}" for name in columns) + "     aim    most    load")
    for kind, rows in taken.items():
        cells = "".join(f"{statistics.median(row[name] for row in rows):8.2f}" for name in columns)
        print(f"{kind:18}{cells}{AIMS[kind]:8.1f}{max(row['verdict'] for row in rows):8.2f}"
              f"{statistics.mean(row['load'] for row in rows):8.1f}")


Shown = Callable[[Told, str, int], float]
"""Says when the verdict, or the desk, of a round was drawn."""


def _edited(parts: Path, address: str, told: Told, shown: Shown, kind: str, edit: int, number: int) -> dict[str, float]:
    """Seconds by column."""
    name, old, new = edits(kind, edit)
    text = (ROOT / "parts" / name).read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    time.sleep(0.3 + 0.037 * (edit % 7))  # at no fixed distance from the last look
    saved = _save(parts / name, text.replace(old, new))
    verdict = shown(told, "verdict", number)
    picture = shown(told, "round", number)
    sent = told.at("verdict", number)
    with urllib.request.urlopen(f"{address}scene") as answer:
        about = json.load(answer)["round"]
    assert about["number"] == number, f"one edit made {about['number'] - number + 1} rounds"
    assert about["fault"] is None, about["fault"]
    seconds = about["seconds"]
    row = {stage: sum(seconds.get(name, 0.0) for name in names) for stage, names in STAGES.items()}
    page = seconds.get("page", 0.0)
    seen = told.at("round", number) - saved - seconds["all"]
    return {**row, "seen": seen, "shown": verdict - sent, "verdict": verdict - saved, "page": page,
            "picture": picture - saved, "load": os.getloadavg()[0]}


def _save(path: Path, text: str) -> float:
    """At one stroke; when."""
    beside = path.with_suffix(".new")
    beside.write_text(text, encoding="utf-8")
    at = time.perf_counter()
    os.replace(beside, path)
    return at


@contextmanager
def _watch(folder: Path) -> Iterator[str]:
    """The address of its page."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "DESKMODEL_CACHE": str(folder / "cache")}
    process = subprocess.Popen([sys.executable, "-m", "deskmodel", "watch"], cwd=folder, env=environment, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    try:
        assert process.stdout is not None
        address = next(line.split()[-1] for line in process.stdout if "http://" in line)
        threading.Thread(target=lambda: [None for _ in process.stdout or ()], daemon=True).start()
        yield address
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(30)


@contextmanager
def _looking(address: str, browser: bool) -> Iterator[Shown]:
    """Without a browser: when it was told."""
    if not browser:
        yield lambda told, kind, number: told.at(kind, number)
        return
    from playwright.sync_api import sync_playwright

    from tests.page.installed import SIZE, launched

    with sync_playwright() as playwright:
        started = launched(playwright)
        page = started.new_page(viewport=SIZE)
        page.goto(address)

        def shown(told: Told, kind: str, number: int) -> float:
            page.wait_for_function(f"number => Number(document.documentElement.dataset.{kind} ?? 0) >= number", arg=number,
                                   timeout=120_000)
            return time.perf_counter()

        yield shown
        started.close()


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--edits", type=int, default=20, help="of each kind (default: 20)")
    parser.add_argument("--no-browser", action="store_false", dest="browser", help="nobody looks at the page")
    return parser.parse_args()


if __name__ == "__main__":
    main()
