"""What each check would say, and what would then be believed: outcome probabilities, marginals, information."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.columns import below_over_columns, over_columns
from tipward.diagnosis.network import Floats, Ints
from tipward.diagnosis.posterior import Drawn, Posterior, Signed
from tipward.diagnosis.slate import Slate, apart, rows_of


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
    >>> from tipward.diagnosis.slate import slate
    >>> from tipward.diagnosis.terms import Evidence
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> belief = posterior(build_network(build_catalogue([]), FeedPath()), Evidence((), (), (), ()))
    >>> forecast(belief, slate({}, belief.groups)).information()
    {}
    """
    if belief.epochs == 1 or not laid.history.any():
        return _by_check(belief, laid, *_lines(belief, laid, -1))
    below, joint = np.empty(len(laid.leak)), np.empty((len(laid.leak), len(belief.network.ids)))
    for lines, before, part in apart(laid):
        below[lines], joint[lines] = _lines(belief, part, 0 if before else -1)
    return _by_check(belief, laid, below, joint)


def abnormal(belief: Posterior, laid: Slate) -> dict[str, float]:
    """Probability [1] that each check of a slate shows anything but its first outcome, of what is there now."""
    if isinstance(belief, Drawn):
        below = laid.leak * _share(belief, laid, -1).sum(axis=0)
    else:
        assert isinstance(belief, Signed)
        below = below_over_columns(belief, laid)
    first = np.cumsum(laid.count) - laid.count
    return dict(zip(laid.names, np.clip(1 - below[first], 0.0, 1.0).tolist(), strict=True))


def _lines(belief: Posterior, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """P(outcome <= k) and P(outcome <= k and fault present now), (lines,) and (lines, N); faults of ``epoch`` show."""
    if isinstance(belief, Drawn):
        return _over_sets(belief, laid, epoch)
    assert isinstance(belief, Signed)
    return over_columns(belief, laid, epoch)


def _over_sets(belief: Drawn, laid: Slate, epoch: int) -> tuple[Floats, Floats]:
    """The lines over weighted fault sets."""
    now = belief.sets[:, :, -1]
    held, share = np.flatnonzero(now.any(axis=0)), _share(belief, laid, epoch)
    joint = np.zeros((len(laid.leak), len(belief.network.ids)))
    joint[:, held] = laid.leak[:, None] * (share.T @ now[:, held].astype(float))
    return laid.leak * share.sum(axis=0), joint


def _share(belief: Drawn, laid: Slate, epoch: int) -> Floats:
    """Weight of each set times what its faults multiply into each line, (sets, lines)."""
    there = belief.sets[:, :, epoch]
    shows = np.flatnonzero(there.any(axis=0))
    found: Floats = np.exp(there[:, shows].astype(float) @ laid.log_shown[:, shows].T) * belief.weights[:, None]
    return found


def _by_check(belief: Posterior, laid: Slate, below: Floats, joint: Floats) -> Forecast:
    """Differences of the cumulative lines: probability of each outcome, and of each fault under it."""
    now, rows = belief.in_epoch(-1), rows_of(laid)
    chance = np.concatenate([below, [1.0, 0.0]])
    both = np.vstack([joint, now, np.zeros_like(now)])
    share = np.clip(chance[rows.upper] - chance[rows.lower], 0.0, 1.0)
    under = np.clip((both[rows.upper] - both[rows.lower]) / np.maximum(share, 1e-12)[:, None], 0.0, 1.0)
    return Forecast(rows.place, share, under, now)


def entropy(chance: Floats) -> Floats:
    """Binary entropy of each probability [nat]."""
    inside = np.clip(chance, 1e-15, 1 - 1e-15)
    found: Floats = -inside * np.log(inside) - (1 - inside) * np.log1p(-inside)
    return found
