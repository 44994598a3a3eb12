"""``documents/tubes.csv``: the bushes to buy or to cut from tube, a row for each kind."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._csv import Cell, csv_bytes, csv_rows, csv_texts
from deskmodel.exporters._job import ExportJob, Written, stamp

__all__ = ["export_tubes"]

NAME = "documents/tubes.csv"
_HEAD = ("bush", "bore as measured (mm)", "outside (mm)", "length (mm)", "count", "seat", "printed seat (mm)",
         "kerf of the saw (mm)", "tube for all of them (mm)", "jigs", "source", "made from")


def export_tubes(job: ExportJob) -> Written:
    """Cut from tube, each piece but the last takes a kerf; that of the workshop's saw is what the profile states."""
    kerf = job.model.workshop.saw.kerf if job.model.workshop.saw is not None else None
    counts: Counter[object] = Counter()
    jigs: dict[object, list[str]] = {}
    for jig in job.jigs.jigs:
        key = (jig.bush, round(jig.seat_diameter, 6))
        counts[key] += len(jig.axes)
        jigs.setdefault(key, []).append(jig.label)
    rows: list[tuple[Cell, ...]] = [_HEAD]
    for jig in job.jigs.jigs:
        key = (jig.bush, round(jig.seat_diameter, 6))
        if jigs[key][0] != jig.label:
            continue
        bush, count = jig.bush, counts[key]
        tube = None if kerf is None else count * bush.length + (count - 1) * kerf
        rows.append((bush.text, bush.bore, bush.outside, bush.length, count, bush.seat, jig.seat_diameter, kerf, tube,
                     "; ".join(jigs[key]), bush.source, stamp(job)))
    data = csv_bytes(rows)

    def read_back(folder: Path) -> None:
        if csv_rows((folder / NAME).read_bytes()) != csv_texts(rows):
            raise BuildFault(f"{NAME} read back is another table")

    return Written({NAME: data}, read_back)
