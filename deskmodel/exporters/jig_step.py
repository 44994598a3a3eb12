"""``jigs/*.step``: the solids of the jigs in the frame of their print, for whoever wants to change one."""

from __future__ import annotations

from deskmodel.exporters._jigs import JIG_COLOUR, jig_path, printed_name
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._single_step import single_steps

__all__ = ["export_jig_step"]


def export_jig_step(job: ExportJob) -> Written:
    return single_steps(job, {jig_path(jig, "step"): (printed_name(jig), job.jig_shapes[jig.number].step, JIG_COLOUR)
                              for jig in job.jigs.jigs})
