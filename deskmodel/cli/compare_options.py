"""What can be typed after ``deskmodel compare``."""

from __future__ import annotations

from argparse import ArgumentParser

__all__ = ["EPILOG", "compare_options"]

EPILOG = """\
exit status, as of other comparing tools (POSIX cmp and diff)
  0  the two desks are equal
  1  they differ
  2  the input is at fault: script, model.json, parameter
  3  deskmodel is at fault, or a check crashed
"""


def compare_options(parser: ArgumentParser) -> None:
    parser.add_argument("old", metavar="OLD", help="a desk script, a folder that 'make' wrote, or a model.json")
    parser.add_argument("new", metavar="NEW", nargs="?",
                        help="what to compare it with (default: the same script, or where OLD is none, parts/desk.py, else "
                             "desk.py, below the current folder)")
    for side in ("old", "new"):
        parser.add_argument(f"--{side}-set", action="append", default=[], metavar="NAME=VALUE",
                            help=f"give the {side} script a parameter; may be repeated")
    parser.add_argument("--check", action="store_true",
                        help="check scripts, too, so that findings are compared and custom shapes made; takes its time")
    parser.add_argument("--json", metavar="FILE", help="write the comparison as JSON ('-': to standard output)")
