"""The nouns of the catalogue: faults, checks, actions, complaints, cautions. Data, frozen, validated at the door."""

import math
from collections.abc import Mapping
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le, MinLen
from pydantic import ConfigDict, Field
from pydantic.dataclasses import dataclass

from tipward.foundation import GRADES

PROOF, PROOF_OUTCOMES = "proof-test", ("passes", "fails")  # the proof, as ``impossible_after`` may name it

Probability = Annotated[float, Ge(0), Le(1)]
Share = Annotated[float, Gt(0), Le(1)]
Text = Annotated[str, MinLen(1)]
Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
Grade = Annotated[str, Field(pattern="^(" + "|".join(GRADES) + ")$")]
Station = Literal[
    "wire",
    "spool",
    "inlet-guide",
    "drive",
    "drive-rolls",
    "outlet-guide",
    "liner",
    "torch-lead",
    "neck",
    "contact-tip",
    "nozzle",
    "trigger",
    "welding-circuit",
    "settings",
]

_TABLE = ConfigDict(extra="forbid")


@dataclass(frozen=True, slots=True, config=_TABLE)
class Span:
    """Minutes or hours between low and high with their most likely value; none negative, all finite."""

    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.mode <= self.high < math.inf:
            raise ValueError("0 <= low <= mode <= high, all finite, does not hold")

    @property
    def mean(self) -> float:
        """Mean of the triangular distribution over the span."""
        return (self.low + self.mode + self.high) / 3


@dataclass(frozen=True, slots=True, config=_TABLE)
class Change:
    """What a fault does to one field of the feed path: multiply, add or set, with its size from low to high (SI)."""

    field: Text
    op: Literal["*", "+", "="]
    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.mode <= self.high:
            raise ValueError("low <= mode <= high does not hold")


@dataclass(frozen=True, slots=True, config=_TABLE)
class Condition:
    """A condition on one field of the path: equal to one of ``any_of``, or above or below a number. Unknown fields fail it."""

    field: Text
    any_of: tuple[str | bool, ...] = ()
    above: float | None = None
    below: float | None = None


@dataclass(frozen=True, slots=True, config=_TABLE)
class Raise:
    """What raises (or lowers) the prior odds of a fault: a condition, the factor on the odds, and why."""

    when: Condition
    times: Annotated[float, Gt(0)]
    reason: Text


@dataclass(frozen=True, slots=True, config=_TABLE)
class LeadsTo:
    """A fault that this one brings about in time, and how often."""

    fault: Id
    probability: Probability
    reason: Text


@dataclass(frozen=True, slots=True, config=_TABLE)
class Fault:
    """One cause: what it is, how common, what it does to the path, what shows it, and how to keep it away."""

    id: Id
    station: Station
    name: Text
    why: Text
    prior: Share
    prior_reason: Text
    seen_by_proof: Probability
    prevention: Text
    prior_grade: Grade = "judgement"
    grade: Grade = "common practice"
    raised_by: tuple[Raise, ...] = ()
    changes: tuple[Change, ...] = ()
    complaints: Mapping[Id, Share] = Field(default_factory=dict)
    shown_by: Mapping[Id, Mapping[Id, Share]] = Field(default_factory=dict)
    leads_to: tuple[LeadsTo, ...] = ()
    excludes: tuple[Id, ...] = ()
    service_only: bool = False


@dataclass(frozen=True, slots=True, config=_TABLE)
class Outcome:
    """One outcome of a check, in words for the technician."""

    id: Id
    text: Text


@dataclass(frozen=True, slots=True, config=_TABLE)
class Shows:
    """What one check says about one fault (or about every fault of some stations): how often each outcome shows it."""

    outcomes: Mapping[Id, Share]
    reason: Text
    fault: Id | None = None
    stations: tuple[Station, ...] = ()
    grade: Grade = "judgement"


@dataclass(frozen=True, slots=True, config=_TABLE)
class Reading:
    """A measured check: which reading of the path, in which context, and how well it repeats."""

    name: Text
    unit: str
    repeat_share: Annotated[float, Ge(0)] = 0.1
    repeat_absolute: Annotated[float, Ge(0)] = 0.0
    context: Mapping[str, str] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True, config=_TABLE)
