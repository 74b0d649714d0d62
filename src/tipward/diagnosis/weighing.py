"""The scales: fault sets weighed by all measured readings together, over common draws of what is unknown."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Ints, Network
from tipward.diagnosis.readings import DRAWS, bench_for, log_likelihood
from tipward.diagnosis.stretches import Stretches, counts_by, stretches, weights_of
from tipward.diagnosis.terms import Evidence, Measured
from tipward.diagnosis.touch import touching
from tipward.faults import Catalogue

BY_ITSELF = 128  # draws of each kind for the weight of one reading by itself
SEED = 8
UNLIKELY = -25.0  # log likelihood per reading below which no listed set explains it


@dataclass(frozen=True, slots=True)
class Care:
    """How many draws every kind of sets gets, how many they share by what they weigh, and in how many turns.

    They share more where what more draws could mend of the error is past ``error``.
    """

    few: int
    shared: int
    turns: int
    error: float


PLANNED = Care(32, 8192, 4, 0.05)  # for choosing the next step
STATED = Care(64, 262_144, 6, 0.02)  # for what is stated


@dataclass(frozen=True, slots=True)
class Weighed:
    """Log weights with the readings in, standard error of the most uncertain marginal, weights of the draws."""

    log_weights: Floats
    standard_error: float
    draw_weights: Floats | None
    surprise: bool


class Scales:
    """Weighs fault sets by L(S) = mean over draws of the product over readings of p(reading | path changed by S, draw).

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> empty = build_catalogue([])
    >>> scales = Scales(empty, build_network(empty, FeedPath()), Evidence((), (), (), ()))
    >>> scales.weigh(np.zeros((1, 0, 1), dtype=bool), np.zeros(1), PLANNED).surprise
    False
    """

    def __init__(self, catalogue: Catalogue, network: Network, found: Evidence) -> None:
        self.catalogue, self.network, self.found = catalogue, network, found
        self.marks = np.random.default_rng(SEED).integers(1, 2**62, (len(found.mendings) + 1, len(network.ids)))

    def weigh(self, present: Bools, log_weights: Floats, care: Care) -> Weighed:
        """Log weights with the readings, their error through the draws, and the weights of the draws.

        ``present`` (sets, N, E) says which faults each set holds in each epoch. Sets alike in all that the readings touch
        are of one kind; each kind gets as many draws as it is worth.
        """
        if not self.found.measured:
            return Weighed(log_weights, 0.0, None, False)
        marks, kind, first = self._kinds(present)
        mass: Floats = np.bincount(kind, np.exp(log_weights - log_weights.max()), len(first)).astype(np.float64)
        count = np.full(len(first), care.few if len(first) * DRAWS > care.shared else DRAWS)
        again, runs, shared = np.arange(len(first)), [], care.shared
        for _ in range(care.turns):
            along = stretches(marks[again], count[again])
            runs.append((again, along, self._logs(present[first[again]], along)))
            found = weights_of(runs, mass)
            total = log_weights + found.log_mean[kind]
            now, mendable = present[:, :, -1], np.where(count < DRAWS, found.error, 0.0)
            shared *= 1 if _error(now, total, kind, mendable) <= care.error else 4
            wanted = np.maximum(counts_by(found.shares(mass), shared, care.few), count)
            again, count = np.flatnonzero(wanted > count), wanted
            if not len(again):
                break
        surprise = float(found.log_mean.max()) / len(self.found.measured) < UNLIKELY
        return Weighed(total, _error(present[:, :, -1], total, kind, found.error), found.draws, surprise)

    def _kinds(self, present: Bools) -> tuple[Ints, Ints, Ints]:
        """The mark of each kind, the kind of each set, and the first set of each kind."""
        columns = sorted({(fault, item.epoch) for item in self.found.measured for fault in self._near(item)[1]})
        faults, epochs = np.array(columns, dtype=np.int64).reshape(-1, 2).T
        return _alike(present[:, faults, epochs], self.marks[epochs, faults])

    def _logs(self, present: Bools, along: Stretches) -> Floats:
        """Log likelihood of all readings together under each set, each along its stretch of the draws: flat."""
        return sum(
            (self._log_of(item, present, along) for item in self.found.measured), np.zeros(int(along.count.sum()))
        )

    def _near(self, item: Measured) -> tuple[list[str], list[int]]:
        names = sorted(touching(self.catalogue.check(item.check), self.catalogue.faults))
        return names, [self.network.index[name] for name in names]

    def log_alone(self, item: Measured, present: Bools) -> Floats:
        """Log likelihood of one measured finding by itself under each set, (sets,)."""
        near = self._near(item)[1]
        marks, kind, first = _alike(present[:, near, item.epoch], self.marks[item.epoch, near])
        along = stretches(marks, np.full(len(first), BY_ITSELF))
        logs = self._log_of(item, present[first], along)
        top = logs.max()
        found: Floats = np.log(np.maximum(along.mean(np.exp(logs - top)), 1e-300))[kind] + top
        return found

    def _log_of(self, item: Measured, present: Bools, along: Stretches) -> Floats:
        """Log likelihood of one measured finding under each set along its stretch of the draws: flat."""
        check, (names, near) = self.catalogue.check(item.check), self._near(item)
        rows, columns = np.nonzero(present[:, near, item.epoch])
        ends, held = np.searchsorted(rows, np.arange(len(present) + 1)).tolist(), [names[n] for n in columns.tolist()]
        sets = [frozenset(held[begin:end]) for begin, end in pairwise(ends)]
        predicted = bench_for(self.catalogue, item.path).along(check, sets, along.pairs())
        return log_likelihood(check, item.readings, predicted)


def _alike(rows: Bools, marks: Ints) -> tuple[Ints, Ints, Ints]:
    """Mark, kind and first of each kind of equal rows: a mark is the sum of the random numbers of what a row holds."""
    keys, first, kind = np.unique(rows @ marks, return_index=True, return_inverse=True)
    return keys, kind.reshape(-1), first


def _error(now: Bools, log_weights: Floats, kind: Ints, error: Floats) -> float:
    """Standard error of the most uncertain marginal, from the errors of the kinds, as if these were independent."""
    weights = np.exp(log_weights - log_weights.max())
    weights /= weights.sum()
    off = weights[:, None] * (now - weights @ now)
    order = np.argsort(kind, kind="stable")
    by_kind = np.add.reduceat(off[order], np.flatnonzero(np.diff(kind[order], prepend=-1)), axis=0)
    return float(np.sqrt(((by_kind * error[:, None]) ** 2).sum(axis=0)).max(initial=0.0))
