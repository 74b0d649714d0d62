"""The scales: fault sets weighed by all measured readings together, over common draws of what is unknown."""

from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Ints, Network
from tipward.diagnosis.readings import PLANNED, bench_for, log_likelihood
from tipward.diagnosis.terms import Evidence, Measured
from tipward.diagnosis.touch import touching
from tipward.faults import Catalogue

BATCHES = 8
UNLIKELY = -25.0  # log likelihood per reading below which no listed set explains it


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
    >>> scales.weigh(np.zeros((1, 0, 1), dtype=bool), np.zeros(1)).surprise
    False
    """

    def __init__(self, catalogue: Catalogue, network: Network, found: Evidence, draws: int = PLANNED) -> None:
        self.catalogue, self.network, self.found, self.draws = catalogue, network, found, draws

    def weigh(self, present: Bools, log_weights: Floats) -> Weighed:
        """Log weights with the readings over all draws, their error by batches, and the weights of the draws.

        ``present`` (sets, N, E) says which faults each set holds in each epoch.
        """
        if not self.found.measured:
            return Weighed(log_weights, 0.0, None, False)
        kinds, kind = self._kinds(present)
        logs = sum((self._log_of(item, present[kinds]) for item in self.found.measured), np.zeros(self.draws))
        likelihood = np.exp(logs - logs.max())
        before = np.exp(log_weights - log_weights.max())
        batches = likelihood.reshape(len(kinds), BATCHES, -1).mean(axis=2)[kind] * before[:, None]
        draws = np.bincount(kind, before, len(kinds)) @ likelihood
        each = likelihood.mean(axis=1)
        total = log_weights + np.log(np.maximum(each, 1e-300))[kind] + logs.max()
        best = float(np.log(each.max()) + logs.max()) / len(self.found.measured)
        return Weighed(total, _error(present[:, :, -1], batches), draws / draws.sum(), best < UNLIKELY)

    def _kinds(self, present: Bools) -> tuple[Ints, Ints]:
        """The first set of each kind, and the kind of each set: sets alike in all that the readings touch are of one kind."""
        touched = [present[:, self._near(item)[1], item.epoch] for item in self.found.measured]
        return _alike(np.concatenate(touched, axis=1))

    def _near(self, item: Measured) -> tuple[list[str], list[int]]:
        names = sorted(touching(self.catalogue.check(item.check), self.catalogue.faults))
        return names, [self.network.index[name] for name in names]

    def log_alone(self, item: Measured, present: Bools) -> Floats:
        """Log likelihood of one measured finding by itself under each set, (sets,)."""
        return _log_mean(self._log_of(item, present))

    def _log_of(self, item: Measured, present: Bools) -> Floats:
        """Log likelihood of one measured finding under each set and draw, (sets, draws)."""
        check, (names, near) = self.catalogue.check(item.check), self._near(item)
        rows = present[:, near, item.epoch]
        kinds, kind = _alike(rows)
        sets = [frozenset(name for name, on in zip(names, row, strict=True) if on) for row in rows[kinds].tolist()]
        predicted = bench_for(self.catalogue, item.path).predict(check, sets, self.draws)
        return log_likelihood(check, item.readings, predicted)[kind]


def _alike(rows: Bools) -> tuple[Ints, Ints]:
    """The first of each kind of equal rows, and the kind of each row, by a random 62-bit sum of each row."""
    keys = np.random.default_rng(BATCHES).integers(1, 2**62, rows.shape[1])
    _, first, kind = np.unique(rows @ keys, return_index=True, return_inverse=True)
    return first, kind.reshape(-1)


def _error(now: Bools, batches: Floats) -> float:
    """Standard error of the most uncertain marginal, from batches of the draws."""
    total = batches.sum(axis=0)
    if not (total > 0).all():
        return 0.5
    marginals = now.T.astype(float) @ (batches / total)
    return float((marginals.std(axis=1, ddof=1) / np.sqrt(BATCHES)).max(initial=0.0))


def _log_mean(logs: Floats) -> Floats:
    top = logs.max(axis=1, keepdims=True)
    found: Floats = (top + np.log(np.exp(logs - top).mean(axis=1, keepdims=True)))[:, 0]
    return found
