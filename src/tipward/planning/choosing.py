"""The next step: the check with most information for its time, the repair that is cheaper than finding out, or the proof.

Price of information: the best check buys information at k minutes per nat. A repair is due when being wrong costs less
than finding out, (1 - p)(minutes + parts) < k h(p), p being the probability that any of the faults it clears is present
and h(p) its entropy. Where such a repair clears several suspects, a cheap check that tells them apart comes first: the
cause is named, and no dear part is fitted for a cheaper fault. The proof is due when it would probably pass. Closing
follows the rules of proof, never a price.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal

import numpy as np

from tipward.diagnosis.believing import Belief
from tipward.diagnosis.forecast import entropy
from tipward.faults import Action, Catalogue
from tipward.model import Case, NextStep
from tipward.planning.board import Board, cleared, set_out, surest
from tipward.planning.describing import describe_check, describe_fix
from tipward.planning.proving import LEFT_LIMIT, closing_belief, proof_passed, proofs_failed
from tipward.planning.telling_apart import check_between

LEAST_INFORMATION = 0.002  # a check below this tells nothing worth its walk [nat]
LEAST_AFTER_PROOF = 0.0001  # once the proof has passed little is left, and what tells of it may close the case [nat]
PROBABLY_PASSES = 0.75
LEAST_NEEDED = 0.2
LEAST_CLEARED = 0.05  # a repair that clears nothing more often than this is not worth doing
CERTAIN = 0.9  # where one fault is cleared this surely, its action is due whatever it costs: more checks only delay it
FAR_PRICE = 20.0  # on the phone finding out never costs more, for somebody could go and look [min/nat, judgement]
MOST_PROOFS = 3  # failed proofs with nothing mended between them


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that could be done now, with what it costs and brings."""

    name: str
    minutes: float
    worth: float


def next_step(catalogue: Catalogue, case: Case, belief: Belief | None = None, stated: Belief | None = None) -> NextStep:
    """Choose the next step of a case.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        An opened case.
    belief : Belief, optional
        Belief of the case where it is already known.
    stated : Belief, optional
        Belief of the case as stated (exact) where it is already known: it decides near a closing.

    Returns
    -------
    NextStep
        A check, a fix, the proof, closing, service, or stop, with why and the runner-up.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: docs/decisions/0009; Heckerman, Breese & Rommelse 1995 for the trade-off of checks and repairs.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> next_step(build_catalogue([]), case).what
    'prove'
    """
    for complaint in case.opened().complaints:
        known = catalogue.complaints.get(complaint)
        if known is not None and known.kind == "stop":
            return NextStep("stop", known.says or known.name, cautions=("shock-stop", "qualified-only"))
    board = set_out(catalogue, case, closing_belief(catalogue, case, belief, stated))
    left, passed = 1 - board.belief.after.all_clear(), proof_passed(case)
    if passed and left <= LEFT_LIMIT:
        return NextStep("close", f"proved: the probability that a listed fault is left is {100 * left:.1f} %")
    ranked = offers(board, LEAST_AFTER_PROOF if passed else LEAST_INFORMATION)
    far = case.place().at == "phone"
    due = _due(board, ranked, FAR_PRICE if far else np.inf)
    if due is not None:
        between = check_between(catalogue, board, due)
        if between is not None:
            first = Offer(between, board.minutes[between], board.information[between])
            return _check_step(catalogue, board, [first, *(offer for offer in ranked if offer.name != between)])
        return _fix_step(catalogue, board, due, ranked)
    worthwhile = bool(ranked)
    may_prove = proofs_failed(case) < MOST_PROOFS
    if not passed and may_prove and (1 - left >= PROBABLY_PASSES or (not far and not worthwhile)):
        return NextStep("prove", _why_prove(left), runner_up=_runner_up(board, ranked[:1]))
    if worthwhile:
        return _check_step(catalogue, board, ranked)
    return _nothing_left(catalogue, case, board, left)


def offers(board: Board, least: float = LEAST_INFORMATION) -> list[Offer]:
    """List the checks that tell something, by information per minute.

    Parameters
    ----------
    board : Board
        Everything that can be done now, forecast.
    least : float
        What a check must tell to be worth its walk [nat].

    Returns
    -------
    list of Offer
        Best first; ``worth`` in nat per minute.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> offers(set_out(build_catalogue([]), case))
    []
    """
    found = [
        Offer(name, board.minutes[name], board.information[name] / max(board.minutes[name], 0.1))
        for name in board.checks
        if board.information[name] > least
    ]
    return sorted(found, key=lambda offer: -offer.worth)


def _due(board: Board, ranked: Sequence[Offer], most: float) -> Action | None:
    """The repair that is cheaper than finding out at ``most`` so many minutes a nat, if any: most cleared for its cost."""
    price = min(1 / ranked[0].worth if ranked else np.inf, most)
    best: tuple[float, Action] | None = None
    for action in board.actions.values():
        needed = board.needed[action.id]
        if needed < LEAST_NEEDED or cleared(board, action) < LEAST_CLEARED:
            continue
        cost = board.costs[action.id]
        dear = (1 - needed) * cost >= price * float(entropy(np.array(needed)))
        if dear and surest(board, action) < CERTAIN:
            continue
        worth = _worth(board, action)
        if best is None or worth > best[0]:
            best = (worth, action)
    return best[1] if best else None


def _fix_step(catalogue: Catalogue, board: Board, action: Action, ranked: Sequence[Offer]) -> NextStep:
    fix = describe_fix(catalogue, board, action)
    what: Literal["service", "fix"] = "service" if action.kind == "service" else "fix"
    return NextStep(what, fix.why, fix=fix, runner_up=_runner_up(board, ranked[:1]), cautions=fix.cautions)


def _check_step(catalogue: Catalogue, board: Board, ranked: Sequence[Offer]) -> NextStep:
    check = describe_check(catalogue, board, board.checks[ranked[0].name])
    return NextStep("check", check.why, check=check, runner_up=_runner_up(board, ranked[1:2]), cautions=check.cautions)


def _why_prove(left: float) -> str:
    return f"the proof would probably pass: nothing listed is left with probability {100 * (1 - left):.0f} %"


def _runner_up(board: Board, ranked: Sequence[Offer]) -> str:
    return "" if not ranked else f"{board.checks[ranked[0].name].name} ({ranked[0].minutes:.0f} min)"


def _nothing_left(catalogue: Catalogue, case: Case, board: Board, left: float) -> NextStep:
    """No check tells more and the proof does not close: mend what is likeliest, else send on with what is suspected.

    On the phone nothing is mended or sent on a hunch: the case goes on where it can be looked at.
    """
    where = "" if case.place().at == "machine" else " here; go on at the machine"
    why = f"no check tells more{where}; a listed fault may be left with probability {100 * left:.0f} %"
    if case.place().at == "phone":
        return NextStep("service", why)
    hopeful = [action for action in board.actions.values() if cleared(board, action) >= LEAST_CLEARED]
    mend = [action for action in hopeful if action.kind != "service"]
    if mend:
        return _fix_step(catalogue, board, max(mend, key=partial(_worth, board)), [])
    if not hopeful:
        return NextStep("service", why)
    return NextStep("service", why, fix=describe_fix(catalogue, board, max(hopeful, key=partial(_worth, board))))


def _worth(board: Board, action: Action) -> float:
    """Expected number of faults that an action clears for its cost [1/min]."""
    return cleared(board, action) / max(board.costs[action.id], 0.1)
