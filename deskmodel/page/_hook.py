"""Bundles the page when the package is built, as a wheel or where it lies; a source archive holds the sources only."""

from __future__ import annotations

import runpy
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class PageBuildHook(BuildHookInterface):  # type: ignore[misc]  # the builder is there while it builds, and only then
    PLUGIN_NAME = "page"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if self.target_name != "wheel":
            return
        page = Path(self.root) / "deskmodel" / "page"
        runpy.run_path(str(page / "_bundle.py"))["make_bundle"](page)
