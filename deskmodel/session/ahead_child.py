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
from deskmodel.model import DeskModel, read_json
from deskmodel.processes import collect_seldom
from deskmodel.session.fit_problem import fit_question, part_shapes
from deskmodel.session.known_step import known_step
from deskmodel.session.shapes import step_entry, step_of

__all__ = ["main"]

_PARENT = os.getppid()


def main(about: str) -> None:
    request = json.loads(about)
    cache = DiskCache(request["folder"], salt=request["salt"], limit=request["limit"])
    files = Path(request["files"])
    answers = os.dup(1)
    os.dup2(2, 1)  # the kernel prints there
    collect_seldom()
    with suppress(ImportError):  # while the first process still waits for its script
        import deskmodel.meshes.prepare
        import deskmodel.session.verified
        import deskmodel.solids.build  # noqa: F401
    for task in sys.stdin:
        if task.startswith("build"):
            _build(cache, files / "model.json", steps=task.strip().endswith("steps"))
        elif task.startswith("read"):
            with suppress(Exception):
                known_step(cache, files / "ahead.step")
            os.write(answers, b"\n")
        elif task.startswith("write"):
            with suppress(Exception):
                _write(cache, files)


def _build(cache: DiskCache, model_file: Path, *, steps: bool) -> None:
    model = read_json(model_file.read_text(encoding="utf-8"))
    parts = part_shapes(model)
    bodies = fit_question(model, parts).problem.bodies
    _each({body.shape.key: body.shape for body in bodies}, cache, "shape:{}".format,
          lambda shape: ShapeStore(cache).prepared(shape))
    if steps:
        different = {shape.key: shape for shape in parts.values()}
        _each(different, cache, step_entry, lambda shape: step_of(FitEngine(ShapeStore(cache)), shape))
        with suppress(Exception):
            _read_early(cache, model, parts, different, model_file.with_name("early.step"))


def _write(cache: DiskCache, files: Path) -> None:
    from deskmodel.session.shared_writing import write_from_the_end  # heavy: not before it is wanted

    model = read_json((files / "job.json").read_text(encoding="utf-8"))
    write_from_the_end(cache, model, files / "facts.json", lambda: os.getppid() == _PARENT)


def _read_early(cache: DiskCache, model: DeskModel, parts: dict[str, BodyShape], different: dict[str, BodyShape],
                place: Path) -> None:
    """What ``make`` will write where no finding holds the desk back; of a file with other bytes this says nothing."""
    from deskmodel.exporters.model_step import step_data

    if os.getppid() != _PARENT:
        return
    engine = FitEngine(ShapeStore(cache))
    bodies = {key: step_of(engine, shape) for key, shape in different.items()}
    place.write_bytes(step_data(model, {name: shape.key for name, shape in parts.items()}, bodies))
    known_step(cache, place)


def _each(shapes: dict[str, BodyShape], cache: DiskCache, entry: Callable[[str], str],
          make: Callable[[BodyShape], object]) -> None:
    """From the end; a store of its own for each, so that memory is let go."""
    for key, shape in _while_wanted(reversed(shapes.items())):
        if not cache.holds(entry(key)):
            with suppress(Exception):
                make(shape)


def _while_wanted(items: Iterator[tuple[str, BodyShape]]) -> Iterator[tuple[str, BodyShape]]:
    """Until the first process has ended."""
    for item in items:
        if os.getppid() != _PARENT:
            return
        yield item


if __name__ == "__main__":
    main(sys.argv[1])
