"""Runs ``deskmodel`` as people do: in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

__all__ = ["CLEAN", "GLUED", "ROOT", "STRIKING", "STRIP", "command", "deskmodel", "environment", "write"]

ROOT = Path(__file__).parent.parent.parent

CLEAN = '''\
"""A frame of four members with dowels: nothing to find."""
from deskmodel import Desk, DowelJoint, Member

def desk(width: float = 300, depth: float = 200, name: str = "small frame", shift: float = 0.0) -> Desk:
    d = Desk(name, envelope=(width, depth, 60))
    front = d.place(Member("front", section=(22, 60), length=width, material="ash"), at=(0, 0, 0))
    back = d.place(Member("back", section=(22, 60), length=width, material="ash"), at=(0, depth - 22, 0))
    for side, x in (("left", shift), ("right", width - 22)):
        end = d.place(Member(f"{side} end", section=(22, 60), length=depth - 44, material="ash"), at=(x, 22, 0),
                      along="y")
        d.join(DowelJoint(end, front), DowelJoint(end, back))
    return d
'''

GLUED = (CLEAN.replace("with dowels: nothing to find", "glued end to side: warnings only, and no jigs, which take longest")
         .replace("DowelJoint, Member", "Bond, Member")
         .replace("DowelJoint(end, front), DowelJoint(end, back)", 'Bond(end, [front, back], glue="PVAc")'))

STRIP = '''\
    d.place(Member("strip", section=(22, 60), length=width, material="ash"), at=(0, 20, 0))
    return d
'''
STRIKING = CLEAN.replace("    return d\n", STRIP)


def environment(cache: Path | str, seed: str = "0") -> dict[str, str]:
    return {**{k: v for k, v in os.environ.items() if k not in {"NO_COLOR", "COLUMNS"}},
            "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "DESKMODEL_CACHE": str(cache)}


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "deskmodel", *arguments]


def deskmodel(*arguments: str, cwd: Path, cache: Path | str = "off",
              seed: str = "0") -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(*arguments), cwd=cwd, env=environment(cache, seed), capture_output=True, text=True,
                          check=False, stdin=subprocess.DEVNULL)


def write(folder: Path, text: str, name: str = "desk.py") -> None:
    (folder / name).write_text(text, encoding="utf-8")
