"""What the workshop has: drill bits, countersinks, saw, planer, printer, bushes, hand drill."""

from deskmodel.workshop._profile import (
    SAME_DIAMETER,
    Allowance,
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
from deskmodel.workshop._read import (
    DEFAULT,
    NAME,
    allowance_of,
    default_workshop,
    kerf_of,
    read_workshop,
    workshop_beside,
)

__all__ = [
    "DEFAULT",
    "NAME",
    "SAME_DIAMETER",
    "Allowance",
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
    "allowance_of",
    "default_workshop",
    "kerf_of",
    "read_workshop",
    "workshop_beside",
]
