"""States of the clusters through the repairs: which faults are present in each epoch, with their prior weight."""

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from tipward.diagnosis.network import Bools, Cluster, Floats, Ints
from tipward.diagnosis.terms import Mending

LEAST_WEIGHT = 1e-12


@dataclass(frozen=True, slots=True)
class Group:
    """Clusters of one size side by side: ``faults`` (G, n), ``prior`` (G, S), ``present`` (G, S, n, E)."""

    faults: Ints
    prior: Floats
    present: Bools


def groups(clusters: Sequence[Cluster], mendings: Sequence[Mending]) -> tuple[Group, ...]:
    """Spread the clusters over the epochs and stack those of one size.

    Parameters
    ----------
    clusters : sequence of Cluster
        Joint priors before any repair.
    mendings : sequence of Mending
        Repairs in order.

    Returns
    -------
    tuple of Group
        States padded with weight 0 to a common number per size.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> one = Cluster((0,), np.array([[False], [True]]), np.array([0.9, 0.1]))
    >>> groups([one], [])[0].present.shape
    (1, 2, 1, 1)
    """
    key = (id(clusters), tuple((item.clears, item.causes) for item in mendings))
    known = _SPREAD.get(key)
    if known is None or known[0] is not clusters:
        known = _SPREAD[key] = (clusters, _spread(clusters, mendings))
        while len(_SPREAD) > MOST_SPREAD:
            _SPREAD.popitem(last=False)
    return known[1]


_SPREAD: OrderedDict[object, tuple[object, tuple[Group, ...]]] = OrderedDict()
MOST_SPREAD = 256


def _spread(clusters: Sequence[Cluster], mendings: Sequence[Mending]) -> tuple[Group, ...]:
    by_size: dict[int, list[tuple[tuple[int, ...], Bools, Floats]]] = {}
    for cluster in clusters:
        present, weights = _through_repairs(cluster, mendings)
        by_size.setdefault(len(cluster.faults), []).append((cluster.faults, present, weights))
    return tuple(_stack(rows) for rows in by_size.values())


def _stack(rows: list[tuple[tuple[int, ...], Bools, Floats]]) -> Group:
    most = max(len(weights) for _, _, weights in rows)
    size, epochs = rows[0][1].shape[1:]
    present = np.zeros((len(rows), most, size, epochs), dtype=bool)
    prior = np.zeros((len(rows), most))
    for row, (_, states, weights) in enumerate(rows):
        present[row, : len(weights)], prior[row, : len(weights)] = states, weights
    return Group(np.array([faults for faults, _, _ in rows]), prior, present)


def _through_repairs(cluster: Cluster, mendings: Sequence[Mending]) -> tuple[Bools, Floats]:
    """Every way in which the faults of a cluster may come and go through the repairs."""
    epochs = len(mendings) + 1
    ways = [_ways(fault, mendings) for fault in cluster.faults]
    if all(len(way[0]) == len(way[1]) == 1 for way in ways):
        present = np.repeat(cluster.present[:, :, None], epochs, axis=2)
        return present, cluster.prior
    merged: dict[tuple[tuple[bool, ...], ...], float] = {}
    for state, weight in zip(cluster.present, cluster.prior, strict=True):
        for choice in product(*(ways[j][int(on)] for j, on in enumerate(state))):
            total = float(weight * np.prod([share for _, share in choice]))
            if total > LEAST_WEIGHT:
                key = tuple(way for way, _ in choice)
                merged[key] = merged.get(key, 0.0) + total
    return np.array(list(merged), dtype=bool).reshape(len(merged), len(cluster.faults), epochs), np.array(
        list(merged.values())
    )


def _ways(fault: int, mendings: Sequence[Mending]) -> tuple[list[tuple[tuple[bool, ...], float]], ...]:
    """For a fault absent or present at the start: its courses through the repairs, with their chance."""
    found = []
    for start in (False, True):
        courses: list[tuple[tuple[bool, ...], float]] = [((start,), 1.0)]
        for mending in mendings:
            gone: Mapping[int, float] = dict(mending.clears)
            brought: Mapping[int, float] = dict(mending.causes)
            courses = [
                ((*course, after), share * chance)
                for course, share in courses
                for after, chance in _step(course[-1], gone.get(fault, 0.0), brought.get(fault, 0.0))
                if chance > 0
            ]
        found.append(courses)
    return tuple(found)


def _step(present: bool, cleared: float, brought: float) -> tuple[tuple[bool, float], ...]:
    chance = 1 - cleared * (1 - brought) if present else brought
    return ((True, chance), (False, 1 - chance))
