"""The next step: the check with most information for its time, the repair that is cheaper than finding out, or the proof.

Price of information: the best check buys information at k minutes per nat. A repair is due when being wrong costs less
than finding out, (1 - p)(minutes + parts) < k h(p), p being the probability that any of the faults it clears is present and
h(p) its entropy. The proof is due when it would probably pass. Closing follows the rules of proof, never a price.
"""

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from tipward.diagnosis.forecast import Forecast, Slate, entropy, forecast, slate
from tipward.diagnosis.grading import graded
from tipward.diagnosis.judging import Belief, believe
from tipward.diagnosis.network import CheckNumbers, Network
from tipward.diagnosis.options import (
    MONEY_PER_MINUTE,
    action_cost,
    check_minutes,
    possible_actions,
    possible_checks,
    set_ups_now,
)
from tipward.diagnosis.proving import LEFT_LIMIT, PROOF_MINUTES, proof_passed
from tipward.diagnosis.readings import bench_for
from tipward.diagnosis.terms import AGAIN
from tipward.faults import Action, Catalogue, Check
from tipward.model import Band, Case, FeedPath, Fix, NextCheck, NextStep, OutcomeForecast

LEAST_INFORMATION = 0.002  # a check below this tells nothing worth its walk [nat]
PROBABLY_PASSES = 0.75
LEAST_NEEDED = 0.2


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that could be done now, with what it costs and brings."""

    name: str
    minutes: float
    worth: float


@dataclass(frozen=True, slots=True)
class Board:
    """Everything that can be done now, forecast from one belief."""

    belief: Belief
    checks: Mapping[str, Check]
    actions: Mapping[str, Action]
    seen: Forecast
    minutes: Mapping[str, float]
    bands: Mapping[str, Band]


def set_out(catalogue: Catalogue, case: Case, belief: Belief | None = None) -> Board:
    """Forecast every possible check and action of a case.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        The case.
    belief : Belief, optional
        Belief of the case where it is already known.

    Returns
    -------
    Board
        Checks, actions, their forecast and minutes.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> dict(set_out(build_catalogue([]), case).checks)
    {}
    """
    belief = belief or believe(catalogue, case)
    checks = {check.id: check for check in possible_checks(catalogue, case, belief)}
    actions = {action.id: action for action in possible_actions(catalogue, case)}
    whole, bands = _whole_slate(catalogue, case, belief)
    in_place = set_ups_now(catalogue, case)
    minutes = {name: check_minutes(catalogue, check, in_place) for name, check in checks.items()}
    seen = forecast(belief.after, whole.only([*checks, *(f"do:{name}" for name in actions)]))
    return Board(belief, checks, actions, seen, minutes, bands)


_SLATES: OrderedDict[tuple[int, FeedPath], tuple[Network, Slate, Mapping[str, Band]]] = OrderedDict()
MOST_SLATES = 16


def _whole_slate(catalogue: Catalogue, case: Case, belief: Belief) -> tuple[Slate, Mapping[str, Band]]:
    """Every check and action of the catalogue laid out once for a network and the path as it is now."""
    network, path = belief.network, case.path()
    known = _SLATES.get((id(network), path))
    if known is None or known[0] is not network:
        numbers: dict[str, CheckNumbers] = {}
        bands: dict[str, Band] = {}
        for check in catalogue.checks.values():
            if check.reading is None:
                numbers[check.id] = network.checks[check.id]
            else:
                numbers[check.id], bands[check.id] = graded(network, bench_for(catalogue, path), check)
        for action in catalogue.actions.values():
            numbers[f"do:{action.id}"] = _needed(network, action)
        known = _SLATES[id(network), path] = (network, slate(numbers, belief.after.groups), bands)
        while len(_SLATES) > MOST_SLATES:
            _SLATES.popitem(last=False)
    return known[1], known[2]


def _needed(network: Network, action: Action) -> CheckNumbers:
    """An action as a question: is any fault that it clears present?"""
    faults = np.array([network.index[item.fault] for item in action.clears], dtype=np.int64)
    shown = np.tile([1e-12, 1.0], (len(faults), 1))
    return CheckNumbers(("not needed", "needed"), np.ones(2), faults, shown)


def next_step(catalogue: Catalogue, case: Case, belief: Belief | None = None) -> NextStep:
    """Choose the next step of a case.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        An opened case.
    belief : Belief, optional
        Belief of the case where it is already known.

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
    board = set_out(catalogue, case, belief)
    left = 1 - board.belief.after.all_clear()
    passed = proof_passed(case)
    if passed and left <= LEFT_LIMIT:
        return NextStep("close", f"proved: the probability that a listed fault is left is {100 * left:.1f} %")
    offers = _offers(board)
    due = _due(board, offers)
    if due is not None:
        return _fix_step(catalogue, board, due, offers)
    worthwhile = bool(offers)
    if not passed and (1 - left >= PROBABLY_PASSES or not worthwhile):
        return NextStep("prove", _why_prove(left), runner_up=_runner_up(board, offers[:1]))
    if worthwhile:
        return _check_step(catalogue, board, offers)
    return _nothing_left(catalogue, case, board, left)


