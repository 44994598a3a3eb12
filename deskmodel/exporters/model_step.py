"""``model.step``: the desk as an assembly for other CAD programs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._step import Occurrence, Product, check_step, step_text
from deskmodel.faces import PlacedPart
from deskmodel.hardware import Hardware
from deskmodel.model import DeskModel
from deskmodel.solids.step_file import StepBody

__all__ = ["export_step", "step_data"]

NAME = "model.step"


def export_step(job: ExportJob) -> Written:
    assembly = _Assembly.of(job.model, job.shape_keys, {key: shape.step for key, shape in job.shapes.items()})
    data = assembly.data(stamp(job))
    job.step.announce(data)

    def read_back(folder: Path) -> None:
        check_step(folder / NAME, assembly.desk, assembly.products, assembly.occurrences, job.step.read)

    return Written({NAME: data}, read_back)


def step_data(model: DeskModel, shape_keys: Mapping[str, str], bodies: Mapping[str, StepBody]) -> bytes:
    """The file as it will be where nothing holds the desk back. ``bodies`` by the keys of ``shape_keys``."""
    return _Assembly.of(model, shape_keys, bodies).data(stamp(ExportJob(model, (), 0, None, shape_keys, {})))


@dataclass(frozen=True, slots=True)
class _Assembly:
    desk: str
    products: tuple[Product, ...]
    occurrences: tuple[Occurrence, ...]

    @staticmethod
    def of(model: DeskModel, shape_keys: Mapping[str, str], bodies: Mapping[str, StepBody]) -> _Assembly:
        products: list[Product] = []
        index: dict[str, int] = {}
        occurrences: list[Occurrence] = []
        colours = {material.name: material.colour for material in model.materials}
        for placed in model.parts:
            key, colour = shape_keys[placed.name], colours[placed.part.material]
            if key not in index:
                index[key] = len(products)
                products.append(Product(_readable(_product_name(placed)), bodies[key], colour))
            occurrences.append(Occurrence(_readable(placed.name), index[key], placed.pose, colour))
        return _Assembly(_readable(model.name), tuple(products), tuple(occurrences))

    def data(self, remark: str) -> bytes:
        return step_text(self.desk, (remark,), self.products, self.occurrences).encode("ascii")


def _product_name(placed: PlacedPart) -> str:
    """What the shop calls it, else the name of the first part of that shape."""
    return placed.part.designation if isinstance(placed.part, Hardware) else placed.name


def _readable(name: str) -> str:
    """The kernel's reader drops a null character; the sign for "no such character" stands for it."""
    return name.replace("\0", "\ufffd")
