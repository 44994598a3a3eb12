"""``model.glb``: the desk for viewers (glTF 2.0, binary): metres, y up, one node per part, shapes shared.

Records first (``glb_document``), bytes second (``glb_bytes``); ``read_glb`` takes the bytes apart again and refuses
whatever breaks the rules of glTF 2.0 that viewers rely on.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.exporters._normals import corner_normals
from deskmodel.frames import Pose

__all__ = ["GlbContent", "GlbMaterial", "GlbNode", "GlbShape", "ReadNode", "check_glb", "glb_bytes", "read_glb"]

_METRE = 0.001
_FLOAT, _UINT = 5126, 5125
_ARRAY, _ELEMENTS = 34962, 34963
_UP = [-(0.5**0.5), 0.0, 0.0, 0.5**0.5]
"""Quaternion x, y, z, w: a quarter turn about x takes the desk's z (up) to glTF's y."""


@dataclass(frozen=True, eq=False, slots=True)
class GlbShape:
    """``vertices`` (n, 3) float, mm, part frame; ``triangles`` (m, 3) int, counter-clockwise from outside;
    ``faces`` (m,) int: the face of the solid each triangle belongs to (an edge between two faces is drawn sharp)."""

    vertices: NDArray[np.float64]
    triangles: NDArray[np.int64]
    faces: NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class GlbMaterial:
    """``colour`` sRGB, 0 to 1. ``metallic`` stays low: a fully metallic surface is black in a viewer that has no
    surroundings to mirror, so metal is told by its roughness instead."""

    name: str
    colour: tuple[float, float, float]
    metallic: float
    roughness: float
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class GlbNode:
    name: str
    shape: str
    material: GlbMaterial
    pose: Pose


@dataclass(frozen=True, slots=True)
class ReadNode:
    """``low`` and ``high``: corners of the box, mm, desk frame."""

    name: str
    low: tuple[float, float, float]
    high: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class GlbContent:
    name: str
    nodes: tuple[ReadNode, ...]
    extras: Mapping[str, Any]


def glb_bytes(desk: str, shapes: Mapping[str, GlbShape], nodes: Sequence[GlbNode],
              extras: Mapping[str, object]) -> bytes:
    """The file. ``extras`` (revision, "unreleased") go to the asset, where any viewer can show them."""
    document, binary = _document(desk, shapes, nodes, extras)
    text = json.dumps(document, ensure_ascii=True, allow_nan=False, separators=(",", ":")).encode("ascii")
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", len(binary), b"BIN\0") + binary
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks


def _document(desk: str, shapes: Mapping[str, GlbShape], nodes: Sequence[GlbNode],
              extras: Mapping[str, object]) -> tuple[dict[str, Any], bytes]:
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "deskmodel", "extras": dict(extras)},
        "scene": 0, "scenes": [{"name": desk, "nodes": [0]}],
        "nodes": [{"name": desk, "rotation": _UP, "children": list(range(1, len(nodes) + 1))}],
        "meshes": [], "materials": [], "accessors": [], "bufferViews": [], "buffers": [],
    }
    if not nodes:
        del document["nodes"][0]["children"]
    binary = bytearray()
    buffers: dict[str, dict[str, int]] = {}
    materials: dict[GlbMaterial, int] = {}
    meshes: dict[tuple[str, GlbMaterial], int] = {}
    for node in nodes:
        if node.shape not in buffers:
            buffers[node.shape] = _append(document, binary, node.name, shapes[node.shape])
        if node.material not in materials:
            materials[node.material] = len(materials)
            document["materials"].append(_material(node.material))
        key = (node.shape, node.material)
        if key not in meshes:
            meshes[key] = len(meshes)
            accessor = buffers[node.shape]
            document["meshes"].append({"primitives": [{
                "attributes": {"POSITION": accessor["positions"], "NORMAL": accessor["normals"]},
                "indices": accessor["indices"], "material": materials[node.material], "mode": 4}]})
        document["nodes"].append({"name": node.name, "mesh": meshes[key], **_transform(node.pose)})
    document["buffers"].append({"byteLength": len(binary)})
    return {key: value for key, value in document.items() if value != []}, bytes(binary)


def _append(document: dict[str, Any], binary: bytearray, name: str, shape: GlbShape) -> dict[str, int]:
    if len(shape.triangles) == 0:
        raise BuildFault(f"{name!r} has no triangles to draw")
    positions, normals, indices = corner_normals(shape.vertices * _METRE, shape.triangles, shape.faces)
    result = {}
    for label, array, kind, component, target in (
            ("positions", positions.astype("<f4"), "VEC3", _FLOAT, _ARRAY),
            ("normals", normals.astype("<f4"), "VEC3", _FLOAT, _ARRAY),
            ("indices", indices.astype("<u4").reshape(-1), "SCALAR", _UINT, _ELEMENTS)):
        data = array.tobytes()
        document["bufferViews"].append({"buffer": 0, "byteOffset": len(binary), "byteLength": len(data),
                                        "target": target})
        accessor = {"bufferView": len(document["bufferViews"]) - 1, "componentType": component,
                    "count": len(array), "type": kind}
        if label == "positions":
            accessor |= {"min": array.min(axis=0).tolist(), "max": array.max(axis=0).tolist()}
        document["accessors"].append(accessor)
        result[label] = len(document["accessors"]) - 1
        binary += data
    return result


def _material(material: GlbMaterial) -> dict[str, Any]:
    base = [*(_linear(c) for c in material.colour), material.opacity]
    record: dict[str, Any] = {"name": material.name, "pbrMetallicRoughness": {
        "baseColorFactor": base, "metallicFactor": material.metallic, "roughnessFactor": material.roughness}}
    if material.opacity < 1.0:
        record |= {"alphaMode": "BLEND", "doubleSided": True}
    return record


def _linear(c: float) -> float:
    """sRGB to linear light (IEC 61966-2-1); baseColorFactor is linear."""
    return round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6)


def _transform(pose: Pose) -> dict[str, list[float]]:
    x, y, z = (c * _METRE + 0.0 for c in pose.origin)
    if pose.rotation == Pose().rotation:
        return {"translation": [x, y, z]} if (x, y, z) != (0.0, 0.0, 0.0) else {}
    columns = [c + 0.0 for i in range(3) for c in (*pose.axis(i), 0.0)]
    return {"matrix": [*columns, x, y, z, 1.0]}


def read_glb(data: bytes) -> GlbContent:
    """Take a file of ours apart; BuildFault for a broken chunk, accessor, index, bound or normal."""
    magic, version, length = struct.unpack_from("<4sII", data)
    if magic != b"glTF" or version != 2 or length != len(data) or length % 4:
        raise BuildFault("model.glb: broken header")
    size, kind = struct.unpack_from("<I4s", data, 12)
    document = json.loads(data[20:20 + size])
    bin_size, bin_kind = struct.unpack_from("<I4s", data, 20 + size)
    binary = data[28 + size:]
    if kind != b"JSON" or bin_kind != b"BIN\0" or len(binary) != bin_size:
        raise BuildFault("model.glb: broken chunks")
    if document["buffers"] != [{"byteLength": bin_size}]:
        raise BuildFault("model.glb: the buffer has another length than it says")
    root = document["nodes"][0]
    boxes = [_mesh_points(document, binary, mesh) for mesh in document.get("meshes", [])]
    nodes = tuple(_read_node(document["nodes"][i], boxes) for i in root.get("children", []))
    if root["rotation"] != _UP:
        raise BuildFault("model.glb: y is not up")
    return GlbContent(root["name"], nodes, document["asset"]["extras"])


def _mesh_points(document: dict[str, Any], binary: bytes, mesh: dict[str, Any]) -> NDArray[np.float64]:
    primitive, = mesh["primitives"]
    positions = _array(document, binary, primitive["attributes"]["POSITION"], 3)
    normals = _array(document, binary, primitive["attributes"]["NORMAL"], 3)
    indices = _array(document, binary, primitive["indices"], 1)
    accessor = document["accessors"][primitive["attributes"]["POSITION"]]
    if positions.min(axis=0).tolist() != accessor["min"] or positions.max(axis=0).tolist() != accessor["max"]:
        raise BuildFault("model.glb: bounds that are not those of the positions")
    if indices.max() >= len(positions) or len(indices) % 3 or len(normals) != len(positions):
        raise BuildFault("model.glb: a triangle with a corner that does not exist")
    if np.abs(np.linalg.norm(normals.astype(float), axis=1) - 1.0).max() > 1e-5:
        raise BuildFault("model.glb: a normal that is not of length 1")
    if not 0 <= primitive["material"] < len(document["materials"]):
        raise BuildFault("model.glb: a material that does not exist")
    return positions.astype(float)


def _array(document: dict[str, Any], binary: bytes, index: int, width: int) -> NDArray[Any]:
    accessor = document["accessors"][index]
    view = document["bufferViews"][accessor["bufferView"]]
    data = binary[view["byteOffset"]:view["byteOffset"] + view["byteLength"]]
    array = np.frombuffer(data, "<f4" if accessor["componentType"] == _FLOAT else "<u4")
    if array.size != accessor["count"] * width:
        raise BuildFault("model.glb: an accessor that does not fill its view")
    return array.reshape(-1, width) if width > 1 else array


def _read_node(node: dict[str, Any], boxes: Sequence[NDArray[np.float64]]) -> ReadNode:
    points = boxes[node["mesh"]]
    if "matrix" in node:
        matrix = np.array(node["matrix"]).reshape(4, 4).T
        points = points @ matrix[:3, :3].T + matrix[:3, 3]
    else:
        points = points + np.array(node.get("translation", (0.0, 0.0, 0.0)))
    low, high = points.min(axis=0) / _METRE, points.max(axis=0) / _METRE
    return ReadNode(node["name"], (low[0], low[1], low[2]), (high[0], high[1], high[2]))


def check_glb(data: bytes, desk: str, shapes: Mapping[str, GlbShape], nodes: Sequence[GlbNode]) -> None:
    """Raise BuildFault unless the file holds these parts under these names in these places (0.001 mm, and what
    single precision leaves of the part's size)."""
    content = read_glb(data)
    if content.name != desk or [n.name for n in content.nodes] != [n.name for n in nodes]:
        raise BuildFault("model.glb: the names read back are not those written")
    for read, written in zip(content.nodes, nodes, strict=True):
        vertices = shapes[written.shape].vertices[np.unique(shapes[written.shape].triangles)]
        points = vertices @ np.array(written.pose.rotation).T + np.array(written.pose.origin)
        allowed = 1e-3 + 1e-6 * float(np.abs(vertices).max())
        off = max(np.abs(points.min(axis=0) - read.low).max(), np.abs(points.max(axis=0) - read.high).max())
        if off > allowed:
            raise BuildFault(f"model.glb: {written.name!r} is {off:.4f} mm off")
