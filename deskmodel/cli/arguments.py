"""What can be typed after ``deskmodel``."""

from __future__ import annotations

import argparse
from importlib.metadata import PackageNotFoundError, version

import deskmodel
from deskmodel.cli.compare_options import EPILOG as COMPARE_EPILOG
from deskmodel.cli.compare_options import compare_options
from deskmodel.cli.new import TEMPLATES
from deskmodel.cli.new_component import component_options
from deskmodel.errors import InputFault
from deskmodel.session.script import SCRIPT_SECONDS, WATCH_SECONDS

__all__ = ["arguments_parser", "parameter_texts", "version_text"]

_EPILOG = """\
exit status
  0  no finding stops the build
  1  at least one does, or a check could not be run
  2  the input is at fault: script, data sheet, parameter
  3  deskmodel is at fault, or a check crashed
"""


def arguments_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="deskmodel", epilog=_EPILOG, formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False,
        description="Check a desk described as code, part against part, and write what the workshop needs.")
    parser.add_argument("--version", action="version", version=f"deskmodel {version_text()}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    check = _add(commands, "check", "say what will not fit or cannot be built")
    _desk_options(check)
    check.add_argument("--bays", action="store_true",
                       help="print the bay table too: clear sizes, what is in each bay, how much room is left")
    make = _add(commands, "make", "check, then write the files of the desk into exports/")
    _desk_options(make)
    make.add_argument("--out", metavar="FOLDER", default="exports",
                      help="where the desk's own folder goes (default: exports)")
    make.add_argument("--unreleased", action="store_true",
                      help="write every file in spite of findings; each then says that it is unreleased")
    watch = _add(commands, "watch", "check at once, and again whenever the script or a file it reads is saved")
    _script_options(watch, WATCH_SECONDS)
    watch.add_argument("--no-page", action="store_false", dest="page", help="say everything on the terminal only")
    watch.add_argument("--port", type=_port, default=0, metavar="PORT",
                       help="where the page is served, on this machine only (default: a free one)")
    watch.add_argument("--open", action="store_true", help="show the page in the system's browser")
    compare = _add(commands, "compare", "say what differs between two desks, and which pieces already made that spoils",
                   epilog=COMPARE_EPILOG)
    compare_options(compare)
    _timeout_option(compare)
    _colour_option(compare)
    explain = _add(commands, "explain", "say what a check finds, why, how, and its limits")
    explain.add_argument("id", nargs="?", metavar="ID", help="id of a check, or a word of a script, 'words' for a list "
                         "of them; without it, a list of the checks")
    _colour_option(explain)
    new = _add(commands, "new", "start a desk of your own from a worked one, or a data sheet of equipment")
    new.add_argument("folder", nargs="?", metavar="FOLDER", help="a folder that does not exist yet, or is empty")
    new.add_argument("--desk", choices=TEMPLATES,
                     help="; ".join(f"{name}: {what}" for name, what in TEMPLATES.items())
                     + f" (default: {next(iter(TEMPLATES))})")
    component_options(new)
    _colour_option(new)
    return parser


def _add(commands: argparse._SubParsersAction[argparse.ArgumentParser], name: str, text: str,
         epilog: str = _EPILOG) -> argparse.ArgumentParser:
    return commands.add_parser(name, help=text, description=text[0].upper() + text[1:] + ".", epilog=epilog,
                               formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False)


def _script_options(parser: argparse.ArgumentParser, seconds: float) -> None:
    parser.add_argument("desk", nargs="?", metavar="DESK",
                        help="the script (default: parts/desk.py, else desk.py, below the current folder)")
    parser.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="settings",
                        help="give the desk a parameter; may be repeated")
    _timeout_option(parser, seconds)
    _colour_option(parser)


def _desk_options(parser: argparse.ArgumentParser) -> None:
    _script_options(parser, SCRIPT_SECONDS)
    parser.add_argument("--only", action="append", default=[], metavar="ID",
                        help="run only this check; may be repeated, or several with commas")
    parser.add_argument("--json", metavar="FILE", help="write the findings as JSON ('-': to standard output)")


def _timeout_option(parser: argparse.ArgumentParser, seconds: float = SCRIPT_SECONDS) -> None:
    parser.add_argument("--script-timeout", type=_seconds, default=seconds, metavar="SECONDS",
                        help="how long the script may run (default: %(default)g)")


def _colour_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--no-colour", "--no-color", action="store_false", dest="colour",
                        help="no colour, even on a terminal (NO_COLOR does the same)")


def _seconds(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 < value <= 86_400.0:
        raise argparse.ArgumentTypeError(f"{text!r} is no time; allowed: above 0, at most 86400 seconds")
    return value


def _port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:6]) <= 65_535):
        raise argparse.ArgumentTypeError(f"{text!r} is no port; allowed: 1 to 65535, of which 1024 and more are free to all")
    return int(text)


def parameter_texts(settings: list[str], option: str = "--set") -> dict[str, str]:
    """``--set name=value``, each name once."""
    texts: dict[str, str] = {}
    for setting in settings:
        name, equals, value = setting.partition("=")
        name = name.strip()
        if not equals or not name:
            raise InputFault(f"{option} {setting!r} is not understood",
                             allowed=f"{option} NAME=VALUE, such as {option} width=900")
        if name in texts:
            raise InputFault("is set twice", key=name, allowed=f"one {option} for each parameter")
        texts[name] = value
    return texts


def version_text() -> str:
    try:
        return version("deskmodel")
    except PackageNotFoundError:  # run from a checkout that is not installed
        return f"{deskmodel.__name__} (not installed)"
