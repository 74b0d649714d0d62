"""Random small networks for exactness tests: clusters, graded findings, repairs."""

import itertools

import numpy as np

from tipward.diagnosis.network import CheckNumbers, Cluster, Network
from tipward.diagnosis.states import groups
from tipward.diagnosis.terms import Evidence, Mending, term_of


def network(rng, faults, largest_cluster=3):
    clusters, at = [], 0
    while at < faults:
        size = min(int(rng.integers(1, largest_cluster + 1)), faults - at)
        present = np.array(list(itertools.product((False, True), repeat=size)))
        prior = rng.random(2**size) * np.where(present.sum(axis=1) > 0, 0.2, 1.0)
        clusters.append(Cluster(tuple(range(at, at + size)), present, prior / prior.sum()))
        at += size
    ids = tuple(f"f{number}" for number in range(faults))
    return Network(ids, {name: number for number, name in enumerate(ids)}, np.zeros(faults), tuple(clusters), {})


def check(rng, faults, most=5, outcomes=3):
    chosen = np.sort(rng.choice(faults, min(int(rng.integers(1, most + 1)), faults), replace=False))
    shown = np.sort(rng.random((len(chosen), outcomes)), axis=1)
    shown[:, -1] = 1.0
    leak = np.sort(rng.uniform(0.85, 1.0, outcomes))
    leak[-1] = 1.0
    return CheckNumbers(tuple("abcdef"[:outcomes]), leak, chosen, shown)


def evidence(rng, faults, findings, repaired=True):
    terms = tuple(
        term_of(check(rng, faults), int(rng.integers(0, 3)), number, f"c{number}", int(rng.integers(0, 1 + repaired)))
        for number in range(findings)
    )
    mendings = (Mending(99, "act", ((0, 0.9), (faults - 1, 0.8)), ((1, 0.1),)),) if repaired else ()
    return Evidence(terms, (), mendings, ())


def likelihood(term, present):
    """P(finding | faults present), written out."""
    on = present[term.faults, term.epoch]
    return term.top_leak * np.prod(term.top[on]) - term.bottom_leak * np.prod(term.bottom[on])


def brute_force(net, found):
    """Marginals, probability of all clear and log evidence by adding up every state of every cluster."""
    epochs = len(found.mendings) + 1
    choices = []
    for group in groups(net.clusters, found.mendings):
        for row, faults in enumerate(group.faults):
            real = np.flatnonzero(group.prior[row] > 0)
            choices.append([(faults, group.present[row, s], group.prior[row, s]) for s in real])
    total, marginals, clear = 0.0, np.zeros(len(net.ids)), 0.0
    for combination in itertools.product(*choices):
        weight, present = 1.0, np.zeros((len(net.ids), epochs), dtype=bool)
        for faults, state, prior in combination:
            weight *= prior
            present[faults] = state
        for term in found.terms:
            weight *= likelihood(term, present)
        total += weight
        marginals += weight * present[:, -1]
        clear += weight * (not present[:, -1].any())
    return marginals / total, clear / total, np.log(total)
