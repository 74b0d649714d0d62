"""Is something at work that the catalogue does not list? How strange the answers of a case are, each given those before it."""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.forecast import forecast
from tipward.diagnosis.grading import GRADES, grade_of, graded
from tipward.diagnosis.network import CheckNumbers, softened
from tipward.diagnosis.readings import bench_for
from tipward.diagnosis.slate import slate
from tipward.diagnosis.terms import proof_outcome
from tipward.faults import PROOF, Catalogue
from tipward.model import Case, Doubt, Finding, Page, ProofTest

UNLISTED = 1.5  # standard deviations past what listed causes lead one to expect; its false-alarm rate is measured
LEAST_ANSWERS = 5


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: its page, its chance given all before it [1], its surprise, and what that was expected to be [nat]."""

    page: int
    chance: float
    surprise: float
    expected: float
    variance: float


def answers_of(catalogue: Catalogue, case: Case) -> tuple[Answer, ...]:
    """Every look, reading and proof of a case, each judged by the belief just before it.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.

    Returns
    -------
    tuple of Answer
        In order; what the set-up itself declares is left out.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: prequential assessment (Dawid 1984).

    >>> from tipward.faults import build_catalogue
    >>> answers_of(build_catalogue([]), Case("c"))
    ()
    """
    pages = case.live()
    found = [_known(catalogue, case.id, pages[:number], page) for number, page in enumerate(pages)]
    return tuple(item for item in found if item is not None)


def strangeness(answers: Sequence[Answer]) -> float:
    """Sum of the surprises less what was expected, in standard deviations; about 0 or below where the cause is listed.

    Parameters
    ----------
    answers : sequence of Answer
        The answers of a case.

    Returns
    -------
    float
        Standard deviations [1]; 0 for fewer than five answers.

    Raises
    ------
    Nothing.

    Source: prequential assessment (Dawid 1984).

    >>> strangeness([])
    0.0
    """
    if len(answers) < LEAST_ANSWERS:
        return 0.0
    past = sum(item.surprise - item.expected for item in answers)
    return float(past / np.sqrt(max(sum(item.variance for item in answers), 1e-9)))


def unlisted(catalogue: Catalogue, case: Case) -> Doubt | None:
    """Say that a cause may be at work which is not listed, and which answer is the odd one out.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.

    Returns
    -------
    Doubt or None
        None where the answers are no stranger than listed causes make them.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: prequential assessment (Dawid 1984); the false-alarm rate of the threshold is in benchmarks/figures.md.

    >>> from tipward.faults import build_catalogue
    >>> unlisted(build_catalogue([]), Case("c")) is None
    True
    """
    answers = answers_of(catalogue, case)
    if strangeness(answers) <= UNLISTED:
        return None
    odd = max(answers, key=lambda item: item.surprise - item.expected)
    text = (
        "perhaps a cause that is not listed: together the answers are stranger than listed causes make them; the odd one"
        f" out is on page {odd.page}, expected in {100 * odd.chance:.2g} of 100 such cases"
    )
    return Doubt(text, odd.page)


_ANSWERS: OrderedDict[object, tuple[Catalogue, Answer | None]] = OrderedDict()
MOST_KEPT = 4096  # a page never changes, so what came before it is judged once


def _known(catalogue: Catalogue, name: str, before: tuple[Page, ...], page: Page) -> Answer | None:
    if not isinstance(page.entry, Finding | ProofTest):
        return None
    key = (id(catalogue), before, page)
    known = _ANSWERS.get(key)
    if known is None or known[0] is not catalogue:
        known = _ANSWERS[key] = (catalogue, _answer(catalogue, Case(name, before), page))
        while len(_ANSWERS) > MOST_KEPT:
            _ANSWERS.popitem(last=False)
    return known[1]


def _answer(catalogue: Catalogue, before: Case, page: Page) -> Answer | None:
    belief = believe(catalogue, before)
    asked = _asked(catalogue, belief, before, page)
    if asked is None:
        return None
    numbers, outcome = asked
    seen = forecast(belief.after, slate({"asked": numbers}, belief.after.groups)).outcomes("asked")
    chances = np.clip(seen, 1e-9, 1.0)
    surprise = -np.log(chances)
    expected = float(chances @ surprise)
    variance = float(chances @ surprise**2 - expected**2)
    return Answer(page.sequence, float(seen[outcome]), float(surprise[outcome]), expected, max(variance, 0.0))


def _asked(catalogue: Catalogue, belief: Belief, before: Case, page: Page) -> tuple[CheckNumbers, int] | None:
    """The numbers of what was asked and which outcome came; None where it is no answer to a question."""
    entry = page.entry
    if isinstance(entry, ProofTest):
        passed = proof_outcome(entry)
        return None if passed is None else (belief.network.checks[PROOF], 1 - passed)
    if not isinstance(entry, Finding) or entry.by == "declared" or entry.check not in catalogue.checks:
        return None
    check = catalogue.checks[entry.check]
    if check.reading is not None:
        numbers, band = graded(belief.network, bench_for(catalogue, before.path()), check)
        return numbers, GRADES.index(grade_of(band, float(np.mean(entry.readings))))
    numbers = belief.network.checks[check.id]
    outcome = numbers.outcomes.index(entry.outcome)
    return (softened(numbers) if entry.by == "customer" else numbers), outcome
