"""Sampled sets: the engine for measured readings, and for more findings than signed products can carry.

Fault sets are drawn exactly from the posterior of the findings that matter most (subset recursion, measured readings by
their grade), then weighted by everything else: the findings left over, and the joint likelihood of the readings as numbers
in place of their grades. Where all sets can be listed (small catalogues) they are, and the result is exact.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product

import numpy as np

from tipward.diagnosis.grading import grade_term
from tipward.diagnosis.items import Items, items_of, without
from tipward.diagnosis.lots import Lots
from tipward.diagnosis.network import Bools, Floats, Ints, Network
from tipward.diagnosis.posterior import Drawn
from tipward.diagnosis.recursion import Recursion
from tipward.diagnosis.states import Group, groups
from tipward.diagnosis.terms import Evidence, Term, log_likelihood_of
from tipward.diagnosis.weighing import PLANNED, STATED, Care, Scales, Weighed
from tipward.faults import Catalogue

COMPLETE = 4096  # list every set where there are no more than these
SAMPLES = 4096  # sets drawn for what is stated
PLANNED_SAMPLES = 1024  # and for choosing the next step
SAMPLE_SEED = 20
MOST_IN_SAMPLER = 14  # findings drawn exactly, for what is stated; the rest weighs the samples
MOST_PLANNED = 11  # and for choosing the next step
MOST_EXACT = 16  # findings up to which the recursion gives exact marginals where they are asked for


@dataclass(frozen=True, slots=True)
class Sampled:
    """The posterior over the sets, exact marginals where the recursion gave them, and what the readings say of the draws."""

    after: Drawn
    weighed: Weighed


def sampled_posterior(catalogue: Catalogue, network: Network, found: Evidence, exact: bool = True) -> Sampled:
    """Judge all findings and readings over drawn (or all) fault sets.

    Parameters
    ----------
    catalogue : Catalogue
        Faults as changes of the path; checks with their readings.
    network : Network
        Priors, clusters and checks as numbers.
    found : Evidence
        Terms, readings and repairs.
    exact : bool
        For what is stated: exact marginals by the full recursion up to 16 doubling findings, more draws for readings, and
        more drawn sets. False, for choosing, is content with fewer sets beyond 11 findings and with fewer draws.

    Returns
    -------
    Sampled
        Posterior over the distinct sets.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath
    >>> empty = build_catalogue([])
    >>> sampled_posterior(empty, build_network(empty, FeedPath()), Evidence((), (), (), ())).after.all_clear()
    1.0
    """
    spread = groups(network.clusters, found.mendings)
    sets = _Sets(catalogue, network, found, spread)
    if _count(spread) <= COMPLETE:
        states = sets.complete()
        present = sets.present(states)
        log_weight = sets.log_likelihood(present, found.terms) + sets.log_prior(states)
        return sets.posterior(present, log_weight, "every set listed", STATED)
    proxies = tuple(grade_term(catalogue, network, item) for item in found.measured)
    items = items_of(spread, (*found.terms, *proxies), len(network.ids))
    chosen, left_over = _hardest(items, MOST_IN_SAMPLER if exact else MOST_PLANNED)
    lots, count = Lots(items, chosen), SAMPLES if exact else PLANNED_SAMPLES
    drawn, log_drawn = lots.draw(count, SAMPLE_SEED)
    judged = partial(_weighed, sets, items, left_over, proxies)
    if not found.measured and (not left_over or (exact and len(items.start) <= MOST_EXACT)):
        whole = lots.first if not left_over else Recursion(items, range(len(items.start)))
        log_weight, present = (
            log_drawn + _log_left_over(items, drawn, left_over),
            sets.present(sets.states(items, drawn)),
        )
        return sets.posterior(present, log_weight, "subset recursion", PLANNED, whole, items)
    after = judged(PLANNED, drawn, log_drawn)
    if not exact:
        return after
    return judged(STATED, *lots.draw_again(drawn, after.after.weights, log_drawn, count, SAMPLE_SEED + 1))


def _weighed(
    sets: "_Sets",
    items: Items,
    left_over: list[int],
    proxies: Sequence[Term],
    care: Care,
    drawn: Ints,
    log_drawn: Floats,
) -> Sampled:
    """Drawn sets weighed by the findings left over and by the readings as numbers in place of their grades."""
    present = sets.present(sets.states(items, drawn))
    log_weight = log_drawn + _log_left_over(items, drawn, left_over) - sets.log_likelihood(present, proxies)
    return sets.posterior(present, log_weight, "sampled sets", care)


def _count(spread: Sequence[Group]) -> float:
    return float(np.prod([float((group.prior[row] > 0).sum()) for group in spread for row in range(len(group.faults))]))


def _hardest(items: Items, most: int) -> tuple[list[int], list[int]]:
    """The doubling findings that the samples must explain, and the rest: the unlikelier without a cause, the harder."""
    leak = items.start[:, 1] / items.start[:, 0] if len(items.start) else np.zeros(0)
    reach = np.exp(items.log_odds) @ (1 - items.bottom / np.maximum(items.top, 1e-300)) if len(leak) else leak
    order = np.argsort((1 - leak) + reach, kind="stable").tolist()
    return sorted(order[:most]), sorted(order[most:])


def _log_left_over(items: Items, drawn: Ints, left_over: list[int]) -> Floats:
    """Log likelihood of the findings that the sampler left out, for each drawn set."""
    total = np.zeros(len(drawn))
    for finding in left_over:
        tops = np.concatenate([items.top[:, finding], [1.0]])[drawn].prod(axis=1) * items.start[finding, 0]
        bottoms = np.concatenate([items.bottom[:, finding], [1.0]])[drawn].prod(axis=1) * items.start[finding, 1]
        total += np.log(np.maximum(tops - bottoms, 1e-300))
    return total


def _clear(items: Items, whole: Recursion) -> float:
    """Exact probability that nothing is present now: the evidence over the sets that hold nothing now."""
    gone = np.array([not present[:, -1].any() for present in items.present], dtype=bool)
    clear = Recursion(without(items, gone), whole.findings)
    return float(np.exp(min(clear.log_evidence - whole.log_evidence, 0.0)))


class _Sets:
    """Fault sets of a posterior, from state numbers or from items."""

    def __init__(self, catalogue: Catalogue, network: Network, found: Evidence, spread: Sequence[Group]) -> None:
        self.network, self.found, self.spread = network, found, tuple(spread)
        self.scales = Scales(catalogue, network, found)
        self.where = [(g, row) for g, group in enumerate(spread) for row in range(len(group.faults))]
        empty = [np.argmax(~group.present.any(axis=(2, 3)), axis=1) for group in spread]
        self.empty = np.concatenate([np.zeros(0, dtype=np.int64), *empty])

    def complete(self) -> Ints:
        """Every combination of cluster states: state number per cluster, (sets, clusters)."""
        states = [np.flatnonzero(self.spread[g].prior[row] > 0).tolist() for g, row in self.where]
        listed = list(product(*states))
        return np.array(listed, dtype=np.int64).reshape(len(listed), len(self.where))

    def states(self, items: Items, drawn: Ints) -> Ints:
        """State number per cluster from item numbers."""
        return np.where(drawn >= 0, np.concatenate([items.state, [-1]])[drawn], self.empty)

    def present(self, states: Ints) -> Bools:
        """Which faults are present in each epoch under each set of cluster states, (sets, N, E)."""
        present = np.zeros((len(states), len(self.network.ids), len(self.found.mendings) + 1), dtype=bool)
        for column, (g, row) in enumerate(self.where):
            group, mine = self.spread[g], np.flatnonzero(states[:, column] != self.empty[column])
            if len(mine):
                present[mine[:, None], group.faults[row]] = group.present[row, states[mine, column]]
        return present

    def log_likelihood(self, present: Bools, terms: Sequence[Term]) -> Floats:
        """Log likelihood of terms under each set."""
        total = np.zeros(len(present))
        for term in terms:
            total += log_likelihood_of(term, present)
        return total

    def log_prior(self, states: Ints) -> Floats:
        """Log prior of each set of cluster states."""
        priors = [np.log(self.spread[g].prior[row, states[:, c]]) for c, (g, row) in enumerate(self.where)]
        return np.sum(priors, axis=0) if priors else np.zeros(len(states))

    def posterior(
        self,
        present: Bools,
        log_weight: Floats,
        method: str,
        care: Care,
        whole: Recursion | None = None,
        items: Items | None = None,
    ) -> Sampled:
        """The sets, weighted by ``log_weight`` and the readings; exact marginals from the ``whole`` recursion over ``items``."""
        weighed = self.scales.weigh(present, log_weight, care)
        top = weighed.log_weights.max()
        weights = np.exp(weighed.log_weights - top)
        total = weights.sum()
        known, clear = None, None
        if whole is not None and items is not None:
            known, clear = self._known(items, whole.marginals()), _clear(items, whole)
        log_evidence = float(top + np.log(total))
        after = Drawn(self.network, self.spread, log_evidence, method, present, weights / total, known, clear)
        return Sampled(after, weighed)

    def _known(self, items: Items, exact: Floats) -> Floats:
        """Exact marginals of the faults now from those of the items."""
        known = np.zeros(len(self.network.ids))
        for number, present in enumerate(items.present):
            faults = self.spread[int(items.group[number])].faults[int(items.row[number])]
            known[faults] += exact[number] * present[:, -1]
        return known
