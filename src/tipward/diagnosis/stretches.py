"""Stretches: which of the common draws each kind of fault set is weighed over, and what comes of them.

A kind that weighs little gets few draws, from a place of its own, so that the errors of many such kinds do not add up.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Floats, Ints
from tipward.diagnosis.readings import DRAWS, end_to_end


@dataclass(frozen=True, slots=True)
class Stretches:
    """The stretch of draws of each kind: its ``first`` draw and its ``count``, both (kinds,); end to end they are "flat".

    >>> both = stretches(np.array([5, 9]), np.array([64, 128]))
    >>> both.pairs()
    [(320, 64), (1152, 128)]
    >>> both.mean(np.ones(192)).tolist()
    [1.0, 1.0]
    """

    first: Ints
    count: Ints

    def pairs(self) -> list[tuple[int, int]]:
        """First draw and count of each kind."""
        return list(zip(self.first.tolist(), self.count.tolist(), strict=True))

    def draws(self) -> Ints:
        """Numbers of the draws, flat."""
        return end_to_end(self.first, self.count)

    def mean(self, values: Floats) -> Floats:
        """Mean over the draws of each kind (kinds,) of flat values."""
        found: Floats = np.add.reduceat(values, np.cumsum(self.count) - self.count) / self.count
        return found


def stretches(marks: Ints, count: Ints) -> Stretches:
    """Stretches of these counts (powers of 2), each from where its mark says."""
    return Stretches(marks % (DRAWS // count) * count, count)


def counts_by(shares: Floats, shared: int, few: int) -> Ints:
    """How many draws each kind gets of so many that are shared: by what it weighs, a power of 2, never fewer than ``few``."""
    wanted = np.clip(shares * shared, few, DRAWS)
    found: Ints = 2 ** np.ceil(np.log2(wanted)).astype(np.int64)
    return found


@dataclass(frozen=True, slots=True)
class Weights:
    """What the readings say of each kind (kinds,): log mean likelihood, and its relative standard error; of each draw (DRAWS,)."""

    log_mean: Floats
    error: Floats
    draws: Floats

    def shares(self, mass: Floats) -> Floats:
        """Share of each kind in the whole (kinds,); ``mass`` is what each weighs without the readings."""
        weight = mass * np.exp(self.log_mean - self.log_mean.max())
        found: Floats = weight / weight.sum()
        return found


def weights_of(runs: Sequence[tuple[Ints, Stretches, Floats]], mass: Floats) -> Weights:
    """Bring runs of (kinds, their stretches, flat log likelihoods) together; where a kind was run again, the last holds.

    ``mass`` (kinds,) is what each kind weighs without the readings.
    """
    top = max(float(logs.max()) for _, _, logs in runs)
    last = np.zeros(len(mass), dtype=np.int64)
    for number, (kinds, _, _) in enumerate(runs):
        last[kinds] = number
    log_mean, error, draws = np.zeros(len(mass)), np.zeros(len(mass)), np.zeros(DRAWS)
    for number, (kinds, along, logs) in enumerate(runs):
        each = np.exp(logs - top)
        mean = along.mean(each)
        log_mean[kinds] = np.log(np.maximum(mean, 1e-300)) + top
        scatter = along.mean(each * each) / np.maximum(mean * mean, 1e-300) - 1.0
        error[kinds] = np.sqrt(np.maximum(scatter, 0.0) / along.count)
        weight = np.where(last[kinds] == number, mass[kinds] / along.count, 0.0)
        draws += np.bincount(along.draws(), each * np.repeat(weight, along.count), DRAWS)
    return Weights(log_mean, error, draws / draws.sum())
