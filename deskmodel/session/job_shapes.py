"""The shapes of an export job, each kind made when an exporter first looks at it: where all files are known, none is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TypeVar

from deskmodel.exporters import ExportJob, ExportShape
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape
from deskmodel.session.jigs import drilled_shapes, jig_shapes
from deskmodel.session.progress import Progress
from deskmodel.session.shapes import export_shape, step_of
from deskmodel.solids.step_file import StepBody

__all__ = ["job_with_shapes"]

T = TypeVar("T")


class _Later(Mapping[str, T]):
    """What ``make`` returns, which is called when somebody looks for the first time."""

    def __init__(self, make: Callable[[], Mapping[str, T]]) -> None:
        self._make = make

    @cached_property
    def _made(self) -> Mapping[str, T]:
        return self._make()

    def __getitem__(self, key: str) -> T:
        return self._made[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._made)

    def __len__(self) -> int:
        return len(self._made)


def job_with_shapes(job: ExportJob, engine: FitEngine, parts: Mapping[str, BodyShape], progress: Progress) -> ExportJob:
    """``job`` with the shapes of ``parts`` (part name -> shape), of its jigs and coupons, and of the members that are
    drilled. Looking at one raises BuildFault where the kernel cannot build or mesh it."""

    def exported(shapes: Mapping[str, BodyShape], doing: str) -> dict[str, ExportShape]:
        progress.step(doing)
        made = {}
        for count, (key, shape) in enumerate(shapes.items(), start=1):
            made[key] = export_shape(engine, shape)
            progress.count(count, len(shapes))
        return made

    def described() -> Mapping[str, ExportShape]:
        return exported({shape.key: shape for shape in parts.values()}, "describing shapes")

    def jigs() -> Mapping[str, ExportShape]:
        return exported(jig_shapes(full.jig_bodies), "building jigs")

    def coupons() -> Mapping[str, ExportShape]:
        return exported(jig_shapes({name: coupon.body for name, coupon in full.coupons.items()}), "building coupons")

    def drilled() -> Mapping[str, StepBody]:
        progress.step("building members as they are drilled")
        return {name: step_of(engine, shape) for name, shape in drilled_shapes(full.model, full.jigs).items()}

    full = replace(job, shape_keys={name: shape.key for name, shape in parts.items()}, shapes=_Later(described),
                   jig_shapes=_Later(jigs), coupon_shapes=_Later(coupons), drilled=_Later(drilled))
    return full
