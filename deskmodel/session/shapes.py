"""The shapes of a desk as exporters need them: triangles, and the exact geometry as STEP entities."""

from __future__ import annotations

import json

import numpy as np

from deskmodel.exporters import ExportShape
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape
from deskmodel.meshes.ordered import ordered
from deskmodel.solids.step_file import Measure, StepBody, step_body

__all__ = ["export_shape", "step_entry", "step_of"]


def export_shape(engine: FitEngine, shape: BodyShape) -> ExportShape:
    """Raises BuildFault where the kernel cannot build or mesh the shape. Kept in the engine's cache on disk."""
    prepared = engine.store.prepared(shape)
    counts = np.diff(prepared.face_starts)
    faces = np.repeat(np.arange(len(counts)), counts)
    return ExportShape(*ordered(prepared.vertices, prepared.triangles.astype(np.int64), faces), step_of(engine, shape))


def step_of(engine: FitEngine, shape: BodyShape) -> StepBody:
    """Raises BuildFault where the kernel cannot build or describe the shape. Kept in the engine's cache on disk."""
    key = step_entry(shape.key)
    body = _decoded(engine.store.cache.get(key))
    if body is None:
        body = step_body(engine.store.brep(shape))
        engine.store.cache.put(key, _encoded(body))
    return body


def step_entry(key: str) -> str:
    """Where the cache keeps what ``step_of`` found out."""
    return f"step:{key}"


def _encoded(body: StepBody) -> bytes:
    return json.dumps([body.entities, body.solids,
                       [body.measure.volume, body.measure.low, body.measure.high]]).encode()


def _decoded(data: bytes | None) -> StepBody | None:
    if data is None:
        return None
    try:
        entities, solids, (volume, low, high) = json.loads(data)
        return StepBody(tuple(entities), tuple(solids), Measure(volume, tuple(low), tuple(high)))
    except (ValueError, TypeError):
        return None
