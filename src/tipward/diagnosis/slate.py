"""Checks laid out for scoring, once for a path: what each fault shows of each outcome."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tipward.diagnosis.network import Bools, CheckNumbers, Floats, Ints
from tipward.diagnosis.states import Group

MOST_LAID = 64  # slates of which it is remembered how their lines lie


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """The (check outcome, cluster) pairs of one group: which line of the slate, which cluster, what is shown (P, n)."""

    line: Ints
    row: Ints
    shown: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Slate:
    """Checks laid out for scoring: one line for each cumulative outcome but the last of each check.

    ``log_shown`` (lines, N) is what each fault by itself multiplies into each line, as a log; ``history`` (checks,) says
    which checks tell of the time before the case.
    """

    names: tuple[str, ...]
    count: Ints
    leak: Floats
    log_shown: Floats
    pairs: tuple[Pairs, ...]
    history: Bools

    def part(self, chosen: Bools) -> "Slate":
        """The slate of the chosen checks (checks,)."""
        lines = np.repeat(chosen, self.count)
        moved = np.cumsum(lines) - 1
        pairs = []
        for item in self.pairs:
            keep = lines[item.line]
            pairs.append(Pairs(moved[item.line[keep]], item.row[keep], item.shown[keep]))
        names = tuple(name for name, on in zip(self.names, chosen.tolist(), strict=True) if on)
        return Slate(
            names, self.count[chosen], self.leak[lines], self.log_shown[lines], tuple(pairs), self.history[chosen]
        )


@lru_cache(MOST_LAID)
def apart(laid: Slate) -> tuple[tuple[Ints, bool, Slate], ...]:
    """The checks of now, and those that tell of the time before the case: their lines, whether it is those, their slate."""
    both = [(np.repeat(chosen, laid.count), chosen) for chosen in (~laid.history, laid.history) if chosen.any()]
    return tuple((np.flatnonzero(lines), bool(laid.history[chosen].all()), laid.part(chosen)) for lines, chosen in both)


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The outcomes of all checks one under the other: each is the line ``upper`` less the line ``lower``."""

    place: Mapping[str, tuple[int, int]]
    upper: Ints
    lower: Ints


@lru_cache(MOST_LAID)
def rows_of(laid: Slate) -> Rows:
    """Where each outcome of each check stands among the lines; a line past the last is 1, and the one after that 0."""
    total, lines = laid.count + 1, len(laid.leak)
    first = np.cumsum(total) - total
    line = np.arange(int(total.sum())) - np.repeat(np.arange(len(total)), total)
    within = np.arange(len(line)) - np.repeat(first, total)
    upper = np.where(within == np.repeat(laid.count, total), lines, line)
    lower = np.where(within == 0, lines + 1, line - 1)
    place = {name: (int(at), int(many)) for name, at, many in zip(laid.names, first, total, strict=True)}
    return Rows(place, upper, lower)


def slate(checks: Mapping[str, CheckNumbers], groups: Sequence[Group]) -> Slate:
    """Lay out checks for scoring against the groups of a posterior.

    Parameters
    ----------
    checks : Mapping of str to CheckNumbers
        The checks to score.
    groups : sequence of Group
        Groups of the posterior; only which fault stands where matters.

    Returns
    -------
    Slate
        Arrays for ``forecast``.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> slate({}, []).names
    ()
    """
    count = np.array([len(item.outcomes) - 1 for item in checks.values()], dtype=np.int64)
    leak = np.concatenate([item.leak[:-1] for item in checks.values()]) if len(count) else np.zeros(0)
    shown_by = np.ones((len(leak), sum(group.faults.size for group in groups)))
    touched = np.zeros(shown_by.shape, dtype=bool)
    start = 0
    for item in checks.values():
        lines = slice(start, start + len(item.outcomes) - 1)
        shown_by[lines, item.faults] = item.shown[:, :-1].T
        touched[lines, item.faults] = True
        start = lines.stop
    log_shown = np.log(np.maximum(shown_by, 1e-300))
    history = np.array([item.history for item in checks.values()], dtype=bool)
    pairs = tuple(_pairs(touched, shown_by, group) for group in groups)
    return Slate(tuple(checks), count, leak, log_shown, pairs, history)


def _pairs(touched: Bools, shown_by: Floats, group: Group) -> Pairs:
    lines, rows = np.nonzero(touched[:, group.faults].any(axis=2))
    return Pairs(lines, rows, shown_by[lines[:, None], group.faults[rows]])
