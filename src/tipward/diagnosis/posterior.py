"""Belief after all findings, in two forms with the same questions: signed columns (exact), or fault sets with weights."""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Network
from tipward.diagnosis.states import Group


@dataclass(frozen=True, slots=True)
class Posterior(ABC):
    """Belief over every fault set. ``log_evidence`` is the log of the normaliser; ``method`` names the engine."""

    network: Network
    groups: tuple[Group, ...]
    log_evidence: float
    method: str

    @property
    def epochs(self) -> int:
        """How many times between repairs the case has: one more than its repairs."""
        return self.groups[0].present.shape[3] if self.groups else 1

    def marginals(self) -> Floats:
        """Probability of each fault now [1], shape (faults,), in catalogue order."""
        return self.in_epoch(-1)

    def all_clear(self) -> float:
        """Probability that no fault is present now [1]."""
        return self.none_of(range(len(self.network.ids)), -1)

    @abstractmethod
    def in_epoch(self, epoch: int) -> Floats:
        """Probability of each fault in an epoch (0: when the case began, k: after repair k, -1: now) [1]."""

    @abstractmethod
    def none_of(self, faults: Iterable[int], epoch: int) -> float:
        """Probability that none of these faults was there in an epoch [1]."""


@dataclass(frozen=True, slots=True)
class Signed(Posterior):
    """Signed products: ``columns`` (M,) of signed weights that add to 1, ``states[g]`` (G, S, M) given a column."""

    columns: Floats
    states: tuple[Floats, ...]
    cancellation: float

    def in_epoch(self, epoch: int) -> Floats:
        """Probability of each fault in an epoch [1]."""
        found = np.zeros(len(self.network.ids))
        for group, states in zip(self.groups, self.states, strict=True):
            found[group.faults] = np.einsum("gsn,gs->gn", group.present[:, :, :, epoch], states @ self.columns)
        return np.clip(found, 0.0, 1.0)

    def none_of(self, faults: Iterable[int], epoch: int) -> float:
        """Probability that none of these faults was there in an epoch [1]."""
        wanted, product = np.zeros(len(self.network.ids), dtype=bool), self.columns
        wanted[list(faults)] = True
        for group, states in zip(self.groups, self.states, strict=True):
            asked = wanted[group.faults]
            rows = np.flatnonzero(asked.any(axis=1))
            if len(rows):
                on = (group.present[rows, :, :, epoch] & asked[rows][:, None, :]).any(axis=2)
                product = product * (np.where(on, 0.0, 1.0)[:, :, None] * states[rows]).sum(axis=1).prod(axis=0)
        return float(np.clip(product.sum(), 0.0, 1.0))


@dataclass(frozen=True, slots=True)
class Drawn(Posterior):
    """Fault sets with weights: ``sets`` (L, N, E) says what each holds in each epoch, ``weights`` (L,) add to 1.

    ``known`` (N,) and ``known_clear`` are what is exactly known where the sets are only drawn.
    """

    sets: Bools
    weights: Floats
    known: Floats | None = None
    known_clear: float | None = None

    def marginals(self) -> Floats:
        """Probability of each fault now [1]: exact where it is known, else as the sets hold it."""
        return self.known if self.known is not None else self.in_epoch(-1)

    def all_clear(self) -> float:
        """Probability that no fault is present now [1]."""
        return self.known_clear if self.known_clear is not None else Posterior.all_clear(self)

    def in_epoch(self, epoch: int) -> Floats:
        """Probability of each fault in an epoch [1]."""
        found: Floats = self.weights @ self.sets[:, :, epoch]
        return np.clip(found, 0.0, 1.0)

    def none_of(self, faults: Iterable[int], epoch: int) -> float:
        """Probability that none of these faults was there in an epoch [1]."""
        there = self.sets[:, list(faults), epoch].any(axis=1)
        return float(np.clip(self.weights[~there].sum(), 0.0, 1.0))
