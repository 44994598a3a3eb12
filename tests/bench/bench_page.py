"""The page in the installed chromium: ``python -m tests.bench.bench_page``. Prints a table; asserts no time.

The duty desk, and several of it side by side, some 5,000 parts. *size* of view.html; *open* from the call until the page
says that it has drawn, *picture* until a first picture is in hand, both in a browser that runs already; *calls*: draw
calls of a frame; *script*: time of the page's own script for a frame, median; *frame*: until the picture is there. The
browser draws without a graphics processor (SwiftShader), so *frame* is that of a slow computer; *script* depends little
on that.
"""

from __future__ import annotations

import argparse
import io
import os
import statistics
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from deskmodel.model import DeskModel
from deskmodel.page import Scene, standalone
from deskmodel.session.run import Loaded, Session
from deskmodel.session.script import load_script
from tests.page.installed import SIZE, launched

ROOT = Path(__file__).parent.parent.parent


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--copies", type=int, nargs="+", default=[1, 2, 10],
                        help="duty desks side by side (default: 1 2 10)")
    parser.add_argument("--frames", type=int, default=20, help="frames that are timed (default: 20)")
    parser.add_argument("--picture", type=Path, metavar="FILE",
                        help="instead: the README's picture, the duty desk 1450 wide with its first finding, as PNG")
    arguments = parser.parse_args()
    session = Session()
    if arguments.picture:
        picture(session, arguments.picture)
        return
    loaded = session.load(load_script(ROOT / "parts" / "desk.py"))
    with tempfile.TemporaryDirectory(prefix="deskmodel-bench-") as place, sync_playwright() as playwright:
        browser = launched(playwright)
        print(f"{'parts':>6} {'size':>8} {'open':>7} {'picture':>8} {'calls':>6} {'script':>9} {'frame':>9}  {'load':>5}")
        for copies in arguments.copies:
            page = Path(place) / f"{copies}.html"
            scene = scene_of_many(session, loaded, copies)
            page.write_bytes(standalone(scene))
            row(browser, page, len(scene.record["parts"]), arguments.frames)
        browser.close()


def picture(session: Session, file: Path) -> None:
    checked = session.check(session.load(load_script(ROOT / "parts" / "desk.py", texts={"width": "1450"})))
    with tempfile.TemporaryDirectory(prefix="deskmodel-bench-") as place, sync_playwright() as playwright:
        page = Path(place) / "view.html"
        page.write_bytes(standalone(session.scene(checked, unreleased=checked.held_back)))
        browser = launched(playwright)
        tab = browser.new_page(viewport=SIZE, reduced_motion="reduce", color_scheme="light")  # type: ignore[arg-type]
        tab.goto(page.as_uri())
        tab.wait_for_selector("html[data-ready=true]", timeout=120_000)
        tab.locator(".finding").first.click()
        tab.evaluate("deskPage.settled()")
        seen = Image.open(io.BytesIO(tab.screenshot())).convert("RGB")
        seen.quantize(256, dither=Image.Dither.NONE).save(file, optimize=True)
        browser.close()


def scene_of_many(session: Session, loaded: Loaded, copies: int) -> Scene:
    """Side by side, unchecked: what is measured is the page."""
    model: DeskModel = loaded.model
    parts = tuple(replace(placed, part=replace(placed.part, name=f"{placed.name} {copy}"), group=None,
                          pose=placed.pose.moved((1700.0 * (copy % 4), 1000.0 * (copy // 4), 0.0)))
                  for copy in range(copies) for placed in model.parts)
    alone = replace(model, parts=parts, joints=(), contacts=(), gaps=(), keep_outs=(), lifts=(), swings=(), acceptances=())
    return session.scene(session.check(replace(loaded, model=alone), only=["web-too-thin"]))  # one that needs no solids


def row(browser: Browser, page: Path, parts: int, frames: int) -> None:
    context = browser.new_context(viewport=SIZE, reduced_motion="reduce")  # type: ignore[arg-type]
    tab = context.new_page()
    tab.goto("about:blank")
    load, began = os.getloadavg()[0], time.perf_counter()
    tab.goto(page.as_uri())
    tab.wait_for_selector("html[data-ready=true]", timeout=120_000)
    opened = time.perf_counter() - began
    tab.screenshot(timeout=120_000)
    picture = time.perf_counter() - began
    timed = []
    for number in range(frames):
        tab.evaluate("turn => deskPage.turnTo(turn, 0.5)", 0.05 * number)
        timed.append(tab.evaluate("deskPage.frame()"))
    script, whole = (statistics.median(each[what] for each in timed) for what in ("script", "whole"))
    print(f"{parts:6} {page.stat().st_size / 1e6:5.2f} MB {opened:5.2f} s {picture:6.2f} s {timed[-1]['calls']:6} "
          f"{script:6.2f} ms {whole:6.0f} ms  {load:5.1f}", flush=True)
    context.close()


if __name__ == "__main__":
    main()
