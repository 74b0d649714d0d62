"""States of the clusters through the repairs: which faults are present in each epoch, with their prior weight."""

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, Cluster, Floats, Ints
from tipward.diagnosis.terms import Mending

LEAST_WEIGHT = 1e-12
AGAIN = 0.4  # an action that did not clear a fault clears it less often the next time [judgement]
MOST_STATES = 512  # heaviest courses of one cluster; only many repairs of the same faults come near it


@dataclass(frozen=True, slots=True, eq=False)
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
    key = (id(clusters), tuple((item.action, item.clears, item.causes) for item in mendings))
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
    """Every way in which the faults of a cluster may come and go through the repairs, repair by repair."""
    present, weights = cluster.present[:, :, None], cluster.prior
    for number, mending in enumerate(mendings):
        earlier = [place for place in range(number) if mendings[place].action == mending.action]
        gone: Mapping[int, float] = dict(mending.clears)
        brought: Mapping[int, float] = dict(mending.causes)
        before, present = present, np.concatenate([present, present[:, :, -1:]], axis=2)
        for place, fault in enumerate(cluster.faults):
            if fault in gone or fault in brought:
                was = before[:, place, -1]
                cleared = gone.get(fault, 0.0) * np.power(AGAIN, _failed(before[:, place], earlier), dtype=np.float64)
                chance = _present_after(was, cleared, brought.get(fault, 0.0))
                present, weights, before = _split(present, weights, before, place, chance)
    return present, weights


def _failed(course: Bools, earlier: Sequence[int]) -> Ints:
    """How often the fault stood through this action before, for each state; ``course`` (S, E)."""
    counts = [(course[:, place] & course[:, place + 1]).astype(np.int64) for place in earlier]
    return sum(counts, np.zeros(len(course), dtype=np.int64))


def _present_after(was: Bools, cleared: Floats, brought: float) -> Floats:
    """Chance that a fault is there after a repair, for each state."""
    found: Floats = np.where(was, 1 - cleared * (1 - brought), brought)
    return found


def _split(present: Bools, weights: Floats, before: Bools, place: int, chance: Floats) -> tuple[Bools, Floats, Bools]:
    """Each state with the fault there and not there after the repair; what weighs nothing, or least of too many, goes."""
    there, away = present.copy(), present.copy()
    there[:, place, -1], away[:, place, -1] = True, False
    both = np.concatenate([weights * chance, weights * (1 - chance)])
    keep = np.flatnonzero(both > LEAST_WEIGHT)
    if len(keep) > MOST_STATES:
        keep = np.sort(keep[np.argsort(-both[keep], kind="stable")[:MOST_STATES]])
    return np.concatenate([there, away])[keep], both[keep], np.concatenate([before, before])[keep]
