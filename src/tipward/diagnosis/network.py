"""The catalogue as numbers for one feed path: priors, clusters of dependent faults, and what each check's outcomes mean.

A check with outcomes 0 (normal) < 1 < ... < K-1 follows a graded noisy-MAX: each present fault shows an outcome of its
own, and the most salient one is seen. So P(outcome <= k | faults present) is a product over them, and P(outcome = k)
is a difference of two products.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from tipward.faults import PROOF, PROOF_OUTCOMES, Catalogue, Fault, prior
from tipward.model import FeedPath

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

LEAST_FALSE = 0.002  # no outcome is impossible: people slip
CUSTOMER_SEES = 0.85  # share of what a technician's look would show that a customer's report shows [judgement]
CUSTOMER_FALSE = 0.03  # extra chance that a customer reports an outcome without cause [judgement]
LARGEST_CLUSTER = 5


@dataclass(frozen=True, slots=True)
class Cluster:
    """Faults that depend on each other, with the joint prior of their states: ``present`` (S, n) and ``prior`` (S,)."""

    faults: tuple[int, ...]
    present: Bools
    prior: Floats


@dataclass(frozen=True, slots=True)
class CheckNumbers:
    """One check: ``leak`` (K,) and ``shown`` (n, K) cumulative outcome probabilities, for the faults ``faults`` (n,).

    ``history``: the answer tells of the time before the case, so the faults of its start show themselves, mended or not.
    """

    outcomes: tuple[str, ...]
    leak: Floats
    faults: Ints
    shown: Floats
    history: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Everything that judging needs for one path; built once, never changed."""

    ids: tuple[str, ...]
    index: Mapping[str, int]
    prior: Floats
    clusters: tuple[Cluster, ...]
    checks: Mapping[str, CheckNumbers]


MOST_BUILT = 32
MOST_CATALOGUES = 8


@lru_cache(MOST_BUILT)
def network_for(catalogue: Catalogue, path: FeedPath) -> Network:
    """The network of a catalogue for a path, built once (catalogues compare by identity, paths by value)."""
    return build_network(catalogue, path)


def build_network(catalogue: Catalogue, path: FeedPath) -> Network:
    """Turn a catalogue into numbers for one feed path.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    path : FeedPath
        The path whose fields raise or lower the priors.

    Returns
    -------
    Network
        Arrays, in catalogue order.

    Raises
    ------
    ValueError
        A cluster of more than five faults.

    Source: graded noisy-MAX (Diez 1993); clusters as in docs/decisions/0008.

    >>> from tipward.faults import build_catalogue
    >>> build_network(build_catalogue([]), FeedPath()).ids
    ()
    """
    faults = tuple(catalogue.faults.values())
    index = {fault.id: number for number, fault in enumerate(faults)}
    chances = np.array([prior(fault, path) for fault in faults])
    clusters = tuple(_cluster(group, faults, index, chances) for group in _groups(faults, index))
    return Network(tuple(index), index, chances, clusters, _checks(catalogue))


@lru_cache(MOST_CATALOGUES)
def _checks(catalogue: Catalogue) -> Mapping[str, CheckNumbers]:
    """Every check that is not measured, every complaint and the proof; the same on every path."""
    faults = tuple(catalogue.faults.values())
    index = {fault.id: number for number, fault in enumerate(faults)}
    checks = {
        check.id: _check(
            tuple(outcome.id for outcome in check.outcomes),
            dict(check.false),
            catalogue.shown.get(check.id, {}),
            index,
            check.history,
        )
        for check in catalogue.checks.values()
        if check.reading is None
    }
    for complaint in catalogue.complaints.values():
        shown = {f.id: {"said": f.complaints[complaint.id]} for f in faults if complaint.id in f.complaints}
        checks[f"says:{complaint.id}"] = _check(("not", "said"), {"said": complaint.false}, shown, index)
    checks[PROOF] = _check(PROOF_OUTCOMES, {"fails": 0.01}, {f.id: {"fails": f.seen_by_proof} for f in faults}, index)
    return checks


