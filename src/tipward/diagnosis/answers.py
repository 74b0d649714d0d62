"""What was answered since the last repair, and answers that cannot be: both say what makes sense to ask now."""

from collections.abc import Iterator, Mapping, Sequence
from functools import reduce

from tipward.diagnosis.terms import proof_outcome
from tipward.faults import PROOF, PROOF_OUTCOMES, After, Catalogue, Check, holds
from tipward.model import Case, Doubt, FeedPath, Finding, Opened, Page, ProofTest, Repair


def answers_now(pages: Sequence[Page]) -> dict[str, str]:
    """Outcome of each check, and of the proof, since the last repair.

    Parameters
    ----------
    pages : sequence of Page
        Live pages of a case, in order.

    Returns
    -------
    dict
        Outcome id by check id; the proof stands under its own name.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0009).

    >>> answers_now([])
    {}
    """
    return reduce(_heard, pages, {})


def _heard(answers: dict[str, str], page: Page) -> dict[str, str]:
    """The answers that stand after one more page."""
    if isinstance(page.entry, Repair):
        return {}
    if isinstance(page.entry, Finding):
        return {**answers, page.entry.check: page.entry.outcome}
    passed = proof_outcome(page.entry) if isinstance(page.entry, ProofTest) else None
    return answers if passed is None else {**answers, PROOF: PROOF_OUTCOMES[1 - passed]}


def ruled_out_by(check: Check, answers: Mapping[str, str]) -> After | None:
    """What rules a check out among the answers that stand; None where nothing does."""
    return next((after for after in check.impossible_after if answers.get(after.check) in after.outcomes), None)


def impossible_answers(catalogue: Catalogue, case: Case) -> Iterator[Doubt]:
    """Say which answers cannot have been given: after an answer that rules the check out, or on a path that it is not for.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.

    Returns
    -------
    iterator of Doubt
        One for each such answer, with what rules it out and what to do.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0008).

    >>> from tipward.faults import build_catalogue
    >>> list(impossible_answers(build_catalogue([]), Case("c")))
    []
    """
    answers: dict[str, str] = {}
    path = FeedPath()
    for page in case.live():
        if isinstance(page.entry, Opened | Repair):
            path = page.entry.path or path
        check = catalogue.checks.get(page.entry.check) if isinstance(page.entry, Finding) else None
        why = "" if check is None else _cannot_be(catalogue, check, path, answers)
        if check is not None and why:
            text = f"page {page.sequence} cannot be: {check.name!r} {why}; one of the two is wrong: take it back"
            yield Doubt(text, page.sequence)
        answers = _heard(answers, page)


def _cannot_be(catalogue: Catalogue, check: Check, path: FeedPath, answers: Mapping[str, str]) -> str:
    """Why a check cannot be answered now; empty where it can."""
    if not all(holds(condition, path) for condition in check.only_if):
        return "is not for the path as it was set up"
    after = ruled_out_by(check, answers)
    if after is None:
        return ""
    said = "the proof has passed" if after.check == PROOF else _said(catalogue, after.check, answers)
    return f"makes no sense once {said} ({after.reason})"


def _said(catalogue: Catalogue, name: str, answers: Mapping[str, str]) -> str:
    check = catalogue.checks[name]
    text = next(outcome.text for outcome in check.outcomes if outcome.id == answers[name])
    return f"{check.name!r} was answered {text!r}"
