"""The scales: fault sets weighed by all measured readings together, over common draws of what is unknown."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Network
from tipward.diagnosis.readings import DRAWS, SCREEN, bench_for, log_likelihood
from tipward.diagnosis.terms import Evidence
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
    """Weighs sets of items by L(S) = mean over draws of the product over readings of p(reading | path changed by S, draw).

    True where there is something to weigh.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> empty = build_catalogue([])
    >>> bool(Scales(empty, build_network(empty, FeedPath()), Evidence((), (), (), ()), ()))
    False
    """

    def __init__(
        self, catalogue: Catalogue, network: Network, found: Evidence, courses: Sequence[tuple[Sequence[int], Bools]]
    ) -> None:
        self.catalogue, self.network, self.found = catalogue, network, found
        self.names = [
            [
                frozenset(network.ids[fault] for fault, on in zip(faults, present[:, epoch], strict=True) if on)
                for epoch in range(len(found.mendings) + 1)
            ]
            for faults, present in courses
        ]

    def __bool__(self) -> bool:
        return bool(self.found.measured)

    def screen(self, sets: Sequence[frozenset[int]]) -> Floats:
        """Log L of each set over the first few draws."""
        return _log_mean(self._log_likelihoods(sets, SCREEN))

    def weigh(self, sets: Sequence[frozenset[int]], log_weights: Floats) -> Weighed:
        """Log weights with the readings over all draws, their error by batches, and the weights of the draws."""
        logs = self._log_likelihoods(sets, DRAWS)
        likelihood = np.exp(logs - logs.max())
        before = np.exp(log_weights - log_weights.max())
        batches = likelihood.reshape(len(sets), BATCHES, -1).mean(axis=2) * before[:, None]
        draws = before @ likelihood
        with np.errstate(divide="ignore"):
            total = log_weights + np.log(np.maximum(likelihood.mean(axis=1), 1e-300)) + logs.max()
        best = float(_log_mean(logs).max()) / max(len(self.found.measured), 1)
        return Weighed(total, self._error(sets, batches), draws / draws.sum(), best < UNLIKELY)

    def _error(self, sets: Sequence[frozenset[int]], batches: Floats) -> float:
        """Standard error of the most uncertain marginal, from batches of the draws."""
        total = batches.sum(axis=0)
        if not (total > 0).all():
            return 0.5
        share = batches / total
        faults: dict[str, Floats] = {}
        for row, item in enumerate(sets):
            for fault in self._now(item):
                faults[fault] = faults.get(fault, np.zeros(BATCHES)) + share[row]
        errors = [float(values.std(ddof=1)) / np.sqrt(BATCHES) for values in faults.values()]
        return max(errors, default=0.0)

    def _now(self, item: frozenset[int]) -> frozenset[str]:
        return frozenset().union(*(self.names[number][-1] for number in item)) if item else frozenset()

    def _log_likelihoods(self, sets: Sequence[frozenset[int]], count: int) -> Floats:
        total = np.zeros((len(sets), count))
        for item in self.found.measured:
            check = self.catalogue.check(item.check)
            names = [frozenset().union(*(self.names[n][item.epoch] for n in one)) if one else frozenset() for one in sets]
            predicted = bench_for(self.catalogue, item.path).predict(check, names, count)
            total += log_likelihood(check, item.readings, predicted)
        return total


def _log_mean(logs: Floats) -> Floats:
    top = logs.max(axis=1, keepdims=True)
    found: Floats = (top + np.log(np.exp(logs - top).mean(axis=1, keepdims=True)))[:, 0]
    return found
