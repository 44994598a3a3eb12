"""One plate for a cutting service, steel 1.5, invented; its corner at (10, 20, 5), so that x 10 and y 20 are added in the
desk.

Without members the top is the face that is seen; the least sizes are those of the guidelines: hole 1.5, web 3, edge 2.25,
bend line 3 and the radius, flange 6."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from deskmodel import Desk, Flange, Plate, Profile, rectangle
from deskmodel.service import Service, ServiceBend, Sheet, default_service

__all__ = ["BEND", "BOX", "SHEET", "bent", "one", "service"]

BOX = rectangle(100, 60)
SHEET = Sheet("steel", 1.5, (2500, 1250), "test")
BEND = ServiceBend("steel", 1.5, 1.5, 0.45, "test", v=12, flange=8.5, longest=1000)


def service(*stated: str, laser: dict[str, Any] | None = None, **more: Any) -> Service:
    """The default service, with these sections stated."""
    made = default_service()
    assumed = tuple(section for section in ("laser", "limits", "sheet", "bend") if section not in stated)
    return replace(made, assumed=assumed, laser=replace(made.laser, **(laser or {})), **more)


STATED = service("laser", "limits")


def one(*features: Any, outline: Profile = BOX, by: Service = STATED, thickness: float = 1.5, material: str = "steel",
        **more: Any) -> Desk:
    d = Desk("sheet", service=by)
    d.place(Plate("plate", outline, thickness, material, features, **more), at=(10, 20, 5))
    return d


def bent(*features: Any, length: float = 20, radius: float | None = None, by: Service = STATED, **more: Any) -> Desk:
    """With a flange up at the back."""
    return one(*features, by=by, flanges=(Flange("back", length, radius=radius, **more),))
