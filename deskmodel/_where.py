"""The place in the script that is being run: file and line of the nearest caller outside this package."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Where", "caller"]

_PACKAGE = str(Path(__file__).parent) + os.sep  # not a folder whose name merely begins alike
_TEMPLATES = _PACKAGE + "templates" + os.sep  # desks to start from: scripts, although they come with the package


@dataclass(frozen=True, slots=True)
class Where:
    """``line`` of ``file``; ``via``: where the same file called the function that this line stands in, 0 if it is in the
    outermost one."""

    file: str
    line: int
    via: int = 0

    def __str__(self) -> str:
        at = f"{Path(self.file).name}:{self.line}"
        return f"{at} (from line {self.via})" if self.via else at


def caller() -> Where:
    """The innermost frame whose code lies outside deskmodel."""
    frame = sys._getframe(1)
    while frame.f_back is not None and _ours(frame.f_code.co_filename):
        frame = frame.f_back
    outer = frame.f_back
    same_file = outer is not None and outer.f_code.co_filename == frame.f_code.co_filename
    # a module's own frame only imports: the function that a script calls first is desk(…)
    via = outer.f_lineno if outer is not None and same_file and outer.f_code.co_name != "<module>" else 0
    return Where(frame.f_code.co_filename, frame.f_lineno, via)


def _ours(file: str) -> bool:
    return file.startswith(_PACKAGE) and not file.startswith(_TEMPLATES)
