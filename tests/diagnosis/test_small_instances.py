"""The exact optimum of small instances against a second method: plain recursion over beliefs, written out."""

import sys
from itertools import product
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2]))
from benchmarks.small import Table, cost_of, instance, look_ahead, price, repairs_only, solve


def least(case, belief, asked, repaired, failed):
    """Least expected minutes; ``belief`` maps fault sets (bits) to weight, those that the last re-test ruled out removed."""
    faults = range(len(case.prior))
    total = sum(belief.values())
    options = []
    if repaired != failed:
        left = {held: weight for held, weight in belief.items() if held & ~repaired}
        after = least(case, left, asked, repaired, repaired) if left else 0.0
        options.append(case.test + sum(left.values()) / total * after)
    for fault in faults:
        if not repaired >> fault & 1:
            options.append(case.repair[fault] + least(case, belief, asked, repaired | 1 << fault, failed))
    for check, looks in enumerate(case.looks):
        if check not in asked and not looks & repaired:
            cost = case.check[check]
            for yes in (True, False):
                after = {
                    held: w * (case.yes[check][held] if yes else 1 - case.yes[check][held])
                    for held, w in belief.items()
                }
                cost += sum(after.values()) / total * least(case, after, asked | {check}, repaired, failed)
            options.append(cost)
    return min(options)


def start(case):
    belief = {}
    for bits in product((0, 1), repeat=len(case.prior)):
        weight = 1.0
        for there, chance in zip(bits, case.prior, strict=True):
            weight *= chance if there else 1 - chance
        belief[sum(there << fault for fault, there in enumerate(bits))] = weight
    del belief[0]  # the complaint: a failed re-test
    return belief


@pytest.mark.parametrize("seed", range(4))
def test_dynamic_programming_equals_plain_recursion(seed):
    case = instance(seed, faults=3, checks=2)
    assert solve(Table(case))[0, 0][0] == pytest.approx(least(case, start(case), frozenset(), 0, 0), abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_no_policy_beats_the_optimum_and_looking_ahead_never_loses_to_not_checking(seed):
    table = Table(instance(50 + seed, faults=4, checks=3))
    best, unchecked = solve(table)[0, 0][0], solve(table, with_checks=False)[0, 0][0]
    for policy in (look_ahead(table), price, repairs_only):
        assert cost_of(table, policy) >= best - 1e-9
    assert best - 1e-9 <= cost_of(table, look_ahead(table)) <= unchecked + 1e-9
