"""Entry: read the command line, run the command, turn every way to fail into its exit status.

Nothing heavy is imported here or above: help, explanations and errors of the input must come at once.
"""

from __future__ import annotations

import errno
import os
import sys
import traceback
from argparse import Namespace
from collections.abc import Callable, Sequence

from deskmodel.cli.arguments import arguments_parser
from deskmodel.cli.text import Style, build_fault_text, input_fault_text
from deskmodel.errors import BuildFault, InputFault

__all__ = ["main"]

UNWRITABLE = (errno.ENOSPC, errno.EDQUOT, errno.EACCES, errno.EPERM, errno.EROFS)
"""What the disk says where it is full or not open to us: a full one under a redirected output, say."""

INPUT_AT_FAULT, TOOL_AT_FAULT, INTERRUPTED = 2, 3, 130


def main(argv: Sequence[str] | None = None) -> int:
    """The exit status: 0, 1, 2 or 3 as ``deskmodel --help`` says; 130 after an interrupt, as is usual."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")
    try:
        arguments = arguments_parser().parse_args(argv)
    except SystemExit as ending:  # argparse has said why
        return ending.code if isinstance(ending.code, int) else INPUT_AT_FAULT
    style = Style.of(sys.stderr, wanted=arguments.colour)
    try:
        status = _command(arguments.command)(arguments)
        sys.stdout.flush()
        return status
    except InputFault as fault:
        print(input_fault_text(fault, style), file=sys.stderr)
        return INPUT_AT_FAULT
    except BuildFault as fault:
        print(build_fault_text(str(fault), style), file=sys.stderr)
        return TOOL_AT_FAULT
    except BrokenPipeError:  # the reader of our output has seen enough
        _say_no_more()
        return INTERRUPTED
    except KeyboardInterrupt:
        print("interrupted; nothing was changed", file=sys.stderr)
        return INTERRUPTED
    except ImportError as error:
        if _interrupted(error):
            print("interrupted; nothing was changed", file=sys.stderr)
            return INTERRUPTED
        print(build_fault_text(_missing(error), style), file=sys.stderr)
        return TOOL_AT_FAULT
    except Exception as error:
        if isinstance(error, OSError) and error.errno in UNWRITABLE:
            print(input_fault_text(_unwritten(error), style), file=sys.stderr)
            _say_no_more()
            return INPUT_AT_FAULT
        # whatever else it is, it is ours, and the trace helps whoever mends it
        traceback.print_exc()
        print(build_fault_text(f"{type(error).__name__}: {error}", style), file=sys.stderr)
        return TOOL_AT_FAULT


def _say_no_more() -> None:
    """What is still held back for the output goes nowhere: the interpreter would fail at it once more while it ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _unwritten(error: OSError) -> InputFault:
    where = "the output" if error.filename is None else repr(str(error.filename))
    return InputFault(f"{where} cannot be written: {error.strerror}", allowed="a place with room, open to you")


def _interrupted(error: BaseException | None) -> bool:
    """Whether an interrupt lies behind it: a compiled library that is stopped while it loads makes an ImportError of it."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__cause__ or error.__context__
    return False


def _missing(error: ImportError) -> str:
    """A bare server lacks libraries that the kernel wants, although it draws nothing on a screen."""
    hint = ""
    if "libGL" in str(error):
        hint = "; a system library is missing: on Debian and its kin, 'apt-get install libgl1' brings it"
    return f"a library cannot be loaded: {error}{hint}"


def _command(name: str) -> Callable[[Namespace], int]:
    if name == "compare":
        from deskmodel.cli.compare import compare
        return compare
    if name == "explain":
        from deskmodel.cli.explain import explain
        return explain
    if name == "new":
        from deskmodel.cli.new import new
        return new
    if name == "watch":
        from deskmodel.cli.watch import watch
        return watch
    from deskmodel.cli.desk import check, make
    return check if name == "check" else make
