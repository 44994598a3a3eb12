"""The mass of a desk: closed forms, and solids measured by the kernel for the parts that have none."""

from __future__ import annotations

import json
from collections.abc import Mapping

from deskmodel.errors import BuildFault
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape
from deskmodel.model import DeskModel
from deskmodel.plans import DeskMass, Moment, desk_mass, unmeasured_parts

__all__ = ["mass_of"]


def mass_of(engine: FitEngine, model: DeskModel, shapes: Mapping[str, BodyShape]) -> DeskMass:
    """A part whose solid cannot be built is left out and named in ``unknown``. Kept in the engine's cache on disk."""
    measured: dict[str, Moment] = {}
    for name in unmeasured_parts(model):
        try:
            measured[name] = _moment(engine, shapes[name])
        except BuildFault:  # the fit engine says so of every pair with it
            continue
    return desk_mass(model, measured)


def _moment(engine: FitEngine, shape: BodyShape) -> Moment:
    key = f"moment:{shape.key}"
    known = _decoded(engine.store.cache.get(key))
    if known is None:
        from deskmodel.solids.measure import centroid, volume  # a run that finds all in the cache loads no kernel

        solid = engine.store.brep(shape)
        known = volume(solid), centroid(solid)
        engine.store.cache.put(key, json.dumps(known).encode())
    return known


def _decoded(data: bytes | None) -> Moment | None:
    if data is None:
        return None
    try:
        volume, (x, y, z) = json.loads(data)
        return float(volume), (float(x), float(y), float(z))
    except (ValueError, TypeError):
        return None
