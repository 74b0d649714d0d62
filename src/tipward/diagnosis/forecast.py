"""What each check would say, and what would then be believed: outcome probabilities, marginals, information."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tipward.diagnosis.network import Bools, CheckNumbers, Floats, Ints
from tipward.diagnosis.posterior import Drawn, Posterior, Signed
from tipward.diagnosis.states import Group

MOST_PATTERNS = 512  # groups of clusters whose patterns are remembered


@dataclass(frozen=True, slots=True)
class _Pairs:
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
    pairs: tuple[_Pairs, ...]
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
            pairs.append(_Pairs(moved[item.line[keep]], item.row[keep], item.shown[keep]))
        names = tuple(name for name, on in zip(self.names, chosen.tolist(), strict=True) if on)
        return Slate(
            names, self.count[chosen], self.leak[lines], self.log_shown[lines], tuple(pairs), self.history[chosen]
        )


@dataclass(frozen=True, slots=True)
class Forecast:
    """For each check by name: outcome probabilities, and marginals of every fault under each outcome and ``now`` (N,)."""

    place: Mapping[str, tuple[int, int]]
    chance: Floats
    under: Floats
    now: Floats

    def outcomes(self, name: str) -> Floats:
        """Probability of each outcome of a check [1], (K,)."""
        first, count = self.place[name]
        return self.chance[first : first + count]

    def marginals(self, name: str) -> Floats:
        """Probability of each fault under each outcome of a check [1], (K, N)."""
        first, count = self.place[name]
        return self.under[first : first + count]

    def information(self, kind: Ints | None = None) -> dict[str, float]:
        """What each check is expected to tell [nat]: the fall of the summed binary entropies of the faults.

        With ``kind`` (N,), of the kinds of faults: whether any of a kind is there, as if they came independently.
        """
        if not len(self.chance):
            return {}
        after = np.add.reduceat(
            self.chance * _uncertainty(self.under, kind), [first for first, _ in self.place.values()]
        )
        gained = np.maximum(_uncertainty(self.now, kind) - after, 0.0)
        return dict(zip(self.place, gained.tolist(), strict=True))


def _uncertainty(chances: Floats, kind: Ints | None) -> Floats:
    """Summed binary entropies of faults (..., N), or of kinds of faults [nat]."""
    if kind is not None:
        members = np.zeros((len(kind), int(kind.max(initial=-1)) + 1))
        members[np.arange(len(kind)), kind] = 1.0
        chances = -np.expm1(np.log1p(-np.minimum(chances, 1 - 1e-15)) @ members)
    found: Floats = entropy(chances).sum(axis=-1)
    return found


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
    where = {int(f): (g, r, j) for g, group in enumerate(groups) for (r, j), f in np.ndenumerate(group.faults)}
    found: list[dict[tuple[int, int], Floats]] = [{} for _ in groups]
    shown_by = np.ones((len(leak), len(where)))
    start = 0
    for item in checks.values():
        shown_by[start : start + len(item.outcomes) - 1, item.faults] = item.shown[:, :-1].T
        for fault, shown in zip(item.faults, item.shown, strict=True):
            g, r, j = where[int(fault)]
            for k in range(len(item.outcomes) - 1):
                key = (start + k, r)
                if key not in found[g]:
                    found[g][key] = np.ones(groups[g].faults.shape[1])
                found[g][key][j] = shown[k]
        start += len(item.outcomes) - 1
    log_shown = np.log(np.maximum(shown_by, 1e-300))
    history = np.array([item.history for item in checks.values()], dtype=bool)
    return Slate(tuple(checks), count, leak, log_shown, tuple(map(_pairs, found, groups)), history)


def _pairs(found: Mapping[tuple[int, int], Floats], group: Group) -> _Pairs:
    keys = sorted(found)
    lines = np.array([line for line, _ in keys], dtype=np.int64)
    rows = np.array([row for _, row in keys], dtype=np.int64)
    return _Pairs(lines, rows, np.array([found[key] for key in keys]) if keys else np.zeros((0, group.faults.shape[1])))


def forecast(belief: Posterior, laid: Slate) -> Forecast:
    """Forecast every check of a slate from the belief, exactly and all marginals included.

    Parameters
    ----------
    belief : Posterior
        Belief now.
    laid : Slate
        The checks.

    Returns
    -------
    Forecast
        Outcome probabilities [1], marginals under each outcome [1] and now; what each check is expected to tell.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008 (the same products that judge the findings).

    >>> from tipward.diagnosis.engine import posterior
    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.diagnosis.terms import Evidence
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> belief = posterior(build_network(build_catalogue([]), FeedPath()), Evidence((), (), (), ()))
    >>> forecast(belief, slate({}, belief.groups)).information()
    {}
    """
    before = laid.history & (belief.epochs > 1)
    if not before.any():
        return _by_check(belief, laid, *_lines(belief, laid, -1))
    below, joint = np.empty(len(laid.leak)), np.empty((len(laid.leak), len(belief.network.ids)))
    for chosen, epoch in ((~before, -1), (before, 0)):
        lines = np.repeat(chosen, laid.count)
        below[lines], joint[lines] = _lines(belief, laid.part(chosen), epoch)
    return _by_check(belief, laid, below, joint)


def _lines(belief: Posterior, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """P(outcome <= k) and P(outcome <= k and fault present now), (lines,) and (lines, N); faults of ``epoch`` show."""
    if isinstance(belief, Drawn):
        return _over_sets(belief, laid, epoch)
    assert isinstance(belief, Signed)
    return _over_columns(belief, laid, epoch)


def _over_sets(belief: Drawn, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """The lines over weighted fault sets."""
    there, now = belief.sets[:, :, epoch], belief.sets[:, :, -1]
    shows, held = np.flatnonzero(there.any(axis=0)), np.flatnonzero(now.any(axis=0))
    share = np.exp(there[:, shows].astype(float) @ laid.log_shown[:, shows].T) * belief.weights[:, None]
    joint = np.zeros((len(laid.leak), len(belief.network.ids)))
    joint[:, held] = laid.leak[:, None] * (share.T @ now[:, held].astype(float))
    return laid.leak * share.sum(axis=0), joint


def _over_columns(belief: Signed, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """The lines over signed columns."""
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

    def __init__(self, group: Group, pairs: _Pairs, epoch: int) -> None:
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


def _by_check(belief: Posterior, laid: Slate, below: Floats, joint: Floats) -> Forecast:
    """Differences of the cumulative lines: probability of each outcome, and of each fault under it."""
    now = belief.in_epoch(-1)
    total = laid.count + 1
    first = np.concatenate([[0], np.cumsum(total)[:-1]]).astype(np.int64) if len(total) else total
    begins = np.zeros(int(total.sum()), dtype=bool)
    begins[first] = True
    ends = np.roll(begins, -1)
    line = np.arange(len(begins)) - np.repeat(np.arange(len(total)), total)
    upper, lower = np.where(ends, len(below), line), np.where(begins, len(below) + 1, line - 1)
    chance = np.concatenate([below, [1.0, 0.0]])
    both = np.vstack([joint, now, np.zeros_like(now)])
    share = np.clip(chance[upper] - chance[lower], 0.0, 1.0)
    under = np.clip((both[upper] - both[lower]) / np.maximum(share, 1e-12)[:, None], 0.0, 1.0)
    place = {name: (int(at), int(many)) for name, at, many in zip(laid.names, first, total, strict=True)}
    return Forecast(place, share, under, now)


def entropy(chance: Floats) -> Floats:
    """Binary entropy of each probability [nat]."""
    inside = np.clip(chance, 1e-15, 1 - 1e-15)
    found: Floats = -inside * np.log(inside) - (1 - inside) * np.log1p(-inside)
    return found
