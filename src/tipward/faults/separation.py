"""Which checks tell each fault from all others, and which pairs no check can tell apart."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from tipward.faults.catalogue import Catalogue
from tipward.faults.nouns import Check, Fault, Reading

LEAST_DIFFERENCE = 0.5  # design: two faults are told apart by a check where some outcome differs by this probability
FieldsOf = Callable[[Reading], Collection[str]]


@dataclass(frozen=True, slots=True)
class Separation:
    """What tells the faults of a catalogue apart.

    ``checks`` and ``minutes`` say, for each fault, a cheap set of checks that tells it from all others that can be told
    from it, and its cost with set-ups counted once. ``by_size`` are pairs that only the size of measured readings can
    tell apart (both move the same reading through different fields); ``inseparable`` are pairs that nothing does.
    """

    checks: Mapping[str, tuple[str, ...]]
    minutes: Mapping[str, float]
    by_size: tuple[tuple[str, str], ...]
    inseparable: tuple[tuple[str, str], ...]


def separation(catalogue: Catalogue, fields_of: FieldsOf) -> Separation:
    """Find for each fault a cheap set of checks that tells it from every other, and the pairs that none tells apart.

    Parameters
    ----------
    catalogue : Catalogue
        Faults and checks.
    fields_of : callable
        Reading (with its context) → dotted fields of the feed path that can move it.

    Returns
    -------
    Separation
        Greedy by faults told apart per minute [min], so near the cheapest set, not proven to be it.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> from tipward.faults import load_catalogue
    >>> found = separation(load_catalogue(), lambda reading: ["spool.brake_torque_n_m"])
    >>> ("liner-dirty", "spool-off-peg") in found.inseparable
    False
    """
    names = tuple(catalogue.faults)
    plain = {key: _told_apart(catalogue, check, fields_of) for key, check in catalogue.checks.items()}
    measured = [check for check in catalogue.checks.values() if check.reading is not None]
    sized = {check.id: _by_size(catalogue, check, fields_of) for check in measured}
    surely = _any(plain.values(), len(names))
    either = surely | _any(sized.values(), len(names))
    table = {key: told | sized[key] & ~surely if key in sized else told for key, told in plain.items()}
    chosen = {name: _cover(catalogue, table, row, either[row]) for row, name in enumerate(names)}
    return Separation(
        {name: checks for name, (checks, _) in chosen.items()},
        {name: minutes for name, (_, minutes) in chosen.items()},
        _pairs(names, either & ~surely),
        _pairs(names, ~either),
    )


def outcome_probabilities(catalogue: Catalogue, check: Check) -> NDArray[np.float64]:
    """Compute how likely each outcome of a check is when one fault alone is present (graded noisy-MAX with its leak).

    Parameters
    ----------
    catalogue : Catalogue
        Faults and what the checks show of them.
    check : Check
        A check with outcomes.

    Returns
    -------
    array
        Probability [1], shape (faults, outcomes), each row adding to 1.

    Raises
    ------
    Nothing.

    Source: own derivation (docs/explanation/diagnosis.md).

    >>> from tipward.faults import load_catalogue
    >>> catalogue = load_catalogue()
    >>> bool(np.allclose(outcome_probabilities(catalogue, catalogue.check("swap-tip")).sum(1), 1.0))
    True
    """
    shown = catalogue.shown.get(check.id, {})
    ids = [outcome.id for outcome in check.outcomes[1:]]
    own = np.array([[shown.get(fault, {}).get(item, 0.0) for item in ids] for fault in catalogue.faults])
    leak = np.array([check.false.get(item, 0.0) for item in ids])
    own = own.reshape(len(catalogue.faults), len(ids))
    up_to = (1 - _tail(own)) * (1 - _tail(leak[np.newaxis]))
    return np.diff(up_to, axis=1, prepend=0.0)


def _tail(above: NDArray[np.float64]) -> NDArray[np.float64]:
    """Probability of more than outcome k, for k = 0 (the normal one) to the last."""
    sums = np.cumsum(above[:, ::-1], axis=1)[:, ::-1]
    return np.hstack([sums, np.zeros((len(above), 1))])


def _told_apart(catalogue: Catalogue, check: Check, fields_of: FieldsOf) -> NDArray[np.bool_]:
    if check.reading is None:
        rows = outcome_probabilities(catalogue, check)
        return np.asarray(np.abs(rows[:, np.newaxis] - rows[np.newaxis]).max(2) >= LEAST_DIFFERENCE)
    moved = np.array([bool(fields) for fields in _moving(catalogue, check, fields_of)], dtype=bool)
    return np.asarray(moved[:, np.newaxis] != moved[np.newaxis])


def _by_size(catalogue: Catalogue, check: Check, fields_of: FieldsOf) -> NDArray[np.bool_]:
    moving = _moving(catalogue, check, fields_of)
    return np.array([[bool(one and other and one != other) for other in moving] for one in moving], dtype=bool)


def _moving(catalogue: Catalogue, check: Check, fields_of: FieldsOf) -> list[frozenset[str]]:
    fields = frozenset(fields_of(check.reading) if check.reading is not None else ())
    return [fields & _changed(fault) for fault in catalogue.faults.values()]


def _changed(fault: Fault) -> frozenset[str]:
    return frozenset(change.field for change in fault.changes)


def _any(tables: Iterable[NDArray[np.bool_]], size: int) -> NDArray[np.bool_]:
    return np.asarray(np.logical_or.reduce([np.zeros((size, size), dtype=bool), *tables]))


def _pairs(names: tuple[str, ...], table: NDArray[np.bool_]) -> tuple[tuple[str, str], ...]:
    return tuple((names[one], names[other]) for one, other in combinations(range(len(names)), 2) if table[one, other])


def _cover(
    catalogue: Catalogue, table: Mapping[str, NDArray[np.bool_]], row: int, wanted: NDArray[np.bool_]
) -> tuple[tuple[str, ...], float]:
    """Greedy set cover: each time the check that tells most faults apart per minute, set-ups counted once."""
    left, chosen, spent = wanted.copy(), [], 0.0
    left[row] = False
    standing: set[str] = set()
    while left.any():
        costs = {key: _minutes(catalogue, catalogue.checks[key], standing) for key in table}
        best = max(table, key=lambda key: (table[key][row] & left).sum() / costs[key])
        left &= ~table[best][row]
        spent += costs[best]
        standing.update(catalogue.checks[best].set_up)
        chosen.append(best)
    return tuple(chosen), spent


def _minutes(catalogue: Catalogue, check: Check, standing: Collection[str]) -> float:
    set_ups = (catalogue.set_ups[name].minutes for name in check.set_up if name not in standing)
    return max(check.minutes.mean + sum(set_ups), 0.1)
