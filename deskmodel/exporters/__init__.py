"""The files of a desk. One format, one file here; each is listed in ``EXPORTERS``.

To add one: a module with a function ``ExportJob -> Written``, and its line in the tuple.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from deskmodel.exporters._job import ExportJob, ExportShape, Written
from deskmodel.exporters._json import json_bytes
from deskmodel.exporters._slug import slug, slugs
from deskmodel.exporters.assembly_pdf import export_assembly
from deskmodel.exporters.bays_csv import export_bays
from deskmodel.exporters.cautions_pdf import export_cautions
from deskmodel.exporters.countersinks_csv import export_countersinks
from deskmodel.exporters.coupons import export_coupons
from deskmodel.exporters.cut_list_csv import export_cut_list
from deskmodel.exporters.cut_list_pdf import export_cut_list_pdf
from deskmodel.exporters.drilling_csv import export_drilling
from deskmodel.exporters.findings_json import export_findings, findings_record
from deskmodel.exporters.glass_csv import export_glass
from deskmodel.exporters.glass_pdf import export_glass_order
from deskmodel.exporters.jig_3mf import export_jig_3mf
from deskmodel.exporters.jig_sheets import export_jig_sheets
from deskmodel.exporters.jig_step import export_jig_step
from deskmodel.exporters.jig_stl import export_jig_stl
from deskmodel.exporters.jigs_csv import export_jigs_csv
from deskmodel.exporters.jigs_json import export_jigs_json
from deskmodel.exporters.labels import export_labels
from deskmodel.exporters.manifest import export_manifest
from deskmodel.exporters.member_drawings import export_member_drawings
from deskmodel.exporters.member_step import export_member_step
from deskmodel.exporters.model_glb import export_glb
from deskmodel.exporters.model_json import export_model
from deskmodel.exporters.model_step import export_step
from deskmodel.exporters.operation_sheets import export_operation_sheets
from deskmodel.exporters.picture_png import export_picture
from deskmodel.exporters.plan_picture import export_plan
from deskmodel.exporters.plate_drawings import export_plate_drawings
from deskmodel.exporters.plates_csv import export_plates
from deskmodel.exporters.plates_dxf import export_dxf
from deskmodel.exporters.plates_step import export_folded
from deskmodel.exporters.printed_stl import export_printed
from deskmodel.exporters.report_html import export_report
from deskmodel.exporters.section_picture import export_section
from deskmodel.exporters.shopping_csv import export_shopping_csv
from deskmodel.exporters.shopping_pdf import export_shopping_pdf
from deskmodel.exporters.slop_csv import export_slop
from deskmodel.exporters.stock_layout import export_stock_layout
from deskmodel.exporters.story_sticks import export_story_sticks
from deskmodel.exporters.templates_pdf import export_templates
from deskmodel.exporters.tubes_csv import export_tubes
from deskmodel.exporters.view_html import export_view

__all__ = ["EXPORTERS", "ExportJob", "ExportShape", "Exporter", "Written", "export_manifest", "findings_record",
           "json_bytes", "slug", "slugs"]


@dataclass(frozen=True, slots=True)
class Exporter:
    """``for_building``: somebody could build from these files, so findings that stop the build hold them back; with them
    everything that needs ``ExportJob.shapes``, since a shape may be what could not be made. ``checked_here``: needs
    ``ExportJob.scene``, ``mass`` or ``fit``, which only the process has that checked."""

    what: str
    export: Callable[[ExportJob], Written]
    for_building: bool
    checked_here: bool = False


EXPORTERS: tuple[Exporter, ...] = (
    Exporter("model.step", export_step, for_building=True),
    Exporter("model.json", export_model, for_building=False),
    Exporter("findings.json", export_findings, for_building=False),
    Exporter("bay table", export_bays, for_building=False),
    Exporter("plan", export_plan, for_building=False),
    Exporter("section", export_section, for_building=False),
    Exporter("model.glb", export_glb, for_building=True),
    Exporter("picture.png", export_picture, for_building=True),
    Exporter("report", export_report, for_building=False, checked_here=True),
    Exporter("view.html", export_view, for_building=False, checked_here=True),
    Exporter("printed parts", export_printed, for_building=True),
    Exporter("drilling schedule", export_drilling, for_building=True),
    Exporter("cut list", export_cut_list, for_building=True),
    Exporter("cut list to print", export_cut_list_pdf, for_building=True),
    Exporter("operation sheets", export_operation_sheets, for_building=True),
    Exporter("labels", export_labels, for_building=True),
    Exporter("member drawings", export_member_drawings, for_building=True),
    Exporter("assembly sheets", export_assembly, for_building=True),
    Exporter("plate drawings", export_plate_drawings, for_building=True),
    Exporter("templates", export_templates, for_building=True),
    Exporter("cautions", export_cautions, for_building=True),
    Exporter("plates for the cutting service", export_dxf, for_building=True),
    Exporter("folded plates", export_folded, for_building=True),
    Exporter("countersinks of plates", export_countersinks, for_building=True),
    Exporter("order of plates", export_plates, for_building=True),
    Exporter("order of glass", export_glass, for_building=True),
    Exporter("order of glass to print", export_glass_order, for_building=True),
    Exporter("story sticks", export_story_sticks, for_building=True),
    Exporter("stock layout", export_stock_layout, for_building=True),
    Exporter("shopping list", export_shopping_csv, for_building=True),
    Exporter("shopping list to print", export_shopping_pdf, for_building=True),
    Exporter("jigs.json", export_jigs_json, for_building=True),
    Exporter("table of jigs", export_jigs_csv, for_building=True),
    Exporter("bushes to cut", export_tubes, for_building=True),
    Exporter("slop of jigs", export_slop, for_building=True),
    Exporter("coupons", export_coupons, for_building=True),
    Exporter("how to use the jigs", export_jig_sheets, for_building=True),
    Exporter("members to drill", export_member_step, for_building=True),
    Exporter("jigs as STL", export_jig_stl, for_building=True),
    Exporter("jigs as 3MF", export_jig_3mf, for_building=True),
    Exporter("jigs as STEP", export_jig_step, for_building=True),
)
"""In the order in which they are written. STEP comes first: it takes longest to be read back, which may go on while the
others are written. A second process may write from the other end: what needs the jigs' shapes, and the stock layout, stands
together there, so that each is made once. The manifest comes last and is made from all the others."""
