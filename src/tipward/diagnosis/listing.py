"""Listed sets: the engine for measured readings, and for more findings than signed products can carry.

A list of fault sets is grown from the best ones outwards. Each listed set fixes the clusters that matter; every other
cluster stays free under each listed set, with the exact ratio that adding it alone would bring. Where all sets can be
listed (small catalogues) the result is exact.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.engine import Posterior
from tipward.diagnosis.items import Items, items_of
from tipward.diagnosis.network import Floats, Network
from tipward.diagnosis.states import Group, groups
from tipward.diagnosis.terms import Evidence
from tipward.diagnosis.weighing import Scales, Weighed
from tipward.faults import Catalogue

COMPLETE = 4096  # list every set where there are no more than these
LISTED = 400
ROUNDS = 6
BREADTH = 24  # best sets whose neighbours are tried in each round
TRIED = 300  # neighbours kept in each round
MATTERS = 0.003  # clusters that explain less than this share stay free
KEPT = 1e-6

Set = frozenset[int]


@dataclass(frozen=True, slots=True)
class Listed:
    """The posterior over the list, and what the readings say of the draws."""

    after: Posterior
    standard_error: float
    draw_weights: Floats | None
    surprise: bool


def listed_posterior(catalogue: Catalogue, network: Network, found: Evidence) -> Listed:
    """Judge all findings and readings over a grown list of fault sets.

    Parameters
    ----------
    catalogue : Catalogue
        Faults as changes of the path; checks with their readings.
    network : Network
        Priors, clusters and checks as numbers.
    found : Evidence
        Terms, readings and repairs.

    Returns
    -------
    Listed
        Posterior with one column for each listed set; standard error through the draws; draw weights.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> empty = build_catalogue([])
    >>> net, none = build_network(empty, FeedPath()), Evidence((), (), (), ())
    >>> listed_posterior(empty, net, none).after.all_clear()
    1.0
    """
    spread = groups(network.clusters, found.mendings)
    items = items_of(spread, found.terms, len(network.ids))
    courses = [
        (spread[g].faults[r].tolist(), present)
        for g, r, present in zip(items.group, items.row, items.present, strict=True)
    ]
    work = _Work(items, Scales(catalogue, network, found, courses))
    if _count(spread) <= COMPLETE:
        sets, fixed = work.complete(), set(items.cluster.tolist())
    else:
        sets, fixed = work.grow()
    return _posterior(network, spread, items, sets, fixed, work, found)


def _count(spread: Sequence[Group]) -> float:
    return float(np.prod([float((group.prior[row] > 0).sum()) for group in spread for row in range(len(group.faults))]))


class _Work:
    """Growth of the list."""

    def __init__(self, items: Items, scales: Scales) -> None:
        self.items, self.scales = items, scales
        self.by_cluster: dict[int, list[int]] = {}
        for number, cluster in enumerate(items.cluster.tolist()):
            self.by_cluster.setdefault(cluster, []).append(number)
        self.known: dict[Set, float] = {}
        self.gain = np.zeros(len(items.cluster))

    def complete(self) -> list[Set]:
        sets: list[Set] = [frozenset()]
        for numbers in self.by_cluster.values():
            sets = [chosen | extra for chosen in sets for extra in [frozenset(), *(frozenset({n}) for n in numbers)]]
        return sets

    def grow(self) -> tuple[list[Set], set[int]]:
        empty: Set = frozenset()
        self._note([empty, *(frozenset({n}) for n in range(len(self.items.cluster)))])
        if self.scales:
            alone = self.scales.screen([frozenset({n}) for n in range(len(self.items.cluster))])
            self.gain = alone - self.scales.screen([empty])[0]
        expanded: set[Set] = set()
        for _ in range(ROUNDS):
            best = [item for item in self._ranked()[: 2 * BREADTH] if item not in expanded][:BREADTH]
            if not best:
                break
            expanded |= set(best)
            self._note(self._neighbours(best))
        fixed = self._clusters_that_matter()
        inside = [item for item in self._ranked() if {int(self.items.cluster[n]) for n in item} <= fixed]
        return inside[:LISTED], fixed

    def _ranked(self) -> list[Set]:
        return sorted(self.known, key=lambda item: -self.known[item])

    def _note(self, sets: Iterable[Set]) -> None:
        new = [item for item in dict.fromkeys(sets) if item not in self.known]
        if not new:
            return
        weights = self.log_weight(new)
        if self.scales:
            weights = weights + self.scales.screen(new)
        self.known.update(zip(new, weights.tolist(), strict=True))

    def _neighbours(self, best: Sequence[Set]) -> list[Set]:
        """What adding one item to (or taking one from) the best sets gives, the most promising of it."""
        more = self.log_ratio(best) + self.gain
        known = np.array([self.known[item] for item in best])
        promise = known[:, None] + more
        order = np.argsort(-promise, axis=None)[: 4 * TRIED]
        found: dict[Set, None] = {}
        for flat in order.tolist():
            row, number = divmod(flat, promise.shape[1])
            if not any(self.items.cluster[n] == self.items.cluster[number] for n in best[row]):
                found[best[row] | {number}] = None
            if len(found) >= TRIED:
                break
        for item in best:
            found |= {item - {part}: None for part in item}
        return list(found)

    def _clusters_that_matter(self) -> set[int]:
        top = self._ranked()[:60]
        weights = np.exp(np.array([self.known[item] for item in top]) - self.known[top[0]])
        weights /= weights.sum()
        explained = np.exp(np.minimum(self.log_ratio(top) + self.gain, 50.0)) - np.exp(self.items.log_odds)
        explained = np.maximum(explained, 0.0)
        share = explained / (1 + explained.sum(axis=1, keepdims=True))
        chance = np.bincount(self.items.cluster, weights @ share, int(self.items.cluster.max()) + 1)
        fixed = {int(cluster) for cluster in np.flatnonzero(chance > MATTERS)}
        for row, item in enumerate(top):
            if weights[row] > MATTERS:
                fixed |= {int(self.items.cluster[n]) for n in item}
        return fixed

    def sides(self, sets: Sequence[Set]) -> tuple[Floats, Floats]:
        """Both products of each doubling finding under each set, (L, F) each."""
        start = self.items.start
        tops, bottoms = np.tile(start[:, 0], (len(sets), 1)), np.tile(start[:, 1], (len(sets), 1))
        rows = [row for row, item in enumerate(sets) for _ in item]
        numbers = [number for item in sets for number in item]
        np.multiply.at(tops, rows, self.items.top[numbers])
        np.multiply.at(bottoms, rows, self.items.bottom[numbers])
        return tops, bottoms

    def log_weight(self, sets: Sequence[Set]) -> Floats:
        """Log of prior times likelihood of the discrete findings, free clusters empty."""
        tops, bottoms = self.sides(sets)
        odds = np.array([sum(self.items.log_odds[number] for number in item) for item in sets])
        found: Floats = self.items.log_base + odds + np.log(np.maximum(tops - bottoms, 1e-300)).sum(axis=1)
        return found

    def log_ratio(self, sets: Sequence[Set]) -> Floats:
        """Log odds of each item added alone to each set, readings aside, (L, I)."""
        tops, bottoms = self.sides(sets)
        total = np.zeros((len(sets), len(self.items.cluster)))
        for finding in range(len(self.items.start)):
            touched = np.flatnonzero((self.items.top[:, finding] != 1) | (self.items.bottom[:, finding] != 1))
            before = np.log(np.maximum(tops[:, finding] - bottoms[:, finding], 1e-300))
            after = np.outer(tops[:, finding], self.items.top[touched, finding])
            after -= np.outer(bottoms[:, finding], self.items.bottom[touched, finding])
            total[:, touched] += np.log(np.maximum(after, 1e-300)) - before[:, None]
        return total + self.items.log_odds


def _posterior(
    network: Network,
    spread: Sequence[Group],
    items: Items,
    sets: list[Set],
    fixed: set[int],
    work: _Work,
    found: Evidence,
) -> Listed:
    free_ratio = np.minimum(work.log_ratio(sets) + work.gain, items.log_odds) if len(fixed) < len(work.by_cluster) else None
    discrete = work.log_weight(sets)
    states, free = _states(spread, items, sets, fixed, free_ratio)
    log_weights = discrete + free
    weighed = work.scales.weigh(sets, log_weights) if work.scales else Weighed(log_weights, 0.0, None, False)
    top = weighed.log_weights.max()
    weights = np.exp(weighed.log_weights - top)
    keep = weights > KEPT * weights.max()
    columns = weights[keep] / weights[keep].sum()
    kept = tuple(state[:, :, keep] if state.shape[2] > 1 else state for state in states)
    log_evidence = float(top + np.log(weights.sum()))
    after = Posterior(network, tuple(spread), columns[:, None], kept, log_evidence, 0.0, _method(fixed, work))
    return Listed(after, weighed.standard_error, weighed.draw_weights, weighed.surprise)


def _method(fixed: set[int], work: _Work) -> str:
    return "every set listed" if len(fixed) == len(work.by_cluster) else "listed sets"


def _states(
    spread: Sequence[Group], items: Items, sets: Sequence[Set], fixed: set[int], free_ratio: Floats | None
) -> tuple[list[Floats], Floats]:
    """State of each cluster under each listed set (G, S, L, 1), and the log weight that the free clusters add (L,)."""
    free = np.zeros(len(sets))
    states = [np.zeros((*group.prior.shape, len(sets), 1)) for group in spread]
    for number, group in enumerate(spread):
        empty = (~group.present.any(axis=(2, 3))) & (group.prior > 0)
        states[number][empty] = 1.0
    if free_ratio is not None:
        loose = np.flatnonzero(~np.isin(items.cluster, list(fixed)))
        odds = np.exp(np.minimum(free_ratio[:, loose], 50.0))
        for number in range(len(spread)):
            mine = items.group[loose] == number
            states[number][items.row[loose][mine], items.state[loose][mine], :, 0] = odds[:, mine].T
        for state in states:
            total = state.sum(axis=1)
            free += np.log(total).sum(axis=0)[:, 0]
            state /= total[:, None]
    for column, item in enumerate(sets):
        for one in item:
            place = (int(items.group[one]), int(items.row[one]), int(items.state[one]))
            states[place[0]][place[1], :, column, 0] = 0.0
            states[place[0]][place[1], place[2], column, 0] = 1.0
    return states, free

