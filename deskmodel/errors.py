"""Errors a person can act on.

``InputFault`` is the input's fault (script, data sheet, parameter): exit status 2.
``BuildFault`` is the tool's fault (kernel, writer): exit status 3.
"""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["BuildFault", "DeskmodelError", "InputFault"]


class DeskmodelError(Exception):
    """Base of every error that deskmodel raises on purpose."""


class InputFault(DeskmodelError, ValueError):
    """The input is at fault.

    ``problem`` says what is wrong, with the value; ``allowed`` what would be right; ``file``, ``line`` and
    ``key`` where to look. All but ``problem`` may be None until a caller who knows them adds them.
    """

    def __init__(self, problem: str, *, allowed: str | None = None, file: str | None = None,
                 line: int | None = None, key: str | None = None) -> None:
        self.problem = problem
        self.allowed = allowed
        self.file = file
        self.line = line
        self.key = key
        super().__init__(problem)

    def __str__(self) -> str:
        where = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        text = f"{where}: " if where else ""
        if self.key:
            text += f"{self.key}: "
        text += self.problem
        return f"{text}; allowed: {self.allowed}" if self.allowed else text

    def located(self, *, file: str | None = None, line: int | None = None, key: str | None = None) -> InputFault:
        """The same fault with the places filled in that were not known where it arose."""
        if self.file is None and self.line is None:  # a line belongs to its file: never one of each
            return InputFault(self.problem, allowed=self.allowed, file=file, line=line, key=self.key or key)
        return InputFault(self.problem, allowed=self.allowed, file=self.file or file, line=self.line,
                          key=self.key or key)

    def about(self, name: str, parts: Iterable[str] = ()) -> InputFault:
        """The same fault with ``name`` in front, unless it tells that name, or that of one of ``parts``, already."""
        if any(repr(each) in self.problem for each in (name, *parts)):
            return self
        return InputFault(f"{name!r}: {self.problem}", allowed=self.allowed, file=self.file, line=self.line, key=self.key)


class BuildFault(DeskmodelError, RuntimeError):
    """The tool could not do what it promised: an invalid solid, a writer that failed."""
