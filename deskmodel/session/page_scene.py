"""The page's scene of a checked desk: its meshes as the engine has them, and what findings are shown by."""

from __future__ import annotations

import struct
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.findings import CheckOutcome, Finding
from deskmodel.fit import FitEngine
from deskmodel.fit.problem import BodyShape, FitProblem
from deskmodel.fit.shared import shared_rooms
from deskmodel.meshes.ordered import ordered
from deskmodel.model import DeskModel
from deskmodel.page import PageBody, PageShape, Scene, scene_of, shape_blob
from deskmodel.page.coarser import coarser
from deskmodel.page.shape_blob import packing
from deskmodel.plans import DeskMass

__all__ = ["page_scene"]

_MOST = 60
"""Findings whose common room is worked out, the worst first: each new one takes 5 to 20 ms, and nobody looks at more before
the first ones are mended. The others show their place."""

_ORDER = {"stop": 0, "warn": 1, "note": 2}


def page_scene(engine: FitEngine, model: DeskModel, outcomes: Sequence[CheckOutcome], shapes: Mapping[str, BodyShape],
               problem: FitProblem, mass: DeskMass | None, lines: Mapping[str, str], unreleased: str | None,
               before: Scene | None, kept: dict[str, PageShape | str]) -> Scene:
    """A shape that cannot be made is left out, with the reason; nothing else fails. ``kept``: shapes by key of the round
    before, which are taken over; afterwards those of this one."""
    made: dict[str, PageShape | str] = {}
    for shape in shapes.values():
        if shape.key not in made:
            made[shape.key] = kept.get(shape.key) or _page_shape(engine, shape)
    kept.clear()
    kept.update(made)
    findings = [finding for outcome in outcomes for finding in outcome.findings if finding.shared]
    findings.sort(key=lambda finding: (finding.accepted is not None, _ORDER[finding.severity]))
    return scene_of(model, outcomes, {name: made[shape.key] for name, shape in shapes.items()}, mass=mass,
                    shared=_shared(engine, problem, findings[:_MOST]), rooms=_rooms(engine, problem, findings), lines=lines,
                    unreleased=unreleased, before=before)


def _page_shape(engine: FitEngine, shape: BodyShape) -> PageShape | str:
    """Kept in the engine's cache on disk: packing takes longer than reading."""
    key = f"page:{packing()}:{shape.key}"
    known = engine.store.cache.get(key)
    if known is not None and len(known) > 8:
        return PageShape(known[8:], struct.unpack("<d", known[:8])[0])
    try:
        prepared = engine.store.prepared(shape)
        faces = np.repeat(np.arange(prepared.faces), np.diff(prepared.face_starts))
        vertices, triangles, faces = ordered(prepared.vertices, prepared.triangles.astype(np.int64), faces)
        triangles, faces, moved = coarser(vertices, triangles, faces)
        chord = float(prepared.chords.max()) + moved
        data = shape_blob(vertices, triangles, faces, chord)
    except BuildFault as fault:
        return str(fault)
    engine.store.cache.put(key, struct.pack("<d", chord) + data)
    return PageShape(data, chord)


def _shared(engine: FitEngine, problem: FitProblem, findings: Sequence[Finding]) -> dict[frozenset[str], PageBody]:
    pairs = [finding.shared for finding in findings if finding.shared]
    found = {}
    for pair, room in shared_rooms(engine.store, problem, pairs).items():
        try:
            data = shape_blob(room.vertices, room.triangles, _flat_faces(room.vertices, room.triangles), 0.0)
        except BuildFault:  # the place of the finding is told all the same
            continue
        found[pair] = PageBody(PageShape(data, 0.0), room.pose)
    return found


def _rooms(engine: FitEngine, problem: FitProblem, findings: Sequence[Finding]) -> dict[str, PageBody]:
    """The keep-outs among the bodies that findings name."""
    named = {name for finding in findings for name in finding.shared or ()}
    found = {}
    for body in problem.bodies:
        if body.role != "part" and body.name in named:
            shape = _page_shape(engine, body.shape)
            if isinstance(shape, PageShape):
                found[body.name] = PageBody(shape, body.pose)
    return found


def _flat_faces(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Each triangle a face of its own: a common body has no faces of a solid under it."""
    return np.arange(len(triangles))
