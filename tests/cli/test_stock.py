"""The stock list at the command line: told how to write, refused at its line, no part of the revision."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.commands import CLEAN, GLUED, deskmodel

BOARD = """\
source = "invented"
currency = "EUR"

[[board]]
material = "ash"
thickness = 27
length = 2500
width = 180
price = 30
"""


def test_it_is_explained(tmp_path: Path) -> None:
    said = deskmodel("explain", "stock", cwd=tmp_path)
    assert said.returncode == 0
    assert "[[board]]" in said.stdout
    assert "on_hand" in said.stdout
    assert "stock" in deskmodel("explain", cwd=tmp_path).stdout


def test_a_fault_is_told_at_its_line_and_nothing_is_written(tmp_path: Path, cache: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    (tmp_path / "stock.toml").write_text(BOARD.replace("length = 2500", "length = 25"))
    for command in ("check", "make"):
        ran = deskmodel(command, cwd=tmp_path, cache=cache)
        assert ran.returncode == 2
        assert "stock.toml:7" in ran.stderr
        assert "board.1.length" in ran.stderr
        assert "50 to 10000" in ran.stderr
        assert "Traceback" not in ran.stderr
    assert not (tmp_path / "exports").exists()


def test_a_price_changes_the_papers_but_not_the_revision(tmp_path: Path, cache: Path) -> None:
    (tmp_path / "desk.py").write_text(GLUED)

    def made() -> tuple[dict[str, object], str, dict[str, str]]:
        ran = deskmodel("make", cwd=tmp_path, cache=cache)
        assert ran.returncode == 0, ran.stdout + ran.stderr
        folder = tmp_path / "exports" / "small-frame"
        manifest = json.loads((folder / "manifest.json").read_text())
        return manifest, (folder / "documents" / "shopping-list.csv").read_text("utf-8-sig"), {
            entry["path"]: entry["sha256"] for entry in manifest["files"]}

    (tmp_path / "stock.toml").write_text(BOARD)
    first, table, files = made()
    (tmp_path / "stock.toml").write_text(BOARD.replace("price = 30", "price = 31"))
    second, dearer, others = made()
    assert first["revision"] == second["revision"]
    assert first["stock"] != second["stock"]
    assert ",30,EUR," in table
    assert ",31,EUR," in dearer
    changed = {path for path in files if files[path] != others[path]}
    assert changed == {f"documents/{name}" for name in ("shopping-list.csv", "shopping-list.pdf", "stock-layout.pdf",
                                                        "stock-layout/ash.svg", "stock-layout/ash.png")}
