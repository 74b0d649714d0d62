"""Checks laid out for scoring, once for a path: what each fault shows of each outcome."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, CheckNumbers, Floats, Ints
from tipward.diagnosis.states import Group


@dataclass(frozen=True, slots=True)
class Pairs:
    """The (check outcome, cluster) pairs of one group: which line of the slate, which cluster, what is shown (P, n)."""

    line: Ints
    row: Ints
    shown: Floats


@dataclass(frozen=True, slots=True)
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

    def only(self, names: Sequence[str]) -> "Slate":
        """The slate of some of its checks, in the order of the slate."""
        wanted = set(names)
        return self.part(np.array([name in wanted for name in self.names], dtype=bool))

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
