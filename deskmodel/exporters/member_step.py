"""``members/*.step``: each different member that a jig drills, in its own frame, as it is after the stage "drill"."""

from __future__ import annotations

from deskmodel.exporters._jigs import member_paths
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._single_step import single_steps

__all__ = ["export_member_step"]


def export_member_step(job: ExportJob) -> Written:
    return single_steps(job, {path: (name, job.drilled[name], job.material_of(job.model.part(name)).colour)
                              for name, path in member_paths(job).items()})
