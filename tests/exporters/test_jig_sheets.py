"""Pages about jigs, coupons and story sticks: written, read back, looked through; the figure shows what its names say."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest
from PIL import Image

from deskmodel import Desk, DowelJoint
from deskmodel.drawing.flow import Figure, document
from deskmodel.drawing.paper import Head
from deskmodel.errors import BuildFault
from deskmodel.exporters import EXPORTERS, ExportJob
from deskmodel.exporters._jig_figure import Mesh, named_places, scene_of, view_of_use
from deskmodel.exporters._pages import read_pages
from deskmodel.exporters._raster import seen_along
from deskmodel.exporters.coupons import export_coupons
from deskmodel.exporters.jig_sheets import export_jig_sheets
from deskmodel.exporters.story_sticks import export_story_sticks
from deskmodel.fit import FitEngine
from deskmodel.jigs import jig_plan
from deskmodel.jigs.coupon_pages import trial_blocks
from deskmodel.jigs.instructions import how_to_use
from deskmodel.jigs.trial import trial_joints, trial_slop
from deskmodel.model import DeskModel, freeze
from deskmodel.session.fit_problem import part_shapes
from deskmodel.session.jigs import drilled_shapes, jig_shapes
from deskmodel.session.shapes import export_shape, step_of
from tests.desks.build import frozen, rail
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.drawing.test_views import check_paper

EXPORTS = (export_jig_sheets, export_coupons, export_story_sticks)


def corner(names: str = "") -> DeskModel:
    """Two rails into a third: an end jig, a face jig."""
    d = Desk("corner" + names)
    front = rail(d, "front" + names, 400, (0, 0, 0))
    for name, x in (("left", 60), ("right", 300)):
        side = rail(d, name + names, 200, (x, 22, 0), "y")
        d.join(DowelJoint(side, front))
    return frozen(d)


@pytest.fixture(scope="module")
def job() -> ExportJob:
    model, engine = corner(), FitEngine()
    shapes = part_shapes(model)
    bare = ExportJob(model, (), 0, None, {name: shape.key for name, shape in shapes.items()},
                     {shape.key: export_shape(engine, shape) for shape in shapes.values()})
    bodies = {name: coupon.body for name, coupon in bare.coupons.items()}
    return replace(bare, jig_shapes={n: export_shape(engine, s) for n, s in jig_shapes(bare.jig_bodies).items()},
                   coupon_shapes={n: export_shape(engine, s) for n, s in jig_shapes(bodies).items()},
                   drilled={n: step_of(engine, s) for n, s in drilled_shapes(model, bare.jigs).items()})


@pytest.fixture(scope="module")
def files(job: ExportJob) -> dict[str, bytes]:
    return {name: data for export in EXPORTS for name, data in export(job).files.items()}


def test_what_is_written(files: dict[str, bytes]) -> None:
    assert set(files) == {
        "jigs/j1-end.pdf", "jigs/j1-end.png", "jigs/j2-face.pdf", "jigs/j2-face.png", "jigs/trial-joint.pdf",
        *(f"jigs/coupon-12-press.{ending}" for ending in ("pdf", "step", "stl", "3mf")),
        "templates/story-stick-front.pdf", "templates/story-stick-front-back-side.svg"}
    assert all(e.for_building for e in EXPORTERS if e.export in EXPORTS)


def test_read_back_and_whatever_is_spoilt_is_told(job: ExportJob, files: dict[str, bytes], tmp_path: Path) -> None:
    written = [export(job) for export in EXPORTS]
    assert {name: data for each in written for name, data in each.files.items()} == files  # the same bytes again
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    for each in written:
        each.read_back(tmp_path)
    for each in written:
        for name in each.files:
            (tmp_path / name).write_bytes(files[name][:-len(files[name]) // 3])
            with pytest.raises(BuildFault):
                each.read_back(tmp_path)
            (tmp_path / name).write_bytes(files[name])
    (tmp_path / "jigs/j1-end.pdf").write_bytes(files["jigs/j2-face.pdf"])
    with pytest.raises(BuildFault):
        written[0].read_back(tmp_path)


def test_the_page_tells_what_the_maker_sets(job: ExportJob, files: dict[str, bytes]) -> None:
    for jig in job.jigs.jigs:
        told = " ".join("".join(page.text for page in read_pages(files[f"jigs/{jig.slug}.pdf"])).split())
        for word in (jig.bit.text, jig.bush.text, f"{jig.depths[0].depth:g} deep", f"{jig.depths[0].stop:g} from the rim",
                     "Clamp", "eye protection", "Local codes", "±", "left to front", f"revision {job.revision}"):
            assert word in told, word
    told = " ".join(read_pages(files["jigs/trial-joint.pdf"])[0].text.split())
    assert {"J1", "J2"} <= set(told.split())
    assert "dowel 8 × 40" in told
    told = " ".join(read_pages(files["jigs/coupon-12-press.pdf"])[0].text.split())
    for word in ("workshop.toml", "[printer]", "seat", "what workshop.toml says now"):
        assert word in told


def test_unreleased_is_on_every_page(job: ExportJob) -> None:
    for export in EXPORTS:
        for name, data in export(replace(job, unreleased="1 finding")).files.items():
            if name.endswith(".pdf"):
                assert all("UNRELEASED: not to build from" in page.text for page in read_pages(data)), name
            if name.endswith((".svg", ".stl")):
                assert b"UNRELEASED" in data


def test_names_point_at_what_they_name(job: ExportJob) -> None:
    """The colour of the shaded picture where each line ends: printed parts are blue, wood is brown, bushes are grey."""
    seen = 0
    for jig in job.jigs.jigs:
        for use in job.jigs.uses_of(jig.number):
            member = job.model.part(use.member).part
            wood, printed = job.shapes[job.shape_keys[use.member]], job.jig_shapes[jig.number]
            body = Mesh(printed.vertices, printed.triangles).placed(job.jig_bodies[jig.number].seat_from_print)
            drawn = scene_of(jig, use, body, member, Mesh(wood.vertices, wood.triangles))
            for number, view in enumerate(view_of_use(jig, use, drawn)):
                pixels = seen_along(drawn, view).astype(int)
                for text, at, which in named_places(jig, use, member):
                    if which != number:
                        continue
                    x, y = view.pixels(np.array(use.pose.apply(at))[None])[0]
                    r, _, b = pixels[int(y), int(x)]
                    what = "grey" if abs(r - b) < 0.12 * max(r, b) else "blue" if b > r else "brown"
                    wanted = ("grey" if text.startswith("bush") else "blue" if text.startswith(("fence", "lip", "web"))
                              else "brown")
                    if not text.startswith("sight edge"):  # a dark line between the two
                        assert what == wanted, (jig.number, use.place, use.sight, text)
                        seen += 1
    assert seen >= 10


def test_pictures_hold_a_jig(files: dict[str, bytes]) -> None:
    for name in ("jigs/j1-end.png", "jigs/j2-face.png"):
        pixels = np.asarray(Image.open(io.BytesIO(files[name])).convert("RGB")).astype(int)
        blue = (pixels[:, :, 2] > pixels[:, :, 0] + 25).mean()
        brown = (pixels[:, :, 0] > pixels[:, :, 2] + 25).mean()
        assert blue > 0.03
        assert brown > 0.03


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names_stay_on_the_paper(name: str) -> None:
    model = corner(name[:280])
    plan = jig_plan(model)
    trials = trial_joints(model, plan)
    head = Head(model.name, f"how to use {name}", "revision 0123456789ab", True)
    for jig in plan.jigs:
        mates = [(jig.label, trial_slop(trial, plan)) for trial in trials]
        blocks = how_to_use(jig, plan.uses_of(jig.number), mates, Figure((), (9, 9)))
        for page in document(blocks, "A4", head):
            check_paper(page)
    for page in document(trial_blocks(trials, plan), "A4", head):
        check_paper(page)
    job = ExportJob(model, (), 0, None, {}, {})
    written = export_story_sticks(job)
    assert len(written.files) == 2
    assert all(b"<script>" not in data for file, data in written.files.items() if file.endswith(".svg"))


def test_a_shop_without_a_printer_gets_sticks_and_no_coupons() -> None:
    model = corner()
    bare = replace(model, workshop=replace(model.workshop, printer=None))
    job = ExportJob(bare, (), 0, None, {}, {})
    assert export_jig_sheets(job).files == {}
    assert export_coupons(job).files == {}
    assert set(export_story_sticks(job).files) == {"templates/story-stick-front.pdf",
                                                   "templates/story-stick-front-back-side.svg"}


def test_a_desk_without_members_has_none_of_it() -> None:
    job = ExportJob(frozen(Desk("nothing")), (), 0, None, {}, {})
    assert [export(job).files for export in EXPORTS] == [{}, {}, {}]


@pytest.mark.parametrize("section", [(22, 60), (45, 120), (18, 40)])
@pytest.mark.parametrize("turn", [0, 90])
def test_trial_joints_of_other_sections(section: tuple[float, float], turn: int) -> None:
    d = Desk("other")
    front = rail(d, "front", 500, (0, 0, 0), section=section, turn=turn)
    thick = section[1] if turn else section[0]
    side = rail(d, "side", 300, (200, thick, 0), "y", section=section)
    d.join(DowelJoint(side, front, dowel="6x30" if section[0] < 20 else "8x40"))
    model = frozen(d)
    plan = jig_plan(model)
    for page in document(trial_blocks(trial_joints(model, plan), plan), "A4", Head("d", "t", "r")):
        check_paper(page)
    assert trial_joints(model, plan) or plan.not_made


def test_small_desk_in_any_order_gives_the_same_sticks() -> None:
    one, other = (export_story_sticks(ExportJob(freeze(small_desk(rng=rng))[0], (), 0, None, {}, {})).files
                  for rng in (None, Random(3)))
    assert one == other
