"""The scales: fault sets weighed by all measured readings together, over common draws of what is unknown."""

from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Network
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
        logs = self._log_likelihoods(present)
        likelihood = np.exp(logs - logs.max())
        before = np.exp(log_weights - log_weights.max())
        batches = likelihood.reshape(len(present), BATCHES, -1).mean(axis=2) * before[:, None]
        draws = before @ likelihood
        total = log_weights + np.log(np.maximum(likelihood.mean(axis=1), 1e-300)) + logs.max()
        best = float(_log_mean(logs).max()) / len(self.found.measured)
        return Weighed(total, _error(present[:, :, -1], batches), draws / draws.sum(), best < UNLIKELY)

    def _log_likelihoods(self, present: Bools) -> Floats:
        total = np.zeros((len(present), self.draws))
        for item in self.found.measured:
            total += self._log_of(item, present)
        return total

    def log_alone(self, item: Measured, present: Bools) -> Floats:
        """Log likelihood of one measured finding by itself under each set, (sets,)."""
        return _log_mean(self._log_of(item, present))

    def _log_of(self, item: Measured, present: Bools) -> Floats:
        """Log likelihood of one measured finding under each set and draw, (sets, draws)."""
        check = self.catalogue.check(item.check)
        names = sorted(touching(check, self.catalogue.faults))
        near = [self.network.index[name] for name in names]
        patterns, which = np.unique(present[:, near, item.epoch], axis=0, return_inverse=True)
        sets = [frozenset(name for name, on in zip(names, row, strict=True) if on) for row in patterns]
        predicted = bench_for(self.catalogue, item.path).predict(check, sets, self.draws)
        return log_likelihood(check, item.readings, predicted)[which.reshape(-1)]


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
