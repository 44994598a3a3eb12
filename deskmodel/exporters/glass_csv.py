"""``documents/glass.csv``: the order for the glazier, a row for each different pane, below it its holes and openings."""

from __future__ import annotations

from collections.abc import Iterator

from deskmodel.exporters._csv import Cell
from deskmodel.exporters._job import ExportJob, Written, stamp
from deskmodel.exporters._outline_text import outline_text
from deskmodel.exporters._plates import NOTHING
from deskmodel.exporters._slug import slug
from deskmodel.exporters._tables import written_table
from deskmodel.plans.glass import GlassPane, glass_panes

__all__ = ["export_glass"]

NAME = "documents/glass.csv"
_HEAD = ("piece", "row", "part", "quantity", "material", "length x (mm)", "width y (mm)", "thickness (mm)", "outline",
         "corners", "edges", "kind of glass", "holes", "openings", "area of one (m²)", "edge to work of one (m)",
         "mass of one (kg)", "x from the left edge (mm)", "y from the front edge (mm)", "diameter (mm)", "drawing", "remark",
         "made from")
_AGREE = "to be agreed with the glazier"


def export_glass(job: ExportJob) -> Written:
    panes = glass_panes(job.model)
    rows = [row for pane in panes for row in _rows(pane, stamp(job))]
    return written_table(NAME, [_HEAD, *rows]) if rows else NOTHING


def _rows(pane: GlassPane, made_from: str) -> Iterator[tuple[Cell, ...]]:
    piece = pane.piece
    common: dict[str, Cell] = {"piece": piece.number, "part": "; ".join(piece.names), "quantity": len(piece.names),
                               "made from": made_from}
    yield _row({**common, "row": "pane", "material": pane.part.material, "length x (mm)": pane.size[0],
                "width y (mm)": pane.size[1], "thickness (mm)": pane.part.thickness,
                "outline": "" if pane.plain else outline_text(pane.outline), "corners": pane.corners,
                "edges": f"arrissed at least; ground or polished: {_AGREE}", "kind of glass": _AGREE,
                "holes": len(pane.holes), "openings": len(pane.openings), "area of one (m²)": pane.area,
                "edge to work of one (m)": pane.edge, "mass of one (kg)": pane.mass,
                "drawing": f"plates/{piece.number.lower()}-{slug(piece.names[0])}.pdf",
                "remark": "; ".join([*(f"ask: {text}" for text in pane.asks),
                                     "toughened glass cannot be cut or drilled afterwards"])})
    for hole in pane.holes:
        yield _row({**common, "row": "hole", "x from the left edge (mm)": hole.x, "y from the front edge (mm)": hole.y,
                    "diameter (mm)": hole.diameter, "remark": hole.name})
    for work in pane.openings:
        yield _row({**common, "row": work.kind, "outline": " / ".join(outline_text(each) for each in work.outlines),
                    "x from the left edge (mm)": (work.x[0] + work.x[1]) / 2,
                    "y from the front edge (mm)": (work.y[0] + work.y[1]) / 2,
                    "remark": work.name if work.through else f"{work.name}; {work.depth:g} deep, not right through"})


def _row(values: dict[str, Cell]) -> tuple[Cell, ...]:
    return tuple(values.get(key, "") for key in _HEAD)
