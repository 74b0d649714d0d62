"""What was answered since the last repair, and answers that cannot be: both say what makes sense to ask now."""

from collections.abc import Iterator, Sequence

from tipward.diagnosis.terms import proof_outcome
from tipward.faults import PROOF, PROOF_OUTCOMES, Catalogue, Check, holds
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
    answers: dict[str, str] = {}
    for page in pages:
        if isinstance(page.entry, Repair):
            answers = {}
        elif isinstance(page.entry, Finding):
            answers[page.entry.check] = page.entry.outcome
        elif isinstance(page.entry, ProofTest):
            passed = proof_outcome(page.entry)
            answers |= {} if passed is None else {PROOF: PROOF_OUTCOMES[1 - passed]}
    return answers


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
    pages, path = case.live(), FeedPath()
    for number, page in enumerate(pages):
        if isinstance(page.entry, Opened | Repair):
            path = page.entry.path or path
        if not isinstance(page.entry, Finding) or page.entry.check not in catalogue.checks:
            continue
        check = catalogue.checks[page.entry.check]
        ruled_out = _ruled_out(catalogue, check, path, answers_now(pages[:number]))
        if ruled_out:
            yield Doubt(
                f"page {page.sequence} cannot be: {check.name!r} {ruled_out}; one of the two is wrong: take it back",
                page.sequence,
            )


def _ruled_out(catalogue: Catalogue, check: Check, path: FeedPath, answers: dict[str, str]) -> str:
    """Why a check cannot be answered now; empty where it can."""
    if not all(holds(condition, path) for condition in check.only_if):
        return "is not for the path as it was set up"
    for after in check.impossible_after:
        if answers.get(after.check) in after.outcomes:
            said = "the proof has passed" if after.check == PROOF else _said(catalogue, after.check, answers)
            return f"makes no sense once {said} ({after.reason})"
    return ""


def _said(catalogue: Catalogue, name: str, answers: dict[str, str]) -> str:
    check = catalogue.checks[name]
    text = next(outcome.text for outcome in check.outcomes if outcome.id == answers[name])
    return f"{check.name!r} was answered {text!r}"
