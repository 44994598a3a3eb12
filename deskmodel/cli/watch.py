"""``deskmodel watch``: check at once, and again whenever the script or one of its files is saved."""

from __future__ import annotations

import sys
import webbrowser
from argparse import Namespace

from deskmodel.cli.arguments import parameter_texts
from deskmodel.cli.progress import TerminalProgress
from deskmodel.cli.text import Style
from deskmodel.cli.watch_text import round_text
from deskmodel.errors import BuildFault
from deskmodel.serve import PageServer
from deskmodel.session.script import find_script, shown

__all__ = ["watch"]


def watch(arguments: Namespace) -> int:
    """Until it is interrupted, which is how it is meant to end: status 0."""
    texts, script = parameter_texts(arguments.settings), find_script(arguments.desk)
    style = Style.of(sys.stdout, wanted=arguments.colour)
    progress = TerminalProgress(sys.stderr)
    server = _server(arguments.port) if arguments.page else None
    try:
        print(f"watching {shown(script)} and the files it reads; interrupt to end", flush=True)
        if server is not None:
            print(f"the page: {server.address}", flush=True)
            if arguments.open:
                _open(server.address)
        progress.step("starting the kernel")
        from deskmodel.serve.live import LivePage  # heavy
        from deskmodel.session.watch import Round
        from deskmodel.session.watch import watch as rounds

        page = LivePage(server) if server is not None else None

        def show(each: Round) -> None:
            if page is not None:
                page.tell(each)
            print(round_text(each, style), end="\n\n", flush=True)

        rounds(script, texts=texts, progress=progress, show=show, stopped=lambda: False, seconds=arguments.script_timeout,
               begin=page.begin if page is not None else None, picture=page.show if page is not None else None)
    except KeyboardInterrupt:
        progress.end()
    finally:
        if server is not None:
            server.close()
    return 0


def _server(port: int) -> PageServer | None:
    """None where this installation has no page; the terminal does without."""
    from deskmodel.page import csp_header, live_page

    try:
        page = live_page()
    except BuildFault as fault:
        print(f"no page: {fault}", file=sys.stderr)
        return None
    return PageServer(page, csp_header(), port=port)


def _open(address: str) -> None:
    """In the system's browser, unless that is one of the terminal, which would take it from us."""
    try:
        browser = webbrowser.get()
        opened = type(browser) is not webbrowser.GenericBrowser and browser.open(address)
    except (webbrowser.Error, OSError):
        opened = False
    if not opened:
        print("no browser could be started: open that address by hand", file=sys.stderr)
