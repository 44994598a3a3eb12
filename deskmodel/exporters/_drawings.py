"""A drawing as two files, one to print and measure on (SVG), one to look at (PNG)."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from PIL import Image

from deskmodel.drawing import Drawing, picture_size, png_bytes, svg_bytes
from deskmodel.drawing.records import Text
from deskmodel.errors import BuildFault
from deskmodel.exporters._job import Written

__all__ = ["check_png", "written_drawing"]

_TEXT = "{http://www.w3.org/2000/svg}text"


def written_drawing(drawing: Drawing, name: str) -> Written:
    """``name``: path without its ending."""
    files = {f"{name}.svg": svg_bytes(drawing), f"{name}.png": png_bytes(drawing)}
    texts = [record.text for record in drawing.records if isinstance(record, Text)]

    def read_back(folder: Path) -> None:
        try:
            root = ElementTree.fromstring((folder / f"{name}.svg").read_bytes())
        except ElementTree.ParseError as fault:
            raise BuildFault(f"{name}.svg read back is no XML: {fault}") from fault
        there = [element.text or "" for element in root.iter(_TEXT)]
        if len(there) != len(texts) or len(root) != len(drawing.records) + 3:  # title, description and ground
            raise BuildFault(f"{name}.svg read back is not the drawing that was written")
        check_png(f"{name}.png", (folder / f"{name}.png").read_bytes(), drawing)

    return Written(files, read_back)


def check_png(name: str, data: bytes, drawing: Drawing) -> None:
    """BuildFault unless it is a picture of the drawing's size."""
    try:
        with Image.open(io.BytesIO(data)) as picture:
            picture.load()
            size = picture.size
    except (OSError, SyntaxError) as fault:  # what the reader raises for a file that is cut off
        raise BuildFault(f"{name} read back is no picture: {fault}") from fault
    if size != picture_size(drawing):
        raise BuildFault(f"{name} read back is not the picture that was written")
