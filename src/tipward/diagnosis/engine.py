"""The exact engine: all fault sets at once, by signed products.

Each finding is a difference of two products over the faults, so the sum over all fault sets of prior times likelihood is a
sum over the 2^m signs of the m findings that double, of a product over clusters (the quickscore idea of Heckerman 1989,
widened to several outcomes, dependent faults and repairs). Findings that touch one cluster only never double.
"""

from collections.abc import Sequence

import numpy as np

from tipward.diagnosis.network import Floats, Network
from tipward.diagnosis.posterior import Signed
from tipward.diagnosis.states import Group, groups
from tipward.diagnosis.terms import Evidence, Term

MOST_DOUBLING = 7
WORST_CANCELLATION = 1e-7


def posterior(network: Network, evidence: Evidence) -> Signed:
    """Judge all findings over all fault sets, exactly.

    Parameters
    ----------
    network : Network
        Priors, clusters and checks as numbers.
    evidence : Evidence
        Terms and repairs.

    Returns
    -------
    Signed
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
    """Weight of each state of each cluster under each sign, (G, S, M)."""
    weight = np.broadcast_to(group.prior[:, :, None], (*group.prior.shape, factors.shape[2])).copy()
    for place in range(group.faults.shape[1]):
        for epoch in range(factors.shape[1]):
            factor = factors[group.faults[:, place], epoch]
            if (factor != 1.0).any():
                weight *= np.where(group.present[:, :, place, epoch, None], factor[:, None, :], 1.0)
    return weight


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
        weights[number][row] *= (top - bottom)[:, None]


def _normalised(network: Network, spread: tuple[Group, ...], weights: list[Floats], signs: Floats) -> Signed:
    total, log_scale = signs, 0.0
    states = []
    for weight in weights:
        sums = weight.sum(axis=1)
        largest = np.maximum(sums.max(axis=1, keepdims=True), 1e-300)
        log_scale += float(np.log(largest).sum())
        total = total * (sums / largest).prod(axis=0)
        states.append(weight / np.where(sums > 0, sums, 1.0)[:, None])
    whole = total.sum()
    cancellation = float(np.finfo(float).eps * np.abs(total).sum() / max(abs(whole), 1e-300))
    log_evidence = float(np.log(whole) + log_scale) if whole > 0 else -np.inf
    return Signed(network, spread, log_evidence, "signed products", total / whole, tuple(states), cancellation)
