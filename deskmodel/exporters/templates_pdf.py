"""``templates/*.pdf``: 1:1 templates of what is cut by hand, a file for each piece and each fascia panel."""

from __future__ import annotations

from deskmodel.drawing.template_pages import template_pages
from deskmodel.drawing.template_shapes import Template, templates
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._pages import written_pages
from deskmodel.exporters._piece_drawings import made_from
from deskmodel.exporters._slug import slugs

__all__ = ["export_templates"]

FOLDER = "templates"


def export_templates(job: ExportJob) -> Written:
    made = made_from(job)
    groups: dict[str, list[Template]] = {}
    for template in templates(job.model):
        groups.setdefault(template.group, []).append(template)
    names = slugs(groups)
    return written_pages({
        f"{FOLDER}/{names[group]}.pdf": (
            template_pages(group_made, job.model.workshop.paper, made.desk, made.made_from, made.unreleased),
            f"{made.desk}: templates, {group}", made.made_from)
        for group, group_made in groups.items()})
