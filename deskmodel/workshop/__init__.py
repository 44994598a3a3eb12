"""What the workshop has: drill bits, countersinks, saw, planer, printer, bushes, hand drill."""

from deskmodel.workshop._profile import (
    SAME_DIAMETER,
    Bit,
    BitKind,
    Bush,
    BushSeat,
    Countersink,
    HandDrill,
    Planer,
    Printer,
    Saw,
    Section,
    Workshop,
)
from deskmodel.workshop._read import DEFAULT, NAME, default_workshop, read_workshop, workshop_beside

__all__ = [
    "DEFAULT",
    "NAME",
    "SAME_DIAMETER",
    "Bit",
    "BitKind",
    "Bush",
    "BushSeat",
    "Countersink",
    "HandDrill",
    "Planer",
    "Printer",
    "Saw",
    "Section",
    "Workshop",
    "default_workshop",
    "read_workshop",
    "workshop_beside",
]
