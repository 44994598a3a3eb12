"""Threaded holes as drawn: as deep as the form lets a screw go in, so that a longer one runs into the equipment."""

from __future__ import annotations

import math
from pathlib import Path

import cadquery as cq
import pytest

from deskmodel import Component, read_sheet
from deskmodel.solids.measure import common, volume
from deskmodel.solids.part_shape import shape_of

# form -> size of the body, height; diameter and depth of the thread: SFF-8201 (3.0, or 2.0 up to 7 high), SFF-8301 (6-32
# UNC: 0.138 inch; 3.8), VESA FDMI MIS-D (M4, 10)
FORMS = {"sff-8201 bottom": ((69.85, 100.2, 9.5), 3.0, 3.0), "sff-8301 bottom 76": ((101.6, 147.0, 26.1), 3.505, 3.8),
         "vesa 75": ((300.0, 200.0, 15.0), 4.0, 10.0)}


def component(form: str, folder: Path) -> Component:
    (x, y, z), _, _ = FORMS[form]
    at = [x / 2, y / 2] if form.startswith("vesa") else [0, 0]
    path = folder / "thing.toml"
    path.write_text(f'name = "thing"\nsource = "invented"\nmass = 0.5\n\n[[body]]\nbox = [{x}, {y}, {z}]\nat = [0, 0, 0]\n\n'
                    f'[pattern]\nform = "{form}"\nat = {at}\n')
    return read_sheet(path)


@pytest.mark.parametrize("form", FORMS)
def test_a_screw_that_is_too_long_is_in_the_equipment(form: str, tmp_path: Path) -> None:
    (x, y, z), diameter, depth = FORMS[form]
    thing = component(form, tmp_path)
    solid = shape_of(thing).build()
    hole = math.pi * diameter**2 / 4 * depth
    assert volume(solid) == pytest.approx(x * y * z - 4 * hole, rel=1e-9)
    for mounting in thing.features:
        u, v = mounting.at
        for longer in (-0.5, 0.0, 0.5):  # mm more than the form allows, from 5 mm below the housing
            screw = cq.Solid.makeCylinder(diameter / 2, 5 + depth + longer, cq.Vector(u, v, -5)).wrapped
            met = common(solid, screw)
            expected = hole / depth * max(0.0, longer)
            assert (0.0 if met is None else volume(met)) == pytest.approx(expected, abs=1e-6)
