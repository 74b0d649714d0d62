"""Lots of fault sets drawn by the recursion: a second lot leans towards what weighed most in the first.

Sets are drawn exactly from the findings that the recursion holds, and weighed by everything else. Where everything else
disagrees, few of the sets carry all the weight. So the odds of each item are raised or lowered by what the first lot taught,
a second lot is drawn, and both together are weighed by the balance heuristic: exact in the long run whatever the leaning,
and no weight can grow beyond what the first lot bounds.
"""

from dataclasses import replace

import numpy as np

from tipward.diagnosis.items import Items
from tipward.diagnosis.network import Floats, Ints
from tipward.diagnosis.recursion import Recursion

MOST_LEANING = 4.0  # how far the log odds of an item may be moved [judgement]
SMOOTHED = 4.0  # a share that rests on fewer sets than this says little [judgement]


class Lots:
    """Fault sets of one case, lot by lot; items as numbered in ``items`` (-1: nothing in that cluster).

    >>> none = np.zeros(0, dtype=np.int64)
    >>> items = Items(none, none, none, none, np.zeros(0), np.zeros((0, 0)), np.zeros((0, 0)), np.zeros((0, 2)), 0.0, ())
    >>> Lots(items, []).draw(4, seed=1)[0].shape
    (1, 0)
    """

    def __init__(self, items: Items, findings: list[int]) -> None:
        self.items = items
        self.first = Recursion(items, findings, drawn=True)
        self._drawn: list[Ints] = []
        self._leanings: list[tuple[Floats, float]] = []

    def draw(self, count: int, seed: int) -> tuple[Ints, Floats]:
        """Draw the first lot: the distinct sets, and the log weight of having drawn each (sets,)."""
        return self._add(self.first, np.zeros(len(self.items.log_odds)), count, seed)

    def draw_again(self, drawn: Ints, weights: Floats, log_drawn: Floats, count: int, seed: int) -> tuple[Ints, Floats]:
        """Draw a lot that leans towards the sets of the lots before by their ``weights`` (sets,), which add to 1."""
        leaning = self._leaning(drawn, weights, log_drawn)
        leant = Recursion(replace(self.items, log_odds=self.items.log_odds + leaning), self.first.findings, drawn=True)
        return self._add(leant, leaning, count, seed)

    def _add(self, source: Recursion, leaning: Floats, count: int, seed: int) -> tuple[Ints, Floats]:
        self._drawn.append(source.sample(count, seed))
        self._leanings.append((leaning, source.log_evidence - self.first.log_evidence))
        drawn, counts = _distinct(np.concatenate(self._drawn), seed)
        every = sum(map(len, self._drawn))
        shares = [
            np.log(len(lot) / every) + np.append(moved, 0.0)[drawn].sum(axis=1) - log_scale
            for lot, (moved, log_scale) in zip(self._drawn, self._leanings, strict=True)
        ]
        log_drawn: Floats = np.log(counts) - np.logaddexp.reduce(shares, axis=0)
        return drawn, log_drawn

    def _leaning(self, drawn: Ints, weights: Floats, log_drawn: Floats) -> Floats:
        """By how much the log odds of each item rise from what was drawn to what it weighs."""
        had = np.exp(log_drawn - np.logaddexp.reduce(log_drawn))
        least = SMOOTHED / sum(map(len, self._drawn))
        before, before_none = self._shares(drawn, had)
        after, after_none = self._shares(drawn, weights)
        raised = np.log(after + least * before + 1e-12) - np.log(before + least * before + 1e-12)
        raised -= np.log((after_none + least) / (before_none + least))[self.items.cluster]
        moved: Floats = np.clip(np.where(before > 0, raised, 0.0), -MOST_LEANING, MOST_LEANING)
        return moved

    def _shares(self, drawn: Ints, weights: Floats) -> tuple[Floats, Floats]:
        """Share of each item (I,), and of nothing in each cluster."""
        flat = drawn.reshape(-1)
        held, per_place = flat >= 0, np.repeat(weights, drawn.shape[1])
        share: Floats = np.bincount(flat[held], per_place[held], len(self.items.cluster)).astype(np.float64)
        clusters = int(self.items.cluster.max(initial=-1)) + 1
        return share, np.clip(1 - np.bincount(self.items.cluster, share, clusters), 0.0, 1.0)


def _distinct(drawn: Ints, seed: int) -> tuple[Ints, Ints]:
    """Distinct rows and how often each was drawn, by a random 64-bit sum of each row."""
    keys = np.random.default_rng(seed).integers(1, 2**62, drawn.shape[1])
    _, first, counts = np.unique(drawn @ keys, return_index=True, return_counts=True)
    return drawn[first], counts
