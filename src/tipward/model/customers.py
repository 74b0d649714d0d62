"""What a customer is shown: the questions of a remote case, and the report at its end. Nothing of what stands behind."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from tipward.model.judgement import NextCheck


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a customer from afar now; ``stop`` says to stop at once, and then nothing is asked.

    ``over`` is the case closed, or enough answered; ``answered`` counts the answers so far.
    """

    said: str
    checks: tuple[NextCheck, ...]
    answered: int
    over: bool
    stop: str = ""


@dataclass(frozen=True, slots=True)
class CustomerReport:
    """A finished case in words for the customer: what was said, found, done and proved, and how to keep it away."""

    customer: str
    said: str
    complaints: tuple[str, ...]
    opened: datetime
    ended: datetime
    how: Literal["proved", "service", "held", "open end"]
    found: tuple[str, ...]
    done: tuple[str, ...]
    tests_met: int
    tests: int
    keep_away: tuple[str, ...]
