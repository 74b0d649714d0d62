"""Checks and actions as they are shown: why, cost, what may come of them, cautions."""

import numpy as np

from tipward.faults import Action, Catalogue, Check
from tipward.model import Fix, NextCheck, OutcomeForecast
from tipward.planning.board import Board, cleared, surest
from tipward.planning.options import action_minutes

LIKELY_CLEARED = 0.5  # actions that clear one fault more likely than not come first, however dear
LEAST_SHOWN = 0.05


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
    >>> from tipward.model import Case, FeedPath, Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> from tipward.planning.board import set_out
    >>> board = set_out(catalogue, case)
    >>> describe_fix(catalogue, board, catalogue.actions["fit-new-tip"]).needed > 0.05
    True
    """
    needed = board.needed[action.id]
    clears = sorted(
        ((item.fault, board.chances[item.fault]) for item in action.clears),
        key=lambda item: -item[1],
    )
    likely = [fault for fault, chance in clears if chance >= 0.05][:3] or [clears[0][0]]
    names = ", ".join(catalogue.faults[fault].name.lower() for fault in likely)
    cost = board.costs[action.id]
    why = f"needed with probability {100 * needed:.0f} % ({names}); being wrong costs less than finding out ({cost:.0f} min or worth)"
    return Fix(
        action.id,
        action.name,
        action.instructions,
        why,
        action_minutes(catalogue, action, board.in_place),
        tuple((part.name, part.price_low, part.price_high) for part in action.parts),
        tuple(clears),
        needed,
        action.skill,
        action.cautions,
        tuple(dict.fromkeys(catalogue.faults[fault].prevention for fault in likely)),
        (action.away_hours.low, action.away_hours.high) if action.away_hours else None,
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
    >>> from tipward.model import Case, FeedPath, Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> from tipward.planning.board import set_out
    >>> board = set_out(catalogue, case)
    >>> len(fixes(catalogue, board)) > 0
    True
    """
    ranked = sorted(
        board.actions.values(), key=lambda action: -cleared(board, action) / max(board.costs[action.id], 0.1)
    )
    due = [action for action in ranked if surest(board, action) >= LIKELY_CLEARED]
    rest = [action for action in ranked if action not in due]
    shown = [describe_fix(catalogue, board, action) for action in [*due, *rest][: 3 * most]]
    return tuple(fix for fix in shown if fix.needed >= LEAST_SHOWN)[:most]


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
    >>> from tipward.model import Case, FeedPath, Opened, Page
    >>> catalogue = load_catalogue()
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ("burns-back",))),))
    >>> from tipward.planning.board import set_out
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
        board.information[check.id],
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