def _offers(board: Board) -> list[Offer]:
    """Checks by information per minute, best first."""
    offers = [
        Offer(name, board.minutes[name], board.seen.information[name] / max(board.minutes[name], 0.1))
        for name in board.checks
        if board.seen.information[name] > LEAST_INFORMATION
    ]
    return sorted(offers, key=lambda offer: -offer.worth)


def _due(board: Board, offers: Sequence[Offer]) -> Action | None:
    """The repair that is cheaper than finding out, if any: most cleared for its cost."""
    price = 1 / offers[0].worth if offers else np.inf
    best: tuple[float, Action] | None = None
    for action in board.actions.values():
        needed = float(board.seen.outcomes(f"do:{action.id}")[1]) * _again(board, action)
        cost = action_cost(action)
        if needed < LEAST_NEEDED or (1 - needed) * cost >= price * float(entropy(np.array(needed))):
            continue
        worth = _cleared(board, action) / max(cost, 0.1)
        if best is None or worth > best[0]:
            best = (worth, action)
    return best[1] if best else None


def _cleared(board: Board, action: Action) -> float:
    """Expected number of faults that an action clears."""
    chances = board.belief.after.marginals()
    return _again(board, action) * float(
        sum(chances[board.belief.network.index[item.fault]] * item.success for item in action.clears)
    )


def _again(board: Board, action: Action) -> float:
    """What is left of an action's success after the times it was done already."""
    return float(AGAIN ** sum(done.action == action.id for done in board.belief.found.mendings))


def _fix_step(catalogue: Catalogue, board: Board, action: Action, offers: Sequence[Offer]) -> NextStep:
    fix = describe_fix(catalogue, board, action)
    what: Literal["service", "fix"] = "service" if action.kind == "service" else "fix"
    return NextStep(what, fix.why, fix=fix, runner_up=_runner_up(board, offers[:1]), cautions=fix.cautions)


def describe_fix(catalogue: Catalogue, board: Board, action: Action) -> Fix:
    """An action as it is shown: what it clears, how likely it is needed, cost, cautions, how to keep the fault away.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    board : Board
        Everything that can be done now.
    action : Action
        The action.

    Returns
    -------
    Fix
        With minutes, parts and prevention.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009.

    >>> from datetime import datetime
    >>> from tipward.faults import load_catalogue
    >>> from tipward.model import Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> board = set_out(catalogue, case)
    >>> describe_fix(catalogue, board, catalogue.actions["fit-new-tip"]).needed > 0.05
    True
    """
    chances = board.belief.after.marginals()
    needed = float(board.seen.outcomes(f"do:{action.id}")[1])
    clears = sorted(
        ((item.fault, float(chances[board.belief.network.index[item.fault]])) for item in action.clears),
        key=lambda item: -item[1],
    )
    likely = [fault for fault, chance in clears if chance >= 0.05][:3] or [clears[0][0]]
    names = ", ".join(catalogue.faults[fault].name.lower() for fault in likely)
    cost = action_cost(action)
    why = f"needed with probability {100 * needed:.0f} % ({names}); being wrong costs less than finding out ({cost:.0f} min or worth)"
    return Fix(
        action.id,
        action.name,
        action.instructions,
        why,
        action.minutes.mean,
        tuple((part.name, part.price_low, part.price_high) for part in action.parts),
        tuple(clears),
        needed,
        action.skill,
        action.cautions,
        tuple(dict.fromkeys(catalogue.faults[fault].prevention for fault in likely)),
    )


