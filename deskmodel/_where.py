"""The place in the script that is being run: file and line of the nearest caller outside this package."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from pathlib import Path

__all__ = ["Where", "caller"]

_PACKAGE = str(Path(__file__).parent) + os.sep  # a script in "deskmodel-shelf" beside it is not ours


@dataclass(frozen=True, slots=True)
class Where:
    file: str
    line: int

    def __str__(self) -> str:
        return f"{Path(self.file).name}:{self.line}"


def caller() -> Where:
    """The innermost frame whose code lies outside deskmodel."""
    frame = sys._getframe(1)
    while frame.f_back is not None and frame.f_code.co_filename.startswith(_PACKAGE):
        frame = frame.f_back
    return Where(frame.f_code.co_filename, frame.f_lineno)
