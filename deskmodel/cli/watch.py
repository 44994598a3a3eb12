"""``deskmodel watch``: check at once, and again whenever the script or one of its files is saved."""

from __future__ import annotations

import sys
from argparse import Namespace

from deskmodel.cli.arguments import parameter_texts
from deskmodel.cli.progress import TerminalProgress
from deskmodel.cli.text import Style
from deskmodel.cli.watch_text import round_text
from deskmodel.session.script import find_script, shown

__all__ = ["watch"]


def watch(arguments: Namespace) -> int:
    """Until it is interrupted, which is how it is meant to end: status 0."""
    texts, script = parameter_texts(arguments.settings), find_script(arguments.desk)
    style = Style.of(sys.stdout, wanted=arguments.colour)
    progress = TerminalProgress(sys.stderr)
    progress.step("starting the kernel")
    from deskmodel.session.watch import Round  # heavy
    from deskmodel.session.watch import watch as rounds

    def show(each: Round) -> None:
        print(round_text(each, style), end="\n\n", flush=True)

    print(f"watching {shown(script)} and the files it reads; interrupt to end", flush=True)
    try:
        rounds(script, texts=texts, progress=progress, show=show, stopped=lambda: False, seconds=arguments.script_timeout)
    except KeyboardInterrupt:
        progress.end()
    return 0
