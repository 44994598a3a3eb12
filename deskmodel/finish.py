"""What is done to the faces of a plate of metal besides veneer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from deskmodel._numbers import check_text, number, told
from deskmodel.errors import InputFault

__all__ = ["Finish"]


@dataclass(frozen=True, slots=True)
class Finish:
    """``seen``: the face that is seen in the finished desk, "top" or "bottom" of the plate; its drawing for the service
    shows that one. None: the veneered face, else the one that looks away from the members.

    ``brushed``: along the plate's own "x" or "y", on the face that is seen. ``coating``: what is put on, ``thickness`` mm
    on each coated face (0: unknown), on "both faces" or on the "seen face"; sizes of the model are those before coating."""

    seen: Literal["top", "bottom"] | None = None
    brushed: Literal["x", "y"] | None = None
    coating: str | None = None
    thickness: float = 0.0
    coated: Literal["both faces", "seen face"] = "both faces"

    def __post_init__(self) -> None:
        for what, value, allowed in (("the face that is seen", self.seen, ("top", "bottom", None)),
                                     ("brushed along", self.brushed, ("x", "y", None)),
                                     ("coated on", self.coated, ("both faces", "seen face"))):
            if not (value is None or isinstance(value, str)) or value not in allowed:
                raise InputFault(f"{what} {told(value)}", allowed=", ".join(str(each) for each in allowed))
        if self.coating is not None:
            check_text("coating", self.coating)
        object.__setattr__(self, "thickness", number("coating thickness", self.thickness, 0, 2, "mm"))
        if self.thickness and self.coating is None:
            raise InputFault(f"a coating thickness of {self.thickness:g} mm without a coating", allowed="coating=…, too")

    @property
    def one_sided(self) -> bool:
        """Whether it tells the faces apart."""
        return self.brushed is not None or (self.coating is not None and self.coated == "seen face")