class After:
    """An earlier answer that makes a check impossible or pointless."""

    check: Id
    outcomes: Annotated[tuple[Id, ...], MinLen(1)]
    reason: Text


@dataclass(frozen=True, slots=True, config=_TABLE)
class Check:
    """One check: what to do, what may come of it, what it costs, who can do it where, and what it says about which faults.

    Outcomes stand in the order of salience: the first is the normal one; where several faults would show different
    outcomes, the later one is what is seen (graded noisy-MAX). ``false`` is how often an outcome shows without any cause.
    ``history``: the answer tells of the time before the case, so no repair changes it and it is asked once.
    """

    id: Id
    station: Station
    name: Text
    instructions: Text
    minutes: Span
    who: Literal["customer", "technician", "qualified"]
    at: Annotated[tuple[Literal["phone", "counter", "machine"], ...], MinLen(1)]
    outcomes: tuple[Outcome, ...] = ()
    false: Mapping[Id, Share] = Field(default_factory=dict)
    shows: tuple[Shows, ...] = ()
    reading: Reading | None = None
    tools: tuple[Text, ...] = ()
    spares: tuple[Text, ...] = ()
    set_up: tuple[Id, ...] = ()
    runs_wire: bool = False
    opens_machine: bool = False
    history: bool = False
    cautions: tuple[Id, ...] = ()
    only_if: tuple[Condition, ...] = ()
    impossible_after: tuple[After, ...] = ()
    grade: Grade = "common practice"


@dataclass(frozen=True, slots=True, config=_TABLE)
class SetUp:
    """A state of the machine that several checks share (tip off, rolls open): its cost is counted once."""

    id: Id
    name: Text
    minutes: Annotated[float, Ge(0)]


@dataclass(frozen=True, slots=True, config=_TABLE)
class Part:
    """A part that an action uses, with its price range (in the shop's own currency)."""

    name: Text
    price_low: Annotated[float, Ge(0)]
    price_high: Annotated[float, Ge(0)]


@dataclass(frozen=True, slots=True, config=_TABLE)
class Clears:
    """A fault that an action clears, and how often it succeeds."""

    fault: Id
    success: Share


@dataclass(frozen=True, slots=True, config=_TABLE)
class MayCause:
    """A fault that an action may bring in."""

    fault: Id
    probability: Share


@dataclass(frozen=True, slots=True, config=_TABLE)
class Action:
    """One action: adjust, clean, replace or send; what it clears, what it costs, what it may bring in."""

    id: Id
    station: Station
    name: Text
    kind: Literal["adjust", "clean", "replace", "service"]
    instructions: Text
    minutes: Span
    clears: Annotated[tuple[Clears, ...], MinLen(1)]
    skill: Literal["customer", "technician", "qualified"] = "technician"
    at: Annotated[tuple[Literal["phone", "counter", "machine"], ...], MinLen(1)] = ("counter", "machine")
    parts: tuple[Part, ...] = ()
    may_cause: tuple[MayCause, ...] = ()
    opens_machine: bool = False
    runs_wire: bool = False
    cautions: tuple[Id, ...] = ()
    set_up: tuple[Id, ...] = ()
    away_hours: Span | None = None
    grade: Grade = "common practice"


@dataclass(frozen=True, slots=True, config=_TABLE)
class Complaint:
    """What the customer says: plain name, other words for it, how often it is said without any listed fault."""

    id: Id
    name: Text
    words: tuple[Text, ...] = ()
    false: Share = 0.02
    kind: Literal["feed", "not feed", "stop"] = "feed"
    says: str = ""
    condition: str = ""


@dataclass(frozen=True, slots=True, config=_TABLE)
class Synonym:
    """Words that mean the same in this trade; the first is the one that Tipward uses."""

    word: Text
    also: Annotated[tuple[Text, ...], MinLen(1)]


@dataclass(frozen=True, slots=True, config=_TABLE)
class Caution:
    """A caution, who says so, and a short text for small screens."""

    id: Id
    text: Text
    source: Text
