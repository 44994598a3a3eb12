"""``model.glb``: the desk for viewers and pages."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._glb import GlbMaterial, GlbNode, GlbShape, check_glb, glb_bytes, read_glb
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.materials import Material

__all__ = ["export_glb"]

NAME = "model.glb"

_SURFACES: dict[str, tuple[float, float, float]] = {  # metallic, roughness, opacity: by eye
    "timber": (0.0, 0.75, 1.0), "ply": (0.0, 0.8, 1.0), "metal": (0.3, 0.45, 1.0), "glass": (0.0, 0.1, 0.35),
    "plastic": (0.0, 0.55, 1.0), "veneer": (0.0, 0.7, 1.0), "equipment": (0.0, 0.6, 1.0)}


def export_glb(job: ExportJob) -> Written:
    shapes = {key: GlbShape(shape.vertices, shape.triangles, shape.faces) for key, shape in job.shapes.items()}
    nodes = [GlbNode(placed.name, job.shape_keys[placed.name], _surface(job.material_of(placed)), placed.pose)
             for placed in job.model.parts]
    extras: dict[str, object] = {"desk": job.model.name, "revision": job.revision}
    if job.unreleased is not None:
        extras["unreleased"] = job.unreleased
    data = glb_bytes(job.model.name, shapes, nodes, extras)

    def read_back(folder: Path) -> None:
        read = (folder / NAME).read_bytes()
        check_glb(read, job.model.name, shapes, nodes)
        if read_glb(read).extras != extras:
            raise BuildFault(f"{NAME} read back has another revision")

    return Written({NAME: data}, read_back)


def _surface(material: Material) -> GlbMaterial:
    metallic, roughness, opacity = _SURFACES[material.kind]
    return GlbMaterial(material.name, material.colour, metallic, roughness, opacity)
