"""The board: everything that can be done now, checks and actions alike, forecast from one belief."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.forecast import Forecast, abnormal, forecast
from tipward.diagnosis.grading import graded
from tipward.diagnosis.network import CheckNumbers, Ints, Network
from tipward.diagnosis.readings import bench_for
from tipward.diagnosis.slate import Slate, slate
from tipward.diagnosis.states import AGAIN, groups
from tipward.faults import Action, Catalogue, Check, Clears
from tipward.model import Band, Case, FeedPath, Place
from tipward.planning.options import (
    action_minutes,
    action_parts,
    check_minutes,
    possible_actions,
    possible_checks,
    reachable,
    set_ups_now,
)


@dataclass(frozen=True, slots=True)
class Board:
    """Everything that can be done now, forecast from one belief; ``seen`` and ``information`` hold all that is within reach.

    ``chances`` of each fault now [1], of each action that it is ``needed`` [1], ``information`` of checks [nat], ``minutes`` of
    checks, ``costs`` of actions [min], set-ups ``in_place``, healthy ``bands`` of measured checks within reach.
    """

    belief: Belief
    chances: Mapping[str, float]
    checks: Mapping[str, Check]
    actions: Mapping[str, Action]
    seen: Forecast
    needed: Mapping[str, float]
    information: Mapping[str, float]
    minutes: Mapping[str, float]
    costs: Mapping[str, float]
    in_place: frozenset[str]
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
    in_place = set_ups_now(catalogue, case)
    place = case.place()
    laid, repairs, bands = _slates(catalogue, belief.network, place, case.path())
    minutes, costs = _whole_costs(catalogue, in_place, place)
    seen, needed = forecast(belief.after, laid), abnormal(belief.after, repairs)
    chances = dict(zip(belief.network.ids, belief.after.marginals().tolist(), strict=True))
    information = seen.information(_repair_of(catalogue, belief.network, place))
    return Board(belief, chances, checks, actions, seen, needed, information, minutes, costs, in_place, bands)


MOST_COSTS = 64
MOST_SLATES = 16


@lru_cache(MOST_COSTS)
def _whole_costs(
    catalogue: Catalogue, in_place: frozenset[str], place: Place
) -> tuple[Mapping[str, float], Mapping[str, float]]:
    """Minutes of every check, and minutes with parts of every action, worked out once for the set-ups in place."""
    minutes = {name: check_minutes(catalogue, check, in_place) for name, check in catalogue.checks.items()}
    costs = {
        name: action_minutes(catalogue, item, in_place) + action_parts(item, place)
        for name, item in catalogue.actions.items()
    }
    return minutes, costs


@lru_cache(MOST_SLATES)
def _repair_of(catalogue: Catalogue, network: Network, place: Place) -> Ints:
    """For each fault the number of the action that clears it at the least cost: what a check must tell is what to do."""
    least: dict[str, tuple[float, int]] = {}
    for number, action in enumerate(catalogue.actions.values()):
        cost = action.minutes.mean + action_parts(action, place)
        for item in action.clears:
            least[item.fault] = min(least.get(item.fault, (np.inf, 0)), (cost / item.success, number))
    chosen = [least.get(name, (np.inf, -1 - place))[1] for place, name in enumerate(network.ids)]
    _, kind = np.unique(chosen, return_inverse=True)
    return kind.astype(np.int64)


@lru_cache(MOST_SLATES)
def _slates(
    catalogue: Catalogue, network: Network, place: Place, path: FeedPath
) -> tuple[Slate, Slate, Mapping[str, Band]]:
    """The checks within reach, and all actions as questions, laid out once for a network, a place and the path as it is now."""
    numbers: dict[str, CheckNumbers] = {}
    bands: dict[str, Band] = {}
    for check in reachable(catalogue, place, path):
        if check.reading is None:
            numbers[check.id] = network.checks[check.id]
        else:
            numbers[check.id], bands[check.id] = graded(network, bench_for(catalogue, path), check)
    spread = groups(network.clusters, ())
    repairs = {action.id: _needed(network, action) for action in catalogue.actions.values()}
    return slate(numbers, spread), slate(repairs, spread), bands


def _needed(network: Network, action: Action) -> CheckNumbers:
    """An action as a question: is any fault that it clears present?"""
    faults = np.array([network.index[item.fault] for item in action.clears], dtype=np.int64)
    shown = np.tile([1e-12, 1.0], (len(faults), 1))
    return CheckNumbers(("not needed", "needed"), np.ones(2), faults, shown)


def cleared(board: Board, action: Action) -> float:
    """Expected number of faults that an action clears."""
    return sum(_cleared(board, action, item) for item in action.clears)


def surest(board: Board, action: Action) -> float:
    """Chance of the likeliest fault that an action clears, less where it stood through the same action before.

    Many unlikely faults together make nothing certain; how often the action succeeds is a matter of its worth.
    """
    return max(_open_to(board, action, item) for item in action.clears)


def _cleared(board: Board, action: Action, item: Clears) -> float:
    """Chance that the fault is there and this action clears it."""
    return item.success * _open_to(board, action, item)


def _open_to(board: Board, action: Action, item: Clears) -> float:
    """Chance that the fault is there and open to this action: less where it stood through the same action before."""
    chance = board.chances[item.fault]
    for number, done in enumerate(board.belief.found.mendings, 1):
        if done.action == action.id:
            stood = float(board.belief.after.in_epoch(number)[board.belief.network.index[item.fault]])
            chance *= 1 - stood * (1 - AGAIN)
    return chance
