"""The exact engine: all fault sets at once, by signed products.

Each finding is a difference of two products over the faults, so the sum over all fault sets of prior times likelihood is a
sum over the 2^m signs of the m findings that double, of a product over clusters (the quickscore idea of Heckerman 1989,
widened to several outcomes, dependent faults and repairs). Findings that touch one cluster only never double.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Network
from tipward.diagnosis.states import Group, groups
from tipward.diagnosis.terms import Evidence, Term

MOST_DOUBLING = 7
WORST_CANCELLATION = 1e-7


@dataclass(frozen=True, slots=True)
class Posterior:
    """Belief after all findings: ``columns`` (L, M) signed weights that add to 1, and each group's states given a column.

    L counts fault sets (1 under signed products), M signs (1 under sets). ``states[g]`` has shape (G, S, L or 1, M);
    ``log_evidence`` is the log of the normaliser; ``method`` names the engine; ``known`` and ``known_clear`` are
    exact where the columns are drawn sets.
    """

    network: Network
    groups: tuple[Group, ...]
    columns: Floats
    states: tuple[Floats, ...]
    log_evidence: float
    cancellation: float
    method: str
    known: Floats | None = None
    known_clear: float | None = None

    def marginals(self) -> Floats:
        """Probability of each fault now [1], shape (faults,), in catalogue order."""
        return self.known if self.known is not None else self.column_marginals()

    def column_marginals(self) -> Floats:
        """The same, as the columns hold it: what checks are scored against."""
        found = np.zeros(len(self.network.ids))
        for group, states in zip(self.groups, self.states, strict=True):
            now = group.present[:, :, :, -1]
            shares = np.einsum("gsn,gs->gn", now, self.per_state(states))
            found[group.faults] = shares
        return np.clip(found, 0.0, 1.0)

    def per_state(self, states: Floats) -> Floats:
        """Probability of each state of each cluster of a group, (G, S)."""
        if states.shape[2] == 1:
            found: Floats = states[:, :, 0, :] @ self.columns.sum(axis=0)
        else:
            found = states.reshape(*states.shape[:2], -1) @ self.columns.reshape(-1)
        return found

    def present(self) -> Bools:
        """Which faults each fault set holds in each epoch, (L, N, E); only where the columns are sets."""
        epochs = self.groups[0].present.shape[3] if self.groups else 1
        held = np.zeros((self.columns.shape[0], len(self.network.ids), epochs), dtype=bool)
        for group, states in zip(self.groups, self.states, strict=True):
            chosen = states[:, :, :, 0].argmax(axis=1)
            for row, faults in enumerate(group.faults):
                held[:, faults, :] = group.present[row, chosen[row]]
        return held

    def all_clear(self) -> float:
        """Probability that no fault is present now [1]."""
        if self.known_clear is not None:
            return self.known_clear
        product = np.ones_like(self.columns)
        for group, states in zip(self.groups, self.states, strict=True):
            clear = np.logical_not(group.present[:, :, :, -1].any(axis=2))
            product = product * (np.asarray(clear)[:, :, None, None] * states).sum(axis=1).prod(axis=0)
        return float(np.clip((self.columns * product).sum(), 0.0, 1.0))


def posterior(network: Network, evidence: Evidence) -> Posterior:
    """Judge all findings over all fault sets, exactly.

    Parameters
    ----------
    network : Network
        Priors, clusters and checks as numbers.
    evidence : Evidence
        Terms and repairs.

    Returns
    -------
    Posterior
        Belief over every fault set.

    Raises
    ------
    Nothing.

    Source: Heckerman, A tractable inference algorithm for diagnosing multiple diseases, UAI 1989 (quickscore); clusters and
    repairs as in docs/decisions/0008.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> posterior(build_network(build_catalogue([]), FeedPath()), Evidence((), (), (), ())).all_clear()
    1.0
    """
    spread = groups(network.clusters, evidence.mendings)
    local, doubling = _sorted(network, evidence.terms)
    factors, signs = _signed(network, doubling, len(evidence.mendings) + 1)
    weights = [_weights(group, factors) for group in spread]
    for term in local:
        _fold(spread, weights, term)
    return _normalised(network, spread, weights, signs)


def doubling_count(network: Network, terms: Sequence[Term]) -> int:
    """How many findings double the work of signed products."""
    return sum(term.bottom_leak > 0 for term in _sorted(network, terms)[1])


def _sorted(network: Network, terms: Sequence[Term]) -> tuple[list[Term], list[Term]]:
    """Terms that touch at most one cluster, and the rest that double."""
    cluster_of = {fault: number for number, cluster in enumerate(network.clusters) for fault in cluster.faults}
    local: list[Term] = []
    doubling: list[Term] = []
    for term in terms:
        single = term.bottom_leak == 0.0
        near = len({cluster_of[int(fault)] for fault in term.faults}) <= 1
        (local if near and not single and len(term.faults) else doubling).append(term)
    return local, doubling


def _signed(network: Network, terms: Sequence[Term], epochs: int) -> tuple[Floats, Floats]:
    """Factor of each fault in each epoch (N, E, M) and the signed leaks (M,)."""
    factors, signs = np.ones((len(network.ids), epochs, 1)), np.ones(1)
    for term in sorted(terms, key=lambda item: item.bottom_leak > 0.0):
        top = factors.copy()
        top[term.faults, term.epoch] *= term.top[:, None]
        if term.bottom_leak == 0.0:
            factors, signs = top, signs * term.top_leak
            continue
        factors[term.faults, term.epoch] *= term.bottom[:, None]
        factors = np.concatenate([top, factors], axis=2)
        signs = np.concatenate([signs * term.top_leak, -signs * term.bottom_leak])
    return factors, signs


def _weights(group: Group, factors: Floats) -> Floats:
    """Weight of each state of each cluster under each sign, (G, S, 1, M)."""
    weight = np.broadcast_to(group.prior[:, :, None], (*group.prior.shape, factors.shape[2])).copy()
    for place in range(group.faults.shape[1]):
        for epoch in range(factors.shape[1]):
            factor = factors[group.faults[:, place], epoch]
            if (factor != 1.0).any():
                weight *= np.where(group.present[:, :, place, epoch, None], factor[:, None, :], 1.0)
    return weight[:, :, None, :]


def _fold(spread: Sequence[Group], weights: list[Floats], term: Term) -> None:
    """Multiply a finding that touches one cluster into the states of that cluster."""
    for number, group in enumerate(spread):
        rows, places = np.nonzero(np.isin(group.faults, term.faults))
        if not len(rows):
            continue
        row = int(rows[0])
        top, bottom = np.full(group.prior.shape[1], term.top_leak), np.full(group.prior.shape[1], term.bottom_leak)
        for fault, up, down in zip(term.faults, term.top, term.bottom, strict=True):
            place = int(places[group.faults[row, places] == fault][0])
            on = group.present[row, :, place, term.epoch]
            top, bottom = top * np.where(on, up, 1.0), bottom * np.where(on, down, 1.0)
        weights[number][row] *= (top - bottom)[:, None, None]


def _normalised(network: Network, spread: tuple[Group, ...], weights: list[Floats], signs: Floats) -> Posterior:
    total, log_scale = signs[None, :], 0.0
    states = []
    for weight in weights:
        sums = weight.sum(axis=1)
        largest = sums.max(axis=(1, 2), keepdims=True)
        log_scale += float(np.log(np.maximum(largest, 1e-300)).sum())
        total = total * (sums / np.maximum(largest, 1e-300)).prod(axis=0)
        states.append(weight / np.where(sums > 0, sums, 1.0)[:, None])
    whole = total.sum()
    cancellation = float(np.finfo(float).eps * np.abs(total).sum() / max(abs(whole), 1e-300))
    log_evidence = float(np.log(whole) + log_scale) if whole > 0 else -np.inf
    return Posterior(network, spread, total / whole, tuple(states), log_evidence, cancellation, "signed products")