def fixes(catalogue: Catalogue, board: Board, most: int = 5) -> tuple[Fix, ...]:
    """The actions most worth doing if one had to stop checking now, by expected faults cleared for their cost.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    board : Board
        Everything that can be done now.
    most : int
        How many at most.

    Returns
    -------
    tuple of Fix
        Best first.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009.

    >>> from datetime import datetime
    >>> from tipward.faults import load_catalogue
    >>> from tipward.model import Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> board = set_out(catalogue, case)
    >>> len(fixes(catalogue, board)) > 0
    True
    """
    ranked = sorted(board.actions.values(), key=lambda action: -_cleared(board, action) / max(action_cost(action), 0.1))
    shown = [describe_fix(catalogue, board, action) for action in ranked[: 3 * most]]
    return tuple(fix for fix in shown if fix.needed >= 0.05)[:most]


def _check_step(catalogue: Catalogue, board: Board, offers: Sequence[Offer]) -> NextStep:
    check = describe_check(catalogue, board, board.checks[offers[0].name])
    return NextStep("check", check.why, check=check, runner_up=_runner_up(board, offers[1:2]), cautions=check.cautions)


def describe_check(catalogue: Catalogue, board: Board, check: Check) -> NextCheck:
    """A check as it is shown: instructions, why, minutes, cautions, outcomes with their chance, the healthy band.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    board : Board
        Everything that can be done now.
    check : Check
        The check.

    Returns
    -------
    NextCheck
        Probabilities [1]; the healthy band in SI.

    Raises
    ------
    KeyError
        The check cannot be done now.

    Source: docs/decisions/0008.

    >>> from datetime import datetime
    >>> from tipward.faults import load_catalogue
    >>> from tipward.model import Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> board = set_out(catalogue, case)
    >>> describe_check(catalogue, board, board.checks["look-lead-lie"]).station
    'torch-lead'
    """
    chance = board.seen.outcomes(check.id)
    if check.reading is None:
        texts = [(outcome.id, outcome.text) for outcome in check.outcomes]
    else:
        texts = [(name, name) for name in ("as expected", "low", "high", "very high")]
    outcomes = tuple(
        OutcomeForecast(name, text, float(share)) for (name, text), share in zip(texts, chance, strict=True)
    )
    return NextCheck(
        check.id,
        check.name,
        check.station,
        check.instructions,
        _why_check(catalogue, board, check),
        board.minutes[check.id],
        board.seen.information[check.id],
        check.tools,
        check.cautions,
        outcomes,
        check.reading.name if check.reading else "",
        check.reading.unit if check.reading else "",
        tuple(catalogue.set_ups[name].name for name in check.set_up),
        board.bands.get(check.id),
    )


def _why_check(catalogue: Catalogue, board: Board, check: Check) -> str:
    """The one sentence: which suspicion this check moves most, and between what."""
    now, under = board.belief.after.marginals(), board.seen.marginals(check.id)
    chance = board.seen.outcomes(check.id)
    moved = np.abs(under - now) * chance[:, None]
    fault = int(moved.sum(axis=0).argmax())
    low, high = float(under[chance > 0.01, fault].min()), float(under[chance > 0.01, fault].max())
    name = catalogue.faults[board.belief.network.ids[fault]].name.lower()
    return (
        f"tells most for its {board.minutes[check.id]:.0f} min: "
        f"suspicion of {name} goes from {100 * now[fault]:.0f} % to {100 * low:.0f} % or {100 * high:.0f} %"
    )


def _why_prove(left: float) -> str:
    return f"the proof would probably pass: nothing listed is left with probability {100 * (1 - left):.0f} %"


def _runner_up(board: Board, offers: Sequence[Offer]) -> str:
    return "" if not offers else f"{board.checks[offers[0].name].name} ({offers[0].minutes:.0f} min)"


def _nothing_left(catalogue: Catalogue, case: Case, board: Board, left: float) -> NextStep:
    """No check tells more and the proof does not close: send on, with what is suspected."""
    service = [action for action in board.actions.values() if action.kind == "service"]
    where = "" if case.place().at == "machine" else " here; go on at the machine"
    why = f"no check tells more{where}; a listed fault may be left with probability {100 * left:.0f} %"
    if not service:
        return NextStep("service", why)
    best = max(service, key=lambda action: _cleared(board, action))
    return NextStep("service", why, fix=describe_fix(catalogue, board, best))


__all__ = [
    "MONEY_PER_MINUTE",
    "PROOF_MINUTES",
    "Board",
    "describe_check",
    "describe_fix",
    "fixes",
    "next_step",
    "set_out",
]
