"""The file of a data sheet that a script names."""

from __future__ import annotations

import os
from difflib import get_close_matches
from pathlib import Path

from deskmodel._numbers import told
from deskmodel.errors import InputFault

__all__ = ["sheet_file"]


def sheet_file(folder: Path, sheet: str | Path) -> Path:
    """``equipment/<sheet>.toml`` in ``folder``, or the path from there where ``sheet`` ends in .toml. InputFault, with the
    name of a sheet that is nearly called so, where there is none."""
    by_path = str(sheet).endswith(".toml")
    path = folder / sheet if by_path else folder / "equipment" / f"{sheet}.toml"
    if os.path.exists(path):  # False also for what can be no path
        return path
    try:
        names = sorted(each.name if by_path else each.stem for each in path.parent.glob("*.toml"))
    except (OSError, ValueError):
        names = []
    near = get_close_matches(path.name if by_path else str(sheet), names, 1)
    beside = folder.parent / "equipment" / path.name
    if not near and not by_path and os.path.exists(beside):
        raise InputFault(f"no sheet {told(str(sheet))} in {told(path.parent.name)[1:-1]}/ beside the script; there is one "
                         f"in {beside.parent}", allowed=f"a sheet in {path.parent}")
    raise InputFault(f"no sheet {told(str(sheet))} in {told(path.parent.name)[1:-1]}/"
                     + (f"; did you mean {near[0]!r}?" if near else ""),
                     allowed="a sheet in equipment/ beside the script, or a path ending in .toml")
