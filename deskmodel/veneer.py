"""Veneer: a thin leaf of wood on one face of a plate, a piece of its own from the moment the model is frozen."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel._numbers import told
from deskmodel.errors import InputFault
from deskmodel.features._base import check_length
from deskmodel.materials import material as material_named

__all__ = ["BARE_MARGIN", "Veneer", "veneer_name"]

BARE_MARGIN = 5.0
"""mm of bare plate between the outer holes of a vent field and the veneer (common practice: drilled veneer splinters)."""


@dataclass(frozen=True, slots=True)
class Veneer:
    """``thickness`` mm of ``material`` on the ``face`` ("top", "bottom") of a plate, its glue counted in.

    The plate is cut first and veneered then; the veneer is trimmed to the plate's outline and to whatever opens in the
    face. Round a vent field a rectangle stays bare, ``bare_margin`` mm wider than the holes all round."""

    material: str
    thickness: float
    face: str = "top"
    bare_margin: float = BARE_MARGIN

    def __post_init__(self) -> None:
        if material_named(self.material).kind != "veneer":
            raise InputFault(f"veneer of {told(self.material)}", allowed='a material of the kind "veneer": ash veneer')
        check_length("veneer thickness", self.thickness, at_most=6.0)
        check_length("bare margin", self.bare_margin)
        if self.face not in ("top", "bottom"):
            raise InputFault(f"veneer on the face {told(self.face)}", allowed="top, bottom")


def veneer_name(plate: str) -> str:
    """What the piece of veneer on the plate of that name is called."""
    return f"{plate} veneer"
