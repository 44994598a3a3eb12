"""Pages of a document: paper of ISO 216 with a strip at its foot that says what this is, of which revision, at which scale.

    +--------------------------------+
    |  (UNRELEASED)                  |
    |  +--------------------------+  |
    |  | the body: what you draw  |  |
    |  +--------------------------+  |
    |  | title     | scale  | page |  |
    +--------------------------------+
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from deskmodel.drawing.dimensions import polyline, rectangle_path
from deskmodel.drawing.lettering import clipped, plain, width_of
from deskmodel.drawing.pdf import drawable
from deskmodel.drawing.records import LAYERS, Drawing, Record, Text, moved

__all__ = ["PAPERS", "Head", "Paper", "body_of", "framed"]

Paper = Literal["A4", "A4 landscape", "A3", "A3 landscape"]

PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210, 297), "A4 landscape": (297, 210),
                                            "A3": (297, 420), "A3 landscape": (420, 297)}
"""(width, height) in mm."""

MARGIN, TOP = 10.0, 15.0  # most printers reach to 5 from the edge
STRIP, GAP = 13.0, 3.0
_FRAME = 5.0
_TITLE, _TEXT = 3.5, 2.5
_MARK = "UNRELEASED: not to build from"


@dataclass(frozen=True, slots=True)
class Head:
    """What the strip says. ``made_from``: the revision, see ``exporters``' ``stamp``. ``scale``: "1 : 5" where something is
    drawn to scale, then the page also asks to be printed at 100 %."""

    desk: str
    title: str
    made_from: str
    unreleased: bool = False
    scale: str | None = None


def body_of(paper: Paper) -> tuple[float, float, float, float]:
    """(x low, y low, x high, y high) of the room above the strip, in mm of the page."""
    wide, high = PAPERS[paper]
    return MARGIN, MARGIN + STRIP + GAP, wide - MARGIN, high - TOP


def framed(bodies: Sequence[Sequence[Record]], paper: Paper, head: Head) -> tuple[Drawing, ...]:
    """A page for each body, whose (0, 0) is the lower left corner of the room that ``body_of`` tells."""
    x, y, _, _ = body_of(paper)
    return tuple(Drawing(PAPERS[paper], plain(f"{head.desk}: {head.title}"), head.made_from,
                         (*(moved(record, (x, y)) for record in body), *_strip(paper, head, i, len(bodies))))
                 for i, body in enumerate(bodies, 1))


def _strip(paper: Paper, head: Head, page: int, pages: int) -> list[Record]:
    wide, high = PAPERS[paper]
    low, top, left, right = MARGIN, MARGIN + STRIP, MARGIN, wide - MARGIN
    last, middle = right - 30, right - 92
    records: list[Record] = [rectangle_path("visible", left, low, right, top),
                             polyline("thin", (middle, low), (middle, top)), polyline("thin", (last, low), (last, top))]
    upper, lower = top - 1.8 - _TITLE, low + 2.0
    size = f"scale {head.scale}, print at 100 %" if head.scale else "lengths in mm"
    form = paper.split()[0]
    for x, end, first, second in (
            (left, middle, (head.title, _TITLE, True), (head.desk, _TEXT, False)),
            (middle, last, (size, _TEXT, bool(head.scale)), (head.made_from, _TEXT, False)),
            (last, right, (f"page {page} of {pages}", _TEXT, False), (f"{form}, mm", _TEXT, False))):
        for (text, largest, bold), y in ((first, upper), (second, lower)):
            shown, room = drawable(plain(text)), end - x - 4
            tall = next((h for h in (largest, 3.0, _TEXT) if width_of(shown, h, bold) <= room), _TEXT)
            records.append(Text(clipped(shown, room, tall, bold), (x + 2, y), tall, bold=bold))
    if head.unreleased:
        records.append(rectangle_path("warning", _FRAME, _FRAME, wide - _FRAME, high - _FRAME))
        records.append(Text(_MARK, (wide / 2, high - TOP + 3.5), _TITLE, "middle", bold=True,
                            colour=LAYERS["warning"].colour))
    return records
