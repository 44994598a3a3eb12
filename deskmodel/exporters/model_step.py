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
            products.append(Product(_product_name(placed), job.shapes[key].step, colour))
        occurrences.append(Occurrence(placed.name, index[key], placed.pose, colour))
    text = step_text(job.model.name, (stamp(job),), products, occurrences)

    def read_back(folder: Path) -> None:
        check_step(folder / NAME, job.model.name, products, occurrences)

    return Written({NAME: text.encode("ascii")}, read_back)


def _product_name(placed: PlacedPart) -> str:
    """What the shop calls it, else the name of the first part of that shape."""
    return placed.part.designation if isinstance(placed.part, Hardware) else placed.name
