"""``jigs/coupon-*``: the print-calibration coupon of each bush as STEP, STL and 3MF, with the page on how to read it;
``jigs/trial-joint.pdf``."""

from __future__ import annotations

from pathlib import Path

from deskmodel.drawing.flow import document
from deskmodel.drawing.paper import Head, body_of
from deskmodel.exporters._jig_figure import Mesh, coupon_figure
from deskmodel.exporters._jigs import JIG_COLOUR
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._printed import check_3mf, check_printed
from deskmodel.exporters._single_step import single_steps
from deskmodel.exporters._stl import stl_bytes
from deskmodel.exporters._threemf import threemf_bytes
from deskmodel.jigs.coupon_pages import coupon_blocks, trial_blocks
from deskmodel.jigs.trial import trial_joints

__all__ = ["export_coupons"]


def export_coupons(job: ExportJob) -> Written:
    files: dict[str, bytes] = {}
    pages = {}
    x0, _, x1, _ = body_of("A4")
    unreleased = job.unreleased is not None
    printer = job.model.workshop.printer
    for name, coupon in job.coupons.items():
        shape = job.coupon_shapes[name]
        files[f"jigs/{name}.stl"] = stl_bytes(coupon.title, stamp(job), shape.vertices, shape.triangles)
        files[f"jigs/{name}.3mf"] = threemf_bytes(coupon.title, stamp(job), shape.vertices, shape.triangles)
        figure = coupon_figure(coupon, Mesh(shape.vertices, shape.triangles), x1 - x0)
        assert printer is not None  # it has coupons
        pages[f"jigs/{name}.pdf"] = (document(coupon_blocks(coupon, printer, figure), "A4",
                                              Head(job.model.name, coupon.title, stamp(job), unreleased)),
                                     f"{job.model.name}: {coupon.title}", stamp(job))
    trials = trial_joints(job.model, job.jigs)
    if trials:
        blocks = trial_blocks(trials, job.jigs)
        pages["jigs/trial-joint.pdf"] = (document(blocks, "A4", Head(job.model.name, "trial joint", stamp(job), unreleased)),
                                         f"{job.model.name}: trial joint", stamp(job))
    documents = written_pages(pages)
    steps = single_steps(job, {f"jigs/{name}.step": (coupon.title, job.coupon_shapes[name].step, JIG_COLOUR)
                               for name, coupon in job.coupons.items()})

    def read_back(folder: Path) -> None:
        documents.read_back(folder)
        steps.read_back(folder)
        for name, coupon in job.coupons.items():
            shape = job.coupon_shapes[name]
            check_printed(f"jigs/{name}.stl", (folder / f"jigs/{name}.stl").read_bytes(), shape)
            check_3mf(f"jigs/{name}.3mf", (folder / f"jigs/{name}.3mf").read_bytes(), coupon.title, stamp(job), shape)

    return Written({**files, **documents.files, **steps.files}, read_back)
