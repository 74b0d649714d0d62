"""Which cause is it? Before a repair that clears several suspects, the check that tells them apart, where it is worth it."""

import numpy as np

from tipward.diagnosis.forecast import entropy
from tipward.faults import Action, Catalogue
from tipward.planning.board import Board
from tipward.planning.options import check_minutes

SUSPECT = 0.03  # a fault that an action clears counts as one of its suspects from here
ALONE = 0.9  # one suspect that holds this share of what the action clears needs no telling apart
LEAST_TOLD = 0.1  # a check that tells the suspects apart by less is not worth its walk [nat]
CHEAP_MINUTES = 2.0
SHARE_OF_ACTION = 0.1  # a check may cost up to this share of what the action costs


def check_between(catalogue: Catalogue, board: Board, action: Action) -> str | None:
    """Choose the check that best tells apart the suspects which an action clears.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue, for the minutes of set-ups.
    board : Board
        Everything that can be done now, forecast.
    action : Action
        The action that is due.

    Returns
    -------
    str or None
        Id of the check with most information on the suspects for its minutes, set-ups that the action makes anyway left
        out; None where one suspect stands out or no check is worth it.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009; thresholds are judgement, set on simulated cases whose seeds no benchmark uses.

    >>> ALONE
    0.9
    """
    index, now = board.belief.network.index, board.belief.after.marginals()
    suspects = [index[item.fault] for item in action.clears if now[index[item.fault]] >= SUSPECT]
    if len(suspects) < 2 or now[suspects].max() >= ALONE * now[suspects].sum():
        return None
    most, anyway = max(CHEAP_MINUTES, SHARE_OF_ACTION * board.costs[action.id]), frozenset(action.set_up)
    before = float(entropy(now[suspects]).sum())
    best: tuple[float, str] | None = None
    for name, check in board.checks.items():
        minutes = check_minutes(catalogue, check, board.in_place, anyway)
        if minutes > most:
            continue
        under = entropy(board.seen.marginals(name)[:, suspects]).sum(axis=1)
        told = before - float(np.dot(board.seen.outcomes(name), under))
        worth = told / max(minutes, 0.1)
        if told > LEAST_TOLD and (best is None or worth > best[0]):
            best = (worth, name)
    return best[1] if best else None
