"""Which cause is it? Before a repair that clears several suspects, the check that tells them apart, where it is worth it."""

import numpy as np

from tipward.diagnosis.forecast import entropy
from tipward.faults import Action
from tipward.planning.board import Board
from tipward.planning.options import action_cost

SUSPECT = 0.03  # a fault that an action clears counts as one of its suspects from here
ALONE = 0.8  # one suspect that holds this share of what the action clears needs no telling apart
LEAST_TOLD = 0.1  # a check that tells the suspects apart by less is not worth its walk [nat]
CHEAP_MINUTES = 2.0
SHARE_OF_ACTION = 0.1  # a check may cost up to this share of what the action costs


def check_between(board: Board, action: Action) -> str | None:
    """Choose the check that best tells apart the suspects which an action clears.

    Parameters
    ----------
    board : Board
        Everything that can be done now, forecast.
    action : Action
        The action that is due.

    Returns
    -------
    str or None
        Id of the check with most information on the suspects for its minutes; None where one suspect stands out or no
        check is worth it.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0009; thresholds are judgement, set on simulated cases whose seeds no benchmark uses.

    >>> ALONE
    0.8
    """
    index, now = board.belief.network.index, board.belief.after.marginals()
    suspects = [index[item.fault] for item in action.clears if now[index[item.fault]] >= SUSPECT]
    if len(suspects) < 2 or now[suspects].max() >= ALONE * now[suspects].sum():
        return None
    most = max(CHEAP_MINUTES, SHARE_OF_ACTION * action_cost(action))
    before = float(entropy(now[suspects]).sum())
    best: tuple[float, str] | None = None
    for name in board.checks:
        if board.minutes[name] > most:
            continue
        under = entropy(board.seen.marginals(name)[:, suspects]).sum(axis=1)
        told = before - float(np.dot(board.seen.outcomes(name), under))
        worth = told / max(board.minutes[name], 0.1)
        if told > LEAST_TOLD and (best is None or worth > best[0]):
            best = (worth, name)
    return best[1] if best else None
