"""Which parts are written for the printer."""

from __future__ import annotations

import io

import pytest
import trimesh

from deskmodel import Desk, Plate, polygon
from deskmodel.cache import DiskCache
from deskmodel.exporters import ExportJob
from deskmodel.exporters.printed_stl import export_printed
from deskmodel.fit import FitEngine
from deskmodel.meshes.store import ShapeStore
from deskmodel.model import freeze
from deskmodel.session.fit_problem import part_shapes
from deskmodel.session.shapes import export_shape


def test_a_plate_from_the_printer_is_written_and_a_cut_one_is_not() -> None:
    d = Desk("wedges")
    wedge = polygon([(0, 0), (30, 0), (0, 40)])
    d.place(Plate("printed wedge", wedge, 5, "PLA", printed=True), at=(0, 0, 0))
    d.place(Plate("cut wedge", wedge, 5, "birch ply"), at=(100, 0, 0))
    model, _ = freeze(d)
    shapes = part_shapes(model)
    engine = FitEngine(ShapeStore(DiskCache(None)))
    job = ExportJob(model, (), 0, None, {name: shape.key for name, shape in shapes.items()},
                    {shape.key: export_shape(engine, shape) for shape in shapes.values()})
    written = export_printed(job).files
    assert list(written) == ["printed/printed-wedge.stl"]
    mesh = trimesh.load(io.BytesIO(written["printed/printed-wedge.stl"]), file_type="stl")
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(30 * 40 / 2 * 5, rel=1e-6)