def declared(fault: int, reliability: float) -> CheckNumbers:
    """What a mismatch found from the set-up says: present shows it with this reliability, absent with a small rest."""
    shown = np.array([[1 - reliability, 1.0]])
    return CheckNumbers(("fits", "mismatch"), np.array([1 - (1 - reliability) / 4, 1.0]), np.array([fault]), shown)


def _check(
    outcomes: tuple[str, ...],
    false: Mapping[str, float],
    shown: Mapping[str, Mapping[str, float]],
    index: Mapping[str, int],
    history: bool = False,
) -> CheckNumbers:
    leak = _cumulative(outcomes, {name: max(false.get(name, 0.0), LEAST_FALSE) for name in outcomes[1:]})
    faults = np.array([index[fault] for fault in shown], dtype=np.int64)
    rows = [_cumulative(outcomes, item) for item in shown.values()]
    return CheckNumbers(outcomes, leak, faults, np.array(rows).reshape(len(rows), len(outcomes)), history)


def _cumulative(outcomes: tuple[str, ...], chances: Mapping[str, float]) -> Floats:
    """P(outcome <= k) for each k, from the chances of the abnormal outcomes."""
    abnormal = np.array([chances.get(name, 0.0) for name in outcomes[1:]])
    tail = np.concatenate([np.cumsum(abnormal[::-1])[::-1], [0.0]])
    return np.clip(1.0 - tail, 1e-9, 1.0)


def softened(check: CheckNumbers) -> CheckNumbers:
    """The same check as reported by a customer: shows less, and is more often false."""
    count = len(check.outcomes) - 1
    extra = CUSTOMER_FALSE / count * np.arange(count, -1, -1)
    shown = 1 - CUSTOMER_SEES * (1 - check.shown)
    return replace(check, leak=np.clip(check.leak - extra, 1e-6, 1.0), shown=shown)


def _groups(faults: tuple[Fault, ...], index: Mapping[str, int]) -> list[list[int]]:
    """Connected components of "leads to" and "excludes"."""
    label = list(range(len(faults)))
    for number, fault in enumerate(faults):
        for other in [*fault.excludes, *(item.fault for item in fault.leads_to)]:
            old, new = label[index[other]], label[number]
            label = [new if item == old else item for item in label]
    groups: dict[int, list[int]] = {}
    for number, item in enumerate(label):
        groups.setdefault(item, []).append(number)
    for group in groups.values():
        if len(group) > LARGEST_CLUSTER:
            names = ", ".join(faults[number].id for number in group)
            raise ValueError(f"these faults depend on each other and are more than {LARGEST_CLUSTER}: {names}")
    return list(groups.values())


def _cluster(group: list[int], faults: tuple[Fault, ...], index: Mapping[str, int], chances: Floats) -> Cluster:
    """Joint prior: victims by noisy-OR of their roots, exclusive alternatives struck out, then normalised."""
    place = {number: position for position, number in enumerate(group)}
    roots: dict[int, list[tuple[int, float]]] = {number: [] for number in group}
    barred: set[frozenset[int]] = set()
    for number in group:
        for item in faults[number].leads_to:
            roots[index[item.fault]].append((number, item.probability))
        barred |= {frozenset((number, index[other])) for other in faults[number].excludes}
    states, weights = [], []
    for state in product((False, True), repeat=len(group)):
        on = {number for number in group if state[place[number]]}
        if any(pair <= on for pair in barred):
            continue
        weight = 1.0
        for number in group:
            absent = (1 - chances[number]) * prod(1 - q for root, q in roots[number] if root in on)
            weight *= (1 - absent) if number in on else absent
        states.append(state)
        weights.append(weight)
    total = np.array(weights)
    return Cluster(tuple(group), np.array(states, dtype=bool).reshape(len(states), len(group)), total / total.sum())
