"""3MF core (3MF Core Specification 1.3): a mesh for the printer with its unit and its name. mm, no time, no random ids.

An Open Packaging Conventions archive of three parts: content types, relationships, model. Records first, bytes second;
``read_3mf`` takes it apart again.
"""

from __future__ import annotations

import io
import xml.etree.ElementTree as ElementTree
import zipfile
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault

__all__ = ["ReadModel", "read_3mf", "threemf_bytes"]

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL = "3D/3dmodel.model"
_TYPES = ('<?xml version="1.0" encoding="UTF-8"?>\n<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
          '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
          '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n')
_RELATIONS = ('<?xml version="1.0" encoding="UTF-8"?>\n'
              '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rel0" '
              f'Target="/{_MODEL}" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n')
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # the earliest that the archive's format knows


@dataclass(frozen=True, eq=False)
class ReadModel:
    """``vertices`` (n, 3) in ``unit``; ``triangles`` (m, 3)."""

    unit: str
    name: str
    remark: str
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]


def threemf_bytes(name: str, remark: str, vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> bytes:
    """The archive of a closed mesh, (n, 3) mm and (m, 3), counter-clockwise from outside. Places to 1e-6 mm."""
    rounded = np.round(vertices, 6) + 0.0
    points = "".join(f'<vertex x="{_short(x)}" y="{_short(y)}" z="{_short(z)}"/>' for x, y, z in rounded.tolist())
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in triangles.tolist())
    model = (f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en-US" xmlns="{_CORE}">'
             f'<metadata name="Title">{_escaped(name)}</metadata>'
             f'<metadata name="Description">{_escaped(remark)}</metadata>'
             f'<metadata name="Application">deskmodel</metadata><resources><object id="1" type="model" name={_quoted(name)}>'
             f'<mesh><vertices>{points}</vertices><triangles>{faces}</triangles></mesh></object></resources>'
             '<build><item objectid="1"/></build></model>\n')
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for path, text in (("[Content_Types].xml", _TYPES), ("_rels/.rels", _RELATIONS), (_MODEL, model)):
            entry = zipfile.ZipInfo(path, _FIRST_DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3  # the same on every system
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, text.encode("utf-8"), compresslevel=6)
    return out.getvalue()


def read_3mf(data: bytes) -> ReadModel:
    """What is in the archive; BuildFault where it is not one model with one mesh."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if archive.testzip() is not None:
                raise BuildFault("a 3MF archive whose checksums do not fit")
            root = ElementTree.fromstring(archive.read(_MODEL))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError) as fault:
        raise BuildFault(f"a 3MF file that cannot be read back: {fault}") from fault
    tag = f"{{{_CORE}}}"
    objects = root.findall(f"{tag}resources/{tag}object")
    items = root.findall(f"{tag}build/{tag}item")
    if len(objects) != 1 or [item.get("objectid") for item in items] != [objects[0].get("id")]:
        raise BuildFault(f"a 3MF file of {len(objects)} objects and {len(items)} things to build")
    vertices = [[float(v.get(k, "nan")) for k in "xyz"] for v in objects[0].iter(f"{tag}vertex")]
    triangles = [[int(t.get(k, "-1")) for k in ("v1", "v2", "v3")] for t in objects[0].iter(f"{tag}triangle")]
    told = {str(each.get("name")): each.text or "" for each in root.findall(f"{tag}metadata")}
    return ReadModel(root.get("unit", ""), told.get("Title", ""), told.get("Description", ""),
                     np.array(vertices, dtype=float).reshape(-1, 3), np.array(triangles, dtype=np.int64).reshape(-1, 3))


def _short(value: float) -> str:
    return f"{value:.6f}".rstrip("0").rstrip(".")


def _escaped(text: str) -> str:
    return _quoted(text)[1:-1]


def _quoted(text: str) -> str:
    return quoteattr("".join(c if c.isprintable() else " " for c in text), {'"': "&quot;"})
