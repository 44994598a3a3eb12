"""The layer order of DEVELOPERS.md, asserted from the imports themselves."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "deskmodel"

# Each layer imports only from itself and from those before it. One tuple is one layer.
LAYERS: tuple[tuple[str, ...], ...] = (
    ("errors", "_remembered", "_where", "tolerances", "_numbers", "frames", "_edges", "profiles", "joined", "materials",
     "findings"),
    ("features",),
    ("bends",),
    ("veneer", "finish", "_blanks", "part", "component", "hardware", "catalogue", "cover", "bay", "workshop", "stock",
     "general_tolerances", "service"),
    ("extent", "flat", "contours", "cut_away", "cutting", "turned_over"),
    ("_further_faces", "_touch", "faces"),
    ("joints",),
    ("_placing", "_veneering", "desk", "_opening", "seen", "_witness"),
    ("_model_text", "_typed", "_model_data", "_model_reading", "model"),
    ("cache", "processes", "scripting"),
    ("solids",),
    ("meshes",),
    ("fit",),
    ("plans",),
    ("drawing",),
    ("jigs",),
    ("report",),
    ("checks",),
    ("page",),
    ("exporters",),
    ("session",),
    ("serve",),
    ("cli", "__main__"),
)
KERNEL = {"cadquery", "OCP"}  # only in solids
MESH = {"trimesh", "fcl", "manifold3d"}  # only in meshes and fit
KERNEL_FREE = next(i for i, layer in enumerate(LAYERS) if "cache" in layer)  # layers before it: no heavy import
HEAVY = KERNEL | MESH | {"numpy", "scipy", "rich", "vtkmodules", "ezdxf"}

RANK = {name: rank for rank, layer in enumerate(LAYERS) for name in layer}
FILES = sorted(path for path in PACKAGE.rglob("*.py") if "templates" not in path.parts)  # desks are scripts, no modules


def layer_of(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def imports(path: Path, *, module_level_only: bool = False) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = tree.body if module_level_only else list(ast.walk(tree))
    names: set[str] = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import; say the whole name"
            module = node.module or ""
            names.add(module)
            names |= {f"{module}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_only_what_lies_below(path: Path) -> None:
    if path == PACKAGE / "__init__.py":
        return  # the public door: checked by test_import_deskmodel_is_light
    own = layer_of(path)
    assert own in RANK, f"{own} has no place in the layer table"
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "deskmodel" and len(parts) > 1 and parts[1] in RANK:
            assert RANK[parts[1]] <= RANK[own], f"{path} imports {name}, which lies above it"
            siblings = {"checks", "exporters"} & {own}
            if siblings and parts[1] == own and path.stem != "__init__" and len(parts) > 2:
                assert parts[2].startswith("_"), f"{path} imports its sibling {name}"
        if parts[0] in KERNEL:
            assert own == "solids", f"{path} imports the kernel"
        if parts[0] in MESH:
            assert own in {"meshes", "fit"}, f"{path} imports a mesh library"
        if parts[0] in HEAVY:
            assert RANK[own] >= KERNEL_FREE, f"{path} is in a layer without heavy imports"


@pytest.mark.parametrize("path", [p for p in FILES if layer_of(p) == "checks"],
                         ids=lambda p: str(p.relative_to(PACKAGE)))
def test_checks_are_light_at_module_level(path: Path) -> None:
    assert not {name.split(".")[0] for name in imports(path, module_level_only=True)} & HEAVY
