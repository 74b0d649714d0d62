"""Ground floor: the error family, units at the doors, and values that carry their source."""

from tipward.foundation.errors import (
    CatalogueError,
    ConflictError,
    InputError,
    NotKnownError,
    Problem,
    RangeError,
    RecordError,
    SetupError,
    TipwardError,
)
from tipward.foundation.sourced import GRADES, Sourced
from tipward.foundation.units import UNIT_OF_SUFFIX, read_quantity, show_quantity, show_share, unit_of_field

__all__ = [
    "GRADES",
    "UNIT_OF_SUFFIX",
    "CatalogueError",
    "ConflictError",
    "InputError",
    "NotKnownError",
    "Problem",
    "RangeError",
    "RecordError",
    "SetupError",
    "Sourced",
    "TipwardError",
    "read_quantity",
    "show_quantity",
    "show_share",
    "unit_of_field",
]
