"""A watch in a process of its own that tells each round as a line of JSON: ``python -m tests.session.watch_told SCRIPT
SECONDS``. It ends with the end of its input."""

from __future__ import annotations

import json
import os
import select
import sys
from pathlib import Path

from deskmodel.processes import collect_seldom
from deskmodel.session.progress import Silent
from deskmodel.session.run import Checked
from deskmodel.session.watch import Round, watch

__all__ = ["said_of"]


def said_of(checked: Checked) -> dict[str, object]:
    """All that a check came to."""
    from deskmodel.exporters import findings_record

    loaded = checked.loaded
    record = findings_record(loaded.model, checked.outcomes, checked.pairs, loaded.lines)
    mass = checked.mass
    weighed = None if mass is None else [round(mass.kg, 9), mass.centre and [round(v, 6) for v in mass.centre]]
    return {**record, "mass": weighed}


def main(script: str, seconds: str) -> None:
    told = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    collect_seldom()

    def show(each: Round) -> None:
        good = None if each.fault is not None or each.good is None else said_of(each.good)
        print(json.dumps({"number": each.number, "fault": None if each.fault is None else str(each.fault), "said": good,
                          "seconds": each.seconds["all"]}), file=told, flush=True)

    def picture(each: Round) -> None:
        """Nobody looks, but what the page needs is made in each round, and kept as long as the watch keeps it."""
        assert each.scene is not None or each.good is None

    watch(Path(script), texts={}, progress=Silent(), show=show, picture=picture, seconds=float(seconds),
          stopped=lambda: bool(select.select([sys.stdin], [], [], 0)[0]))


if __name__ == "__main__":
    main(*sys.argv[1:])
