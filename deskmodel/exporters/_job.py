"""What every exporter gets, and what it gives back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from deskmodel.faces import PlacedPart
from deskmodel.findings import CheckOutcome
from deskmodel.materials import Material
from deskmodel.model import DeskModel, revision
from deskmodel.part import CustomShape, Plate
from deskmodel.plans import BayRow, CutList, bay_rows, cut_list
from deskmodel.plans.shopping import ShoppingList, shopping_list
from deskmodel.plans.stock_layout import StockLayout, stock_layout
from deskmodel.solids.step_file import StepBody, StepContent
from deskmodel.solids.step_file import read_step as kernel_reads
from deskmodel.stock import Stock, default_stock

__all__ = ["ExportJob", "ExportShape", "StepReading", "Written", "stamp", "stock_stamp"]


@dataclass(frozen=True, eq=False, slots=True)
class ExportShape:
    """A shape in its part's frame, mm: ``vertices`` (n, 3) and ``triangles`` (m, 3), closed, counter-clockwise from
    outside; ``faces`` (m,) the face of the solid under each triangle; ``step`` its exact geometry."""

    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    faces: NDArray[np.int64]
    step: StepBody


class StepReading(Protocol):
    """How STEP files are read back."""

    def announce(self, data: bytes) -> None:
        """A file of these bytes will be read: whoever can may begin with it."""

    def read(self, path: Path) -> StepContent:
        """What the kernel finds in the file. Raises BuildFault."""
        ...


class _ByKernel:
    def announce(self, data: bytes) -> None:
        pass

    def read(self, path: Path) -> StepContent:
        return kernel_reads(path)


@dataclass(frozen=True, eq=False)
class ExportJob:
    """``shape_keys``: part name -> key in ``shapes``. ``unreleased``: why nobody should build from this, or None.
    ``shapes`` and ``shape_keys`` are empty where only findings are written. ``step``: reads STEP files.
    ``lines``: where the script made what, see ``freeze``. ``stock``: what can be bought and what lies there."""

    model: DeskModel
    outcomes: tuple[CheckOutcome, ...]
    pairs: int
    unreleased: str | None
    shape_keys: Mapping[str, str]
    shapes: Mapping[str, ExportShape]
    step: StepReading = field(default_factory=_ByKernel)
    lines: Mapping[str, str] = field(default_factory=dict)
    stock: Stock = field(default_factory=default_stock)

    @cached_property
    def revision(self) -> str:
        return revision(self.model)

    @cached_property
    def bays(self) -> tuple[BayRow, ...]:
        return bay_rows(self.model)

    @cached_property
    def cuts(self) -> CutList:
        return cut_list(self.model)

    @cached_property
    def layout(self) -> StockLayout:
        """Made once: it takes a second or two."""
        return stock_layout(self.model, self.stock)

    @cached_property
    def shopping(self) -> ShoppingList:
        return shopping_list(self.model, self.stock, self.layout, self._volumes())

    def _volumes(self) -> dict[str, float]:
        """mm³ of what is printed or given as code, from its mesh."""
        found = {}
        for placed in self.model.parts:
            if isinstance(placed.part, CustomShape | Plate) and placed.part.printed and placed.name in self.shape_keys:
                shape = self.shapes[self.shape_keys[placed.name]]
                corners = shape.vertices[shape.triangles]
                found[placed.name] = float((corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() / 6.0)
        return found

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        return {material.name: material for material in self.model.materials}

    def material_of(self, placed: PlacedPart) -> Material:
        return self.materials[placed.part.material]


@dataclass(frozen=True, slots=True)
class Written:
    """``files``: relative path -> content. ``read_back`` gets the folder they were put into and raises BuildFault
    unless it finds there what was meant."""

    files: Mapping[str, bytes]
    read_back: Callable[[Path], None]


def stock_stamp(job: ExportJob) -> str:
    """The same, with the stock list that shaped the file: the revision does not change with it."""
    return f"{stamp(job)}, stock list {job.stock.digest}"


def stamp(job: ExportJob) -> str:
    """The remark on every file: its revision, and that it is unreleased where it is."""
    return f"revision {job.revision}" if job.unreleased is None else f"UNRELEASED revision {job.revision}"
