"""``documents/jigs.csv``: the jigs and where each is used, a row for each use; then what is made without one."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._jigs import jig_path
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.jigs import Jig, JigUse, NotMade, widest_stop

__all__ = ["export_jigs_csv"]

NAME = "documents/jigs.csv"
_HEAD = ("jig", "kind", "pattern: bushes from the face side or the mark × from the edge (mm)", "drill (mm)", "bush", "bit",
         "member", "quantity", "place", "jig registers from", "mark from the datum end (mm)", "holes towards", "sight edge",
         "depth (mm)", "stop to the rim of the bit (mm)", "stop to the tip of the bit (mm)",
         "widest stop (mm)", "turned over", "joint",
         "print size (mm)", "file", "remark", "made from")


def export_jigs_csv(job: ExportJob) -> Written:
    plan = job.jigs
    rows: list[tuple[Cell, ...]] = [_HEAD]
    rows += [_row(job, plan.jig(use.jig), use) for use in plan.uses]
    rows += [_without(each, stamp(job)) for each in plan.not_made]
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back)


def _row(job: ExportJob, jig: Jig, use: JigUse) -> tuple[Cell, ...]:
    size = job.jig_bodies[jig.number].size
    registers = "face side and face edge" if jig.kind == "end" else f"{jig.lip} and mark"
    through = "right through: back it with scrap" if use.depth.through else ""
    return (jig.label, jig.kind, "; ".join(f"{u:g} × {v:g}" for u, v in jig.axes), jig.diameter, jig.bush.text, jig.bit.text,
            "; ".join(use.members), len(use.members), use.place, registers, use.mark, use.towards or "", use.sight or "",
            use.depth.depth, use.depth.stop, use.depth.tip_stop, widest_stop(jig), "yes" if use.turned_over else "no",
            "; ".join(dict.fromkeys(joint for joint in use.joints if joint)), " × ".join(f"{each:.1f}" for each in size),
            jig_path(jig, "stl"), through, stamp(job))


def _without(each: NotMade, made_from: str) -> tuple[Cell, ...]:
    """A row of what no jig serves, by name."""
    named: dict[str, Cell] = {"jig": "none", "member": "; ".join(each.parts), "quantity": len(each.parts),
                              "place": each.place, "joint": "; ".join(each.joints),
                              "remark": f"not made: {each.reason}; {each.remedy}", "made from": made_from}
    return tuple(named.get(title) for title in _HEAD)
