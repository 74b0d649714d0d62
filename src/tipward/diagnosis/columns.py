"""Scoring over signed columns: what the clusters multiply into each line of a slate, and what each fault holds of it."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tipward.diagnosis.network import Bools, Floats
from tipward.diagnosis.posterior import Signed
from tipward.diagnosis.slate import Pairs, Slate
from tipward.diagnosis.states import Group

MOST_PATTERNS = 512  # groups of clusters whose patterns are remembered


def over_columns(belief: Signed, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """P(outcome <= k) and P(outcome <= k and fault present now) over signed columns.

    Parameters
    ----------
    belief : Signed
        Belief now.
    laid : Slate
        The checks.
    epoch : int
        The epoch whose faults show themselves: -1 now, 0 when the case began.

    Returns
    -------
    tuple of array
        (lines,) and (lines, N) [1].

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008 (the same products that judge the findings).

    >>> from tipward.diagnosis.engine import posterior
    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.diagnosis.slate import slate
    >>> from tipward.diagnosis.terms import Evidence
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> belief = posterior(build_network(build_catalogue([]), FeedPath()), Evidence((), (), (), ()))
    >>> over_columns(belief, slate({}, belief.groups), -1)[0].shape
    (0,)
    """
    scored = [_Scored(group, pairs, epoch) for group, pairs in zip(belief.groups, laid.pairs, strict=True)]
    joint = np.zeros((len(laid.leak), len(belief.network.ids)))
    lines = laid.leak[:, None] * belief.columns[None, :]
    for group, states in zip(scored, belief.states, strict=True):
        group.multiply(lines, states)
    for group in scored:
        group.join(joint, lines)
    return np.clip(lines.sum(axis=1), 0.0, 1.0), joint


@dataclass(frozen=True, slots=True)
class _Patterns:
    """What can be there in the clusters of a group when it shows (Q, n) and now (Q, n), and in which states (G, Q, S)."""

    there: Bools
    now: Bools
    states: Floats


@lru_cache(MOST_PATTERNS)
def _patterns(group: Group, epoch: int) -> _Patterns:
    size = group.faults.shape[1]
    codes = group.present[:, :, :, -1] @ (1 << np.arange(size))
    if epoch != -1:
        codes = codes + ((group.present[:, :, :, epoch] @ (1 << np.arange(size))) << size)
    used = np.unique(codes[group.prior > 0])
    used = used[used > 0]
    now = (used[:, None] >> np.arange(size)) & 1 == 1
    there = now if epoch == -1 else (used[:, None] >> np.arange(size, 2 * size)) & 1 == 1
    return _Patterns(there, now, (codes[:, None, :] == used[None, :, None]).astype(float))


class _Scored:
    """What the clusters of one group multiply into the lines: pairs (P), patterns (Q) and columns (C)."""

    def __init__(self, group: Group, pairs: Pairs, epoch: int) -> None:
        self.group, self.pairs, self.patterns = group, pairs, _patterns(group, epoch)
        self.now = self.patterns.now.astype(float)
        self.shown = np.ones((len(pairs.row), len(self.now)))
        for place in range(group.faults.shape[1]):
            self.shown *= np.where(self.patterns.there[None, :, place], pairs.shown[:, place, None], 1.0)
        self.starts = np.flatnonzero(np.r_[True, pairs.line[1:] != pairs.line[:-1]][: len(pairs.line)])
        self.of_cluster = [np.flatnonzero(pairs.row == row) for row in range(len(group.faults))] if self.wide else []

    @property
    def wide(self) -> bool:
        """Whether clusters are better taken one by one: few of many patterns, not many of few."""
        return bool(self.group.faults.shape[1] > 1)

    def multiply(self, lines: Floats, states: Floats) -> None:
        """Multiply the expected product of what is shown into the lines (L, C); the chances of a cluster add to 1."""
        self.chance = self.patterns.states @ states
        self.factor = np.ones((len(self.pairs.row), lines.shape[1]))
        for row, mine in enumerate(self.of_cluster):
            self.factor[mine] += (self.shown[mine] - 1.0) @ self.chance[row]
        if not self.wide:
            for pattern, shown in enumerate(self.shown.T):
                self.factor += self._held(pattern) * (shown - 1.0)[:, None]
        lines[self.pairs.line[self.starts]] *= np.multiply.reduceat(self.factor, self.starts, axis=0)

    def _held(self, pattern: int) -> Floats:
        """Chance of a pattern in the cluster of each pair (P, C)."""
        return self.chance[:, pattern].take(self.pairs.row, axis=0)

    def join(self, joint: Floats, lines: Floats) -> None:
        """Fill in P(outcome <= k and fault present now), (L, N), for the faults of the group."""
        single = np.einsum("qn,gqc->gnc", self.now, self.chance).reshape(-1, lines.shape[1])
        whole = (lines @ single.T).reshape(-1, *self.group.faults.shape)
        share = lines.take(self.pairs.line, axis=0)
        share /= np.where(self.factor > 0, self.factor, 1.0)
        each = np.empty(self.shown.shape)
        for row, mine in enumerate(self.of_cluster):
            each[mine] = share[mine] @ self.chance[row].T
        if not self.wide:
            for pattern in range(each.shape[1]):
                each[:, pattern] = np.einsum("pc,pc->p", share, self._held(pattern))
        whole[self.pairs.line, self.pairs.row] = (each * self.shown) @ self.now
        joint[:, self.group.faults] = whole
