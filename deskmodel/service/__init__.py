"""What the cutting service has and asks: laser, sheets, bends, and the least sizes that it cuts."""

from deskmodel.service._profile import (
    OPERATIONS,
    SAME_THICKNESS,
    Laser,
    Limit,
    Limits,
    Operation,
    Service,
    ServiceBend,
    ServiceSection,
    Sheet,
)
from deskmodel.service._read import DEFAULT, NAME, default_service, read_service, service_beside

__all__ = [
    "DEFAULT",
    "NAME",
    "OPERATIONS",
    "SAME_THICKNESS",
    "Laser",
    "Limit",
    "Limits",
    "Operation",
    "Service",
    "ServiceBend",
    "ServiceSection",
    "Sheet",
    "default_service",
    "read_service",
    "service_beside",
]
