"""Cases from published tables: what was printed, to which digit, and where."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class PrintedCase:
    """Inputs in SI, the value as printed (its last digit says how exact it is), unit and source."""

    inputs: dict[str, Any]
    expected: str
    unit: str
    source: str


def half_a_printed_digit(expected: str) -> float:
    """Tolerance of a printed value: half a unit of its last digit (a little more for the binary fraction)."""
    return 0.5 * 10 ** float(Decimal(expected).as_tuple().exponent) * (1 + 1e-9)


def agrees(value: float, expected: str) -> bool:
    """Whether a value rounds to what was printed."""
    return abs(value - float(expected)) <= half_a_printed_digit(expected)
