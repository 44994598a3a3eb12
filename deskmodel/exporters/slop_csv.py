"""``documents/jig-slop.csv``: how exact the joints come out, a row for each cause of slop of two jigs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.jigs import Slop, SlopShare, jig_pairs, jig_slop, likely, worst

__all__ = ["export_slop"]

NAME = "documents/jig-slop.csv"
_HEAD = ("jigs", "depths (mm)", "what is off", "cause", "± (mm)", "source", "made from")
_GROUPS = (("axes of mating holes, across", "across"), ("axes of mating holes, along the marked member", "along"),
           ("distance of the two dowels of a joint", "pair"))


def export_slop(job: ExportJob) -> Written:
    rows: list[tuple[Cell, ...]] = [_HEAD]
    for (one, other), depths in jig_pairs(job.model, job.jigs):
        jigs = job.jigs.jig(one), job.jigs.jig(other)
        named = (" and ".join(dict.fromkeys(jig.label for jig in jigs)), f"{depths[0]:g} and {depths[1]:g}")
        rows += [(*named, *row, stamp(job)) for row in _rows(jig_slop(*jigs, depths))]
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back)


def _rows(slop: Slop) -> Iterator[tuple[str, str, float, str]]:
    for title, name in _GROUPS:
        shares: tuple[SlopShare, ...] = getattr(slop, name)
        for share in shares:
            yield title, share.cause, share.amount, share.source
        yield title, "all together, at worst", worst(shares), "sum"
        yield title, "all together, likely", likely(shares), "root of the sum of squares"
    for what, enters, more in (("measured from the same face side and face edge", slop.enters, ()),
                               ("drilled from opposite faces", slop.enters_without, (slop.thickness,))):
        told = f"{what}: the dowels {'enter' if enters else 'may not enter'} by the likely figure"
        yield "each dowel's half of that", told, likely((*slop.pair, *more)) / 2, f"{slop.allowed:g} mm are put up with"
