"""Judging a case: a pure function of the catalogue and the pages. No belief survives a call."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from tipward.diagnosis.answers import impossible_answers
from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.network import Floats
from tipward.diagnosis.posterior import Drawn, Posterior, Signed
from tipward.diagnosis.readings import bench_for, calibrated_push
from tipward.diagnosis.reasons import LeftOut, doubts, left_out, reasons
from tipward.diagnosis.strangeness import unlisted
from tipward.faults import Catalogue
from tipward.model import Band, Case, Doubt, Explanation, Judgement, Suspicion

EXPLAINED = 6  # suspicions that get reasons
LIKELY = 9  # faults from which explanations are formed
LEAST_EXPLAINED = 0.005
MOST_EXPLAINED = 6


def judge(catalogue: Catalogue, case: Case, explain: bool = True, belief: Belief | None = None) -> Judgement:
    """Judge a case: every fault with its probability, reasons for and against, explanations, doubts.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    case : Case
        An opened case.
    explain : bool
        Also work out reasons and doubts (each finding is left out once).
    belief : Belief, optional
        Belief of the case as stated (exact), where it is already known.

    Returns
    -------
    Judgement
        Probabilities [1] of the faults present now, highest first.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: docs/decisions/0008.

    >>> from datetime import datetime
    >>> from tipward.faults import build_catalogue
    >>> from tipward.model import FeedPath, Opened, Page
    >>> case = Case("c", (Page(1, "k", datetime(2026, 1, 1), Opened(FeedPath(), ())),))
    >>> judge(build_catalogue([]), case).all_clear
    1.0
    """
    belief = belief or believe(catalogue, case, exact=True)
    chances = belief.after.marginals()
    order = np.argsort(-chances, kind="stable")
    left = left_out(catalogue, belief.network, belief.found, belief.after) if explain else []
    suspicions = tuple(
        Suspicion(
            belief.network.ids[number],
            catalogue.faults[belief.network.ids[number]].name,
            catalogue.faults[belief.network.ids[number]].station,
            float(chances[number]),
            reasons(catalogue, case, left, int(number)) if rank < EXPLAINED else (),
        )
        for rank, number in enumerate(order)
    )
    return Judgement(
        suspicions,
        tuple(_explanations(belief.after, [int(number) for number in order[:LIKELY]])),
        belief.after.all_clear(),
        _doubts(catalogue, case, belief, left) if explain else (),
        belief.standard_error,
        belief.after.method,
        _push(catalogue, case, belief),
    )


def _doubts(catalogue: Catalogue, case: Case, belief: Belief, left: Sequence[LeftOut]) -> tuple[Doubt, ...]:
    strange = unlisted(catalogue, case)
    found = (*impossible_answers(catalogue, case), *doubts(catalogue, case, belief.found, belief.surprise, left))
    return found if strange is None else (*found, strange)


def _push(catalogue: Catalogue, case: Case, belief: Belief) -> Band | None:
    """The force budget as the pulls calibrated it; None where nothing was measured."""
    if belief.draw_weights is None:
        return None
    return calibrated_push(bench_for(catalogue, case.path()), belief.draw_weights)


def _explanations(belief: Posterior, likely: Sequence[int]) -> Iterator[Explanation]:
    """The fault sets that hold the most probability."""
    found = _drawn_shares(belief) if isinstance(belief, Drawn) else _signed_shares(belief, likely)
    best = sorted(((share, chosen) for share, chosen in found if share > LEAST_EXPLAINED), reverse=True)
    for share, chosen in best[:MOST_EXPLAINED]:
        yield Explanation(tuple(belief.network.ids[fault] for fault in chosen), share)


def _drawn_shares(belief: Drawn) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Each distinct set present now, with its share."""
    sets, which = np.unique(belief.sets[:, :, -1], axis=0, return_inverse=True)
    shares = np.bincount(which.reshape(-1), belief.weights, len(sets))
    for chosen, share in zip(sets, shares, strict=True):
        yield float(share), tuple(int(fault) for fault in np.flatnonzero(chosen))


def _signed_shares(belief: Posterior, likely: Sequence[int]) -> Iterator[tuple[float, tuple[int, ...]]]:
    """All sets of up to four of the likeliest faults, and no other fault."""
    assert isinstance(belief, Signed)
    base, patterns = _patterns(belief, set(likely))
    for size in range(5):
        for chosen in combinations(likely, size):
            yield _share(base, patterns, set(chosen)), chosen


def _patterns(belief: Signed, likely: set[int]) -> tuple[Floats, list[tuple[set[int], dict[frozenset[int], Floats]]]]:
    """Weight of "every other cluster clear" per column, and what the clusters of the likely faults hold now."""
    base = belief.columns
    patterns = []
    for group, states in zip(belief.groups, belief.states, strict=True):
        now = group.present[:, :, :, -1]
        for row, faults in enumerate(group.faults.tolist()):
            if not likely & set(faults):
                base = base * (np.asarray(~now[row].any(axis=1))[:, None] * states[row]).sum(axis=0)
                continue
            shares = {}
            for pattern in np.unique(now[row], axis=0):
                key = frozenset(fault for fault, on in zip(faults, pattern, strict=True) if on)
                shares[key] = ((now[row] == pattern).all(axis=1)[:, None] * states[row]).sum(axis=0)
            patterns.append((set(faults), shares))
    return base, patterns


def _share(base: Floats, patterns: list[tuple[set[int], dict[frozenset[int], Floats]]], chosen: set[int]) -> float:
    product = base
    for faults, shares in patterns:
        here = shares.get(frozenset(chosen & faults))
        if here is None:
            return 0.0
        product = product * here
    return float(product.sum())
