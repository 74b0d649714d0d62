"""What the judgement of a case says: suspicions, explanations, the next step, the proof."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from tipward.model.budget import Band
from tipward.model.case import Case
from tipward.model.path import FeedPath


@dataclass(frozen=True, slots=True)
class Reason:
    """One finding that speaks for (weight > 0) or against a fault; weight is the change of its log odds [nat]."""

    page: int
    text: str
    weight: float


@dataclass(frozen=True, slots=True)
class Suspicion:
    """One fault with the probability that it is present now, and why."""

    fault: str
    name: str
    station: str
    probability: float
    reasons: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """One set of faults that together explain the case, with its share of the probability."""

    faults: tuple[str, ...]
    probability: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """What does not fit: findings that contradict each other, or something that the catalogue does not know."""

    what: str
    page: int | None = None


@dataclass(frozen=True, slots=True)
class Judgement:
    """All faults with their probability, highest first; the sets that explain the case; the chance that all is clear.

    ``all_clear`` is the probability that no listed fault is present now. ``standard_error`` is the Monte Carlo
    error of the
    highest suspicion through the measured checks (0 without any). ``method`` names the exact or approximate
    engine used.
    """

    suspicions: tuple[Suspicion, ...]
    explanations: tuple[Explanation, ...]
    all_clear: float
    doubts: tuple[Doubt, ...]
    standard_error: float
    method: str
    budget_push_n: Band | None = None

    def probability(self, fault: str) -> float:
        """Probability of one fault now.

        >>> Judgement((Suspicion("a", "a", "liner", 0.3),), (), 0.7, (), 0.0, "exact").probability("a")
        0.3
        """
        for suspicion in self.suspicions:
            if suspicion.fault == fault:
                return suspicion.probability
        raise KeyError(fault)


@dataclass(frozen=True, slots=True)
class OutcomeForecast:
    """One outcome of a check: its words and how likely it is."""

    outcome: str
    text: str
    probability: float


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A check worth doing now: why, minutes, cautions, outcomes; for a measured check also its unit."""

    check: str
    name: str
    station: str
    instructions: str
    why: str
    minutes: float
    information_nat: float
    tools: tuple[str, ...]
    cautions: tuple[str, ...]
    outcomes: tuple[OutcomeForecast, ...]
    reading: str = ""
    unit: str = ""
    set_up: tuple[str, ...] = ()
    expected: Band | None = None


@dataclass(frozen=True, slots=True)
class Fix:
    """An action worth doing: what it clears and how likely that is needed, minutes, parts, cautions, how to
    keep the fault away; ``away_hours`` (low, high) that the machine stands while it is done elsewhere.
    """

    action: str
    name: str
    instructions: str
    why: str
    minutes: float
    parts: tuple[tuple[str, float, float], ...]
    clears: tuple[tuple[str, float], ...]
    needed: float
    skill: str
    cautions: tuple[str, ...]
    prevention: tuple[str, ...] = ()
    away_hours: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class ProofTarget:
    """One target of the proof: what to measure and the band in which the reading must lie (SI)."""

    id: str
    text: str
    unit: str
    low: float | None
    high: float | None
    readings: tuple[float, ...] = ()
    met: bool | None = None
    says: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Proof:
    """The proof of a repair: every target with its readings, what may be left, and whether the case may
    close as proved.
    """

    targets: tuple[ProofTarget, ...]
    proved: bool
    left: tuple[Suspicion, ...]
    left_probability: float
    missing: tuple[str, ...]
    openly: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NextStep:
    """What to do now, and what came second."""

    what: Literal["check", "fix", "prove", "close", "service", "stop"]
    why: str
    check: NextCheck | None = None
    fix: Fix | None = None
    runner_up: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rig:
    """A machine with its torch, under a name of the shop's own, and its feed path as it should be."""

    id: str
    name: str
    path: FeedPath
    customer: str = ""


@dataclass(frozen=True, slots=True)
class CaseView:
    """Everything that is shown of a case: the case, its judgement, the next step, the proof so far."""

    case: Case
    judgement: Judgement
    next_step: NextStep
    fixes: tuple[Fix, ...]
    proof: Proof


@dataclass(frozen=True, slots=True)
class CardWords:
    """The words of the catalogue that a card needs, by id, so that a report needs no catalogue.

    ``checks``, ``faults``, ``actions``, ``complaints`` and ``cautions`` hold names or texts; ``outcomes`` the text of
    each outcome by check and outcome; ``units`` the SI unit of each measured check; ``prevention`` how to keep a
    fault away; ``cautions_of`` the cautions of a check or action; ``sources_of`` the
    source keys behind a check, fault, action or caution. A word that is missing is shown as its id.

    >>> CardWords(checks={"look-hub": "Look at the hub"}).checks["look-hub"]
    'Look at the hub'
    """

    checks: Mapping[str, str] = field(default_factory=dict)
    outcomes: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    actions: Mapping[str, str] = field(default_factory=dict)
    complaints: Mapping[str, str] = field(default_factory=dict)
    cautions: Mapping[str, str] = field(default_factory=dict)
    prevention: Mapping[str, str] = field(default_factory=dict)
    cautions_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sources_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
