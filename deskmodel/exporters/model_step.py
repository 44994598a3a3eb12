"""``model.step``: the desk as an assembly for other CAD programs."""

from __future__ import annotations

from pathlib import Path

from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._step import Occurrence, Product, check_step, step_text
from deskmodel.faces import PlacedPart
from deskmodel.hardware import Hardware

__all__ = ["export_step"]

NAME = "model.step"


def export_step(job: ExportJob) -> Written:
    products: list[Product] = []
    index: dict[str, int] = {}
    occurrences: list[Occurrence] = []
    for placed in job.model.parts:
        key, colour = job.shape_keys[placed.name], job.material_of(placed).colour
        if key not in index:
            index[key] = len(products)
            products.append(Product(_readable(_product_name(placed)), job.shapes[key].step, colour))
        occurrences.append(Occurrence(_readable(placed.name), index[key], placed.pose, colour))
    desk = _readable(job.model.name)
    data = step_text(desk, (stamp(job),), products, occurrences).encode("ascii")
    job.step.announce(data)

    def read_back(folder: Path) -> None:
        check_step(folder / NAME, desk, products, occurrences, job.step.read)

    return Written({NAME: data}, read_back)


def _product_name(placed: PlacedPart) -> str:
    """What the shop calls it, else the name of the first part of that shape."""
    return placed.part.designation if isinstance(placed.part, Hardware) else placed.name


def _readable(name: str) -> str:
    """The kernel's reader drops a null character; the sign for "no such character" stands for it."""
    return name.replace("\0", "\ufffd")
