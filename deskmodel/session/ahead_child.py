"""The process that works ahead (see ``ahead``): fills the cache with the kernel, runs no code of a script.

Started with one argument, JSON about the cache and the folder of its files; takes a task a line and answers a read with one
byte. Whatever goes wrong here goes wrong again in the first process, which says so.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

from deskmodel.cache import DiskCache
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import read_json
from deskmodel.session.fit_problem import fit_question, part_shapes
from deskmodel.session.known_step import known_step
from deskmodel.session.shapes import step_entry, step_of

__all__ = ["main"]


def main(about: str) -> None:
    request = json.loads(about)
    cache = DiskCache(request["folder"], salt=request["salt"], limit=request["limit"])
    files = Path(request["files"])
    answers = os.dup(1)
    os.dup2(2, 1)  # the kernel prints there
    for task in sys.stdin:
        if task.startswith("build"):
            _build(cache, files / "model.json", steps=task.strip().endswith("steps"))
        elif task.startswith("read"):
            with suppress(Exception):
                known_step(cache, files / "ahead.step")
            os.write(answers, b"\n")


def _build(cache: DiskCache, model_file: Path, *, steps: bool) -> None:
    model = read_json(model_file.read_text(encoding="utf-8"))
    parts = part_shapes(model)
    bodies = fit_question(model, parts).problem.bodies
    _each({body.shape.key: body.shape for body in bodies}, cache, "shape:{}".format,
          lambda shape: ShapeStore(cache).prepared(shape))
    if steps:
        _each({shape.key: shape for shape in parts.values()}, cache, step_entry,
              lambda shape: step_of(FitEngine(ShapeStore(cache)), shape))


def _each(shapes: dict[str, BodyShape], cache: DiskCache, entry: Callable[[str], str],
          make: Callable[[BodyShape], object]) -> None:
    """From the end; a store of its own for each, so that memory is let go."""
    for key, shape in _while_wanted(reversed(shapes.items())):
        if not cache.holds(entry(key)):
            with suppress(Exception):
                make(shape)


def _while_wanted(items: Iterator[tuple[str, BodyShape]]) -> Iterator[tuple[str, BodyShape]]:
    """Until the first process has ended."""
    parent = os.getppid()
    for item in items:
        if os.getppid() != parent:
            return
        yield item


if __name__ == "__main__":
    main(sys.argv[1])
