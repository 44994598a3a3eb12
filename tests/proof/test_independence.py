"""The proof shares no line with what it proves: nothing in this folder imports the package, by any way."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
ROOT = FOLDER.parent.parent
FILES = sorted(FOLDER.rglob("*.py"))
# What it stands on: a reader of meshes, a solver, the kernel for STEP, and for jigs made by hand a maker of solids.
ALLOWED = {"tests.proof", "numpy", "scipy", "trimesh", "OCP", "cadquery", "manifold3d", "pytest", *sys.stdlib_module_names}


def imported(tree: ast.AST) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_imports(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for name in imported(tree):
        assert any(name == allowed or name.startswith(f"{allowed}.") for allowed in ALLOWED), f"{path.name} imports {name}"
    calls = {node.func.id if isinstance(node.func, ast.Name) else node.func.attr for node in ast.walk(tree)
             if isinstance(node, ast.Call) and isinstance(node.func, (ast.Name, ast.Attribute))}
    assert not calls & {"__import__", "import_module", "exec", "eval", "run_path", "run_module"}, path.name


def test_nothing_of_the_package_is_loaded() -> None:
    modules = ", ".join(f"tests.proof.{path.stem}" for path in FILES if path.stem != "__init__")
    code = f"import sys, {modules}; print([name for name in sys.modules if name.partition('.')[0] == 'deskmodel'])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_files_stay_short() -> None:
    assert all(len(path.read_text(encoding="utf-8").splitlines()) < 300 for path in FILES)
