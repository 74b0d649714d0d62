"""Items: every state of every cluster other than "nothing present", with what it does to each finding."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tipward.diagnosis.network import Bools, Floats, Ints
from tipward.diagnosis.states import Group
from tipward.diagnosis.terms import Term


@dataclass(frozen=True, slots=True)
class Items:
    """All items side by side (I): where they stand, their log odds, and their factor in each doubling finding (I, F).

    ``log_odds`` holds the prior odds against the cluster's empty state and every finding that is a single product.
    ``start`` (F, 2) are the leaks of the doubling findings, ``log_base`` the log of everything when nothing is present.
    """

    group: Ints
    row: Ints
    state: Ints
    cluster: Ints
    log_odds: Floats
    top: Floats
    bottom: Floats
    start: Floats
    log_base: float
    present: tuple[Bools, ...]


def items_of(spread: Sequence[Group], terms: Sequence[Term], faults: int) -> Items:
    """Lay out the items of all clusters against the findings of a case."""
    doubling = [term for term in terms if term.bottom_leak > 0]
    single = [term for term in terms if term.bottom_leak == 0]
    parts, clusters = [], 0
    for number, group in enumerate(spread):
        parts.append(_of_group(number, group, clusters, doubling, single, faults))
        clusters += len(group.faults)
    joined = [np.concatenate([part[k] for part in parts]) for k in range(7)]
    base = sum(float(np.log(group.prior[_empty(group)]).sum()) for group in spread)
    base += float(sum(np.log(term.top_leak) for term in single))
    start = np.array([[term.top_leak, term.bottom_leak] for term in doubling]).reshape(len(doubling), 2)
    present = tuple(row for part in parts for row in part[7])
    places = [item.astype(np.int64) for item in joined[:4]]
    return Items(places[0], places[1], places[2], places[3], joined[4], joined[5], joined[6], start, base, present)


def without(items: Items, keep: Bools) -> Items:
    """The items for which ``keep`` holds."""
    present = tuple(one for one, kept in zip(items.present, keep, strict=True) if kept)
    return replace(
        items,
        group=items.group[keep],
        row=items.row[keep],
        state=items.state[keep],
        cluster=items.cluster[keep],
        log_odds=items.log_odds[keep],
        top=items.top[keep],
        bottom=items.bottom[keep],
        present=present,
    )


def _empty(group: Group) -> Bools:
    """Which state of each cluster has nothing present in any epoch, (G, S); exactly one with weight."""
    return (~group.present.any(axis=(2, 3))) & (group.prior > 0)


def _of_group(
    number: int, group: Group, clusters: int, doubling: Sequence[Term], single: Sequence[Term], faults: int
) -> tuple:  # type: ignore[type-arg]
    empty = _empty(group)
    rows, states = np.nonzero((group.prior > 0) & ~empty)
    odds = np.log(group.prior[rows, states]) - np.log(group.prior[empty][rows])
    top = _factors(group, doubling, faults, "top")[rows, states]
    bottom = _factors(group, doubling, faults, "bottom")[rows, states]
    alone = _factors(group, single, faults, "top")[rows, states]
    log_odds = odds + np.log(np.maximum(alone, 1e-300)).sum(axis=1)
    present = [group.present[row, state] for row, state in zip(rows, states, strict=True)]
    return np.full(len(rows), number), rows, states, clusters + rows, log_odds, top, bottom, present


def _factors(group: Group, terms: Sequence[Term], faults: int, side: str) -> Floats:
    """Product over the faults present in each state of what each finding multiplies in, (G, S, F)."""
    product = np.ones((*group.prior.shape, len(terms)))
    if not terms:
        return product
    per_fault = np.ones((faults, len(terms)))
    for number, term in enumerate(terms):
        per_fault[term.faults, number] = getattr(term, side)
    epochs = [term.epoch for term in terms]
    for place in range(group.faults.shape[1]):
        on = group.present[:, :, place, :][:, :, epochs]
        product *= np.where(on, per_fault[group.faults[:, place]][:, None, :], 1.0)
    return product
