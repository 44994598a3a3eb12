"""Drawings: neutral records in mm of paper, views of a desk made of them, and a writer for each format. No kernel."""

from deskmodel.drawing.pdf import drawable, pdf_bytes
from deskmodel.drawing.plan_view import plan_view
from deskmodel.drawing.png import picture_size, png_bytes
from deskmodel.drawing.records import LAYERS, Drawing, Layer, Path, Picture, Record, Text
from deskmodel.drawing.section_view import section_at, section_view
from deskmodel.drawing.svg import svg_bytes, svg_lines

__all__ = ["LAYERS", "Drawing", "Layer", "Path", "Picture", "Record", "Text", "drawable", "pdf_bytes", "picture_size",
           "plan_view", "png_bytes", "section_at", "section_view", "svg_bytes", "svg_lines"]
