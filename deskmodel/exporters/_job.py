"""What every exporter gets, and what it gives back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault
from deskmodel.faces import PlacedPart
from deskmodel.findings import CheckOutcome
from deskmodel.fit.problem import FitReport
from deskmodel.jigs import JigBody, JigPlan, jig_body, jig_plan
from deskmodel.jigs.coupon import Coupon, calibration_coupons
from deskmodel.materials import Material, material
from deskmodel.model import DeskModel, revision
from deskmodel.page import Scene
from deskmodel.part import CustomShape, Plate
from deskmodel.plans import BayRow, CutList, DeskMass, bay_rows, cut_list
from deskmodel.plans.shopping import ShoppingLine, ShoppingList, shopping_list
from deskmodel.plans.stock_layout import StockLayout, stock_layout
from deskmodel.solids.step_file import StepBody, StepContent
from deskmodel.solids.step_file import read_step as kernel_reads
from deskmodel.stock import Stock, default_stock

__all__ = ["ExportJob", "ExportShape", "StepReading", "Written", "jig_remark", "stamp", "stock_stamp"]


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
    ``lines``: where the script made what, see ``freeze``. ``stock``: what can be bought and what lies there. ``jig_shapes``:
    of each jig by its number, ``coupon_shapes``: of each of ``coupons``, both in the frame of their print; ``drilled``: of
    the members that jigs drill, by ``JigUse.like``, as they are after the stage "drill". ``cache``: keeps what depends on no
    desk. ``make_scene``: what the page shows, with what there is of shapes also where ``shapes`` is empty. ``mass`` and
    ``fit``: what was measured, None where nothing was; ``summaries``: what each check looks for, by its id; ``withheld``:
    whether what somebody could build from is not written."""

    model: DeskModel
    outcomes: tuple[CheckOutcome, ...]
    pairs: int
    unreleased: str | None
    shape_keys: Mapping[str, str]
    shapes: Mapping[str, ExportShape]
    step: StepReading = field(default_factory=_ByKernel)
    lines: Mapping[str, str] = field(default_factory=dict)
    stock: Stock = field(default_factory=default_stock)
    jig_shapes: Mapping[str, ExportShape] = field(default_factory=dict)
    coupon_shapes: Mapping[str, ExportShape] = field(default_factory=dict)
    drilled: Mapping[str, StepBody] = field(default_factory=dict)
    cache: DiskCache = field(default_factory=lambda: DiskCache(None))
    make_scene: Callable[[], Scene] | None = None
    mass: DeskMass | None = None
    fit: FitReport | None = None
    summaries: Mapping[str, str] = field(default_factory=dict)
    withheld: bool = False

    @cached_property
    def scene(self) -> Scene:
        """BuildFault where nobody can make it."""
        if self.make_scene is None:
            raise BuildFault("no scene was made for the page")
        return self.make_scene()

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
        return shopping_list(self.model, self.stock, self.layout, self._volumes(), self._for_jigs())

    def _volumes(self) -> dict[str, float]:
        """mm³ of what is printed or given as code, from its mesh."""
        found = {}
        for placed in self.model.parts:
            if isinstance(placed.part, CustomShape | Plate) and placed.part.printed and placed.name in self.shape_keys:
                found[placed.name] = _volume(self.shapes[self.shape_keys[placed.name]])
        return found

    def _for_jigs(self) -> list[ShoppingLine]:
        """Bushes, and what the jigs and coupons are printed of."""
        bushes = Counter(jig.bush for jig in self.jigs.jigs for _ in jig.axes)
        lines = [ShoppingLine("hardware", bush.text, count, "piece" if count == 1 else "pieces",
                              "for jigs; or cut from tube", source=bush.source) for bush, count in bushes.items()]
        printed = [*self.jig_shapes.values(), *self.coupon_shapes.values()]
        if printed:
            density = material("PLA").density or 0.0
            lines.append(ShoppingLine("printed parts", "filament for jigs and coupons", sum(map(_volume, printed)) * 1e-9
                                      * density, "kg", "counted as PLA, printed solid", source="jigs"))
        return lines

    @cached_property
    def materials(self) -> Mapping[str, Material]:
        return {material.name: material for material in self.model.materials}

    @cached_property
    def jigs(self) -> JigPlan:
        return jig_plan(self.model)

    @cached_property
    def jig_bodies(self) -> Mapping[str, JigBody]:
        """By number, as they are engraved."""
        return {jig.number: jig_body(jig, jig_remark(self.revision, self.unreleased)) for jig in self.jigs.jigs}

    @cached_property
    def coupons(self) -> Mapping[str, Coupon]:
        """The print-calibration coupons, by the start of their files' names: one for each bush that the jigs take."""
        printer = self.model.workshop.printer
        return {} if printer is None else calibration_coupons(self.jigs, printer)

    def material_of(self, placed: PlacedPart) -> Material:
        return self.materials[placed.part.material]


def _volume(shape: ExportShape) -> float:
    """mm³, of a closed mesh."""
    corners = shape.vertices[shape.triangles]
    return float((corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() / 6.0)


@dataclass(frozen=True, slots=True)
class Written:
    """``files``: relative path -> content. ``read_back`` gets the folder they were put into and raises BuildFault
    unless it finds there what was meant."""

    files: Mapping[str, bytes]
    read_back: Callable[[Path], None]


def stock_stamp(job: ExportJob) -> str:
    """The same, with the stock list that shaped the file: the revision does not change with it."""
    return f"{stamp(job)}, stock list {job.stock.digest}"


def jig_remark(revision: str, unreleased: str | None) -> str:
    """What is engraved in a jig of that revision."""
    return revision[:8] if unreleased is None else "NOT RELEASED"


def stamp(job: ExportJob) -> str:
    """The remark on every file: its revision, and that it is unreleased where it is."""
    return f"revision {job.revision}" if job.unreleased is None else f"UNRELEASED revision {job.revision}"
