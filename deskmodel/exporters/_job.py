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
from deskmodel.jigs import JigBody, JigPlan, jig_body, jig_plan
from deskmodel.jigs.coupon import Coupon, calibration_coupons
from deskmodel.materials import Material
from deskmodel.model import DeskModel, revision
from deskmodel.plans import BayRow, bay_rows
from deskmodel.solids.step_file import StepBody, StepContent
from deskmodel.solids.step_file import read_step as kernel_reads

__all__ = ["ExportJob", "ExportShape", "StepReading", "Written", "jig_remark", "stamp"]


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
    ``lines``: where the script made what, see ``freeze``. ``jig_shapes``: of each jig by its number, ``coupon_shapes``: of
    each of ``coupons``, both in the frame of their print; ``drilled``: of the members that jigs drill, by ``JigUse.like``,
    as they are after the stage "drill"."""

    model: DeskModel
    outcomes: tuple[CheckOutcome, ...]
    pairs: int
    unreleased: str | None
    shape_keys: Mapping[str, str]
    shapes: Mapping[str, ExportShape]
    step: StepReading = field(default_factory=_ByKernel)
    lines: Mapping[str, str] = field(default_factory=dict)
    jig_shapes: Mapping[str, ExportShape] = field(default_factory=dict)
    coupon_shapes: Mapping[str, ExportShape] = field(default_factory=dict)
    drilled: Mapping[str, StepBody] = field(default_factory=dict)

    @cached_property
    def revision(self) -> str:
        return revision(self.model)

    @cached_property
    def bays(self) -> tuple[BayRow, ...]:
        return bay_rows(self.model)

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


@dataclass(frozen=True, slots=True)
class Written:
    """``files``: relative path -> content. ``read_back`` gets the folder they were put into and raises BuildFault
    unless it finds there what was meant."""

    files: Mapping[str, bytes]
    read_back: Callable[[Path], None]


def jig_remark(revision: str, unreleased: str | None) -> str:
    """What is engraved in a jig of that revision."""
    return revision[:8] if unreleased is None else "NOT RELEASED"


def stamp(job: ExportJob) -> str:
    """The remark on every file: its revision, and that it is unreleased where it is."""
    return f"revision {job.revision}" if job.unreleased is None else f"UNRELEASED revision {job.revision}"
