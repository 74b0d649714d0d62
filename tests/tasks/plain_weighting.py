"""A second judge for tests: every fault set by plain Monte Carlo, written out, with no code of diagnosis."""

import itertools

import numpy as np
from thread import OPENED, RIG

from tipward.mechanics import change, draw, measure


def every_set(catalogue):
    """All sets of faults of a catalogue."""
    names = list(catalogue.faults)
    for size in range(len(names) + 1):
        yield from map(frozenset, itertools.combinations(names, size))


def plain_posterior(catalogue, findings, n, seed):
    """Probability of every fault set: prior × outcomes × mean over random draws of the product over the readings."""
    looks = [finding for finding in findings if finding.outcome]
    reads = [finding for finding in findings if finding.readings]
    moving = frozenset(fault.id for fault in catalogue.faults.values() if fault.changes)
    readings = _reading_weights(catalogue, reads, moving, n, seed)
    weights = {
        chosen: _look_weight(catalogue, looks, chosen) * readings[chosen & moving] for chosen in every_set(catalogue)
    }
    total = sum(weights.values())
    return {chosen: weight / total for chosen, weight in weights.items()}


def _reading_weights(catalogue, reads, moving, n, seed):
    rng = np.random.default_rng(seed)
    base = dict(draw(RIG, n=n, seed=seed).values)
    sizes = {
        (name, number): rng.triangular(step.low, step.mode, step.high, n)
        for name in sorted(moving)
        for number, step in enumerate(catalogue.faults[name].changes)
    }
    weights = {}
    for size in range(len(moving) + 1):
        for chosen in map(frozenset, itertools.combinations(sorted(moving), size)):
            values = base
            for name in sorted(chosen):
                for number, step in enumerate(catalogue.faults[name].changes):
                    values = change(values, step.field, step.op, sizes[name, number])
            weights[chosen] = _mean_density(catalogue, reads, values)
    return weights


def _mean_density(catalogue, reads, values):
    product = np.ones(1)
    for finding in reads:
        reading = catalogue.checks[finding.check].reading
        predicted = measure(reading.name, values, RIG, dict(reading.context))
        product = product * _density(reading, np.mean(finding.readings), predicted)
    return float(np.mean(product))


def _density(reading, read, predicted):
    from scipy.stats import t  # a second of import: only here

    spread = np.hypot(reading.repeat_share * predicted, reading.repeat_absolute)
    return t.pdf((read - predicted) / spread, 4) / spread


def _look_weight(catalogue, looks, chosen):
    weight = 1.0
    for fault in catalogue.faults.values():
        weight *= fault.prior if fault.id in chosen else 1 - fault.prior
    for complaint in OPENED.complaints:
        silent = 1 - max(catalogue.complaints[complaint].false, 0.002)
        for fault in chosen:
            silent *= 1 - catalogue.faults[fault].complaints.get(complaint, 0.0)
        weight *= 1 - silent
    for finding in looks:
        weight *= _outcome_chance(catalogue, catalogue.checks[finding.check], finding.outcome, chosen)
    return weight


def _outcome_chance(catalogue, check, outcome, chosen):
    """Graded noisy-MAX: neither a present fault nor chance shows anything more salient."""
    names = [item.id for item in check.outcomes]
    k = names.index(outcome)

    def at_most(level):
        shares = [{name: max(dict(check.false).get(name, 0.0), 0.002) for name in names[1:]}]
        shares += [catalogue.shown[check.id].get(fault, {}) for fault in chosen]
        return float(np.prod([1 - sum(item.get(name, 0.0) for name in names[level + 1 :]) for item in shares]))

    return at_most(k) - (at_most(k - 1) if k else 0.0)
