"""Where the files of jigs lie, and what the files about them share."""

from __future__ import annotations

from collections.abc import Mapping

from deskmodel.exporters._job import ExportJob
from deskmodel.exporters._slug import slugs
from deskmodel.jigs import Jig

__all__ = ["JIG_COLOUR", "jig_path", "member_paths", "printed_name"]

JIG_COLOUR = (0.95, 0.62, 0.2)


def jig_path(jig: Jig, ending: str) -> str:
    return f"jigs/{jig.slug}.{ending}"


def printed_name(jig: Jig) -> str:
    return f"jig {jig.label}, {jig.kind}, drill {jig.diameter:g}"


def member_paths(job: ExportJob) -> Mapping[str, str]:
    """By ``JigUse.like``."""
    return {name: f"members/{file}.step" for name, file in slugs(sorted({use.like for use in job.jigs.uses})).items()}
