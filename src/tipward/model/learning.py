"""What is learned from closed cases: counts, the numbers that they change, and how well the odds held."""

from dataclasses import dataclass as noun
from typing import Annotated, Literal

from annotated_types import Ge, Le
from pydantic import ConfigDict, Field
from pydantic.dataclasses import dataclass
from pydantic.types import AllowInfNan

from tipward.model.keeping import Lesson
from tipward.model.pages import CauseCount, HowOften

MOST = 1e6  # no shop closes more cases than this; a file that says so is wrong
_Count = Annotated[float, Ge(0), Le(MOST), AllowInfNan(False)]
_Key = Annotated[str, Field(pattern=r"^[a-z0-9.]+(-[a-z0-9.]+)*$", max_length=80)]
_DOOR = ConfigDict(extra="forbid")
What = Literal["odds", "shows", "false"]
Machine = Literal["", "push", "push-pull", "spool gun"]


@dataclass(frozen=True, slots=True, config=_DOOR)
class Tally:
    """How often something was found against how often the catalogue expected it, ``of`` so many cases or findings.

    ``kind`` "odds": fault ``key`` was there when the case began. "shows": check ``key`` showed the one fault that was
    there. "false": check ``key`` showed something without a fault that it notices. Soft counts, so fractions. Odds
    are kept by family of machine and wire class, "" where unknown.
    """

    kind: What
    key: _Key
    found: _Count
    expected: _Count
    of: _Count
    machine: Machine = ""
    wire: Literal[""] | _Key = ""


@dataclass(frozen=True, slots=True, config=_DOOR)
class Counts:
    """All tallies of so many closed cases; ``catalogues`` marks the catalogues whose expectation they hold."""

    cases: Annotated[int, Ge(0), Le(MOST)] = 0
    tallies: tuple[Tally, ...] = ()
    catalogues: tuple[Annotated[str, Field(pattern="^[0-9a-f]{12}$")], ...] = ()


@noun(frozen=True, slots=True)
class ChangedNumber:
    """One number of the catalogue before and after learning [1], with the counts behind it.

    ``key`` is a fault or check, "" for all checks together; ``where`` the path on which it holds ("" for all). 90 % of
    the belief about the number lies between ``low`` and ``high``.
    """

    kind: What
    key: str
    name: str
    where: str
    before: float
    after: float
    low: float
    high: float
    found: float
    expected: float
    of: float


@noun(frozen=True, slots=True)
class Calibration:
    """How well stated odds held: by how likely it was said, and as scores over all ``stated`` suspicions.

    ``brier`` is the mean squared error and ``log_score_nat`` the mean surprise [nat], smaller is better; ``error`` is
    the expected calibration error, ``error_inside`` the same among what was stated between 5 and 95 %. ``unsettled``
    is the share of those about which the whole case left doubt (10 to 90 %).
    """

    rows: tuple[HowOften, ...]
    brier: float
    log_score_nat: float
    error: float
    error_inside: float
    unsettled: float
    stated: int
    cases: int


@noun(frozen=True, slots=True)
class Learning:
    """What the closed cases of a shop teach: endings, causes, calibration, counts, what they would change, what is in use.

    ``changes`` compares the catalogue as loaded with what it becomes by the counts of this shop and every import in
    use; ``left_out`` are closed cases that this catalogue cannot read; ``stale`` the lessons counted with another one;
    ``uncounted`` is how many closed cases are still to be counted.
    """

    endings: tuple[tuple[str, int], ...]
    causes: tuple[CauseCount, ...]
    calibration: Calibration | None
    counts: Counts
    changes: tuple[ChangedNumber, ...]
    in_use: tuple[Lesson, ...]
    left_out: tuple[str, ...]
    stale: tuple[int, ...]
    uncounted: int = 0
