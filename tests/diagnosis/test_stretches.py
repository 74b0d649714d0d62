"""Few draws for what weighs little: against every draw for every kind of fault set, on the shipped catalogue."""

from datetime import datetime

import numpy as np
import pytest

from tipward.diagnosis.network import network_for
from tipward.diagnosis.readings import DRAWS, Bench, bench_for
from tipward.diagnosis.sampled import sampled_posterior
from tipward.diagnosis.stretches import counts_by, stretches, weights_of
from tipward.diagnosis.terms import evidence
from tipward.diagnosis.touch import touching
from tipward.diagnosis.weighing import STATED, Care, Scales
from tipward.faults import load_catalogue
from tipward.model import Case, Finding, Opened, Page, build_path

RIG = build_path(
    {
        "wire": {"wire_class": "er70s-6", "diameter": "0.9 mm"},
        "liner": {"material": "steel", "bore": "2.0 mm"},
        "torch_lead": {"length": "4 m", "turns": 0.5, "turn_radius": "250 mm"},
        "contact_tip": {"bore": "1.05 mm"},
    }
)
READ = (
    Finding("pull-torch-as-used", readings=(26.0,)),
    Finding("pull-torch-straight-tip-off", readings=(9.0,)),
    Finding("measure-feed-ratio", readings=(0.9,)),
)


def test_counts_follow_what_each_kind_weighs_within_their_bounds():
    counts = counts_by(np.array([0.9, 0.1, 1e-3, 0.0]), 4096, 64)
    assert counts.tolist() == [4096, 512, 64, 64]
    assert counts_by(np.array([1.0]), 2**30, 64).tolist() == [DRAWS]


def test_each_stretch_lies_within_the_draws_and_begins_at_a_multiple_of_its_length():
    along = stretches(np.array([-7, 2**61 + 3, 11]), np.array([64, 1024, DRAWS]))
    for first, count in along.pairs():
        assert 0 <= first <= DRAWS - count and first % count == 0
    assert along.draws().tolist() == [n for first, count in along.pairs() for n in range(first, first + count)]


def test_a_kind_that_is_run_again_counts_once_and_by_its_last_run():
    once = stretches(np.array([0, 1]), np.array([64, 64]))
    again = stretches(np.array([0]), np.array([128]))
    runs = [(np.arange(2), once, np.zeros(128)), (np.array([0]), again, np.full(128, 1.0))]
    found = weights_of(runs, np.array([1.0, 1.0]))
    assert found.log_mean.tolist() == pytest.approx([1.0, 0.0]) and found.error.max() < 1e-6
    assert found.draws[:128].sum() == pytest.approx(1.0) and found.draws[128:].sum() == 0.0


def test_few_draws_weigh_the_same_sets_as_every_draw_does():
    catalogue = load_catalogue()
    opened = Opened(RIG, ("slips-or-surges",))
    pages = [Page(n, f"k{n}", datetime(2026, 1, 1), entry) for n, entry in enumerate((opened, *READ), 1)]
    network = network_for(catalogue, RIG)
    found = evidence(catalogue, network, Case("c", tuple(pages)))
    sets = sampled_posterior(catalogue, network, found, exact=False).after.sets
    marginals, errors = [], []
    for care in (STATED, Care(64, 2**40, 1, 0.0)):
        weighed = Scales(catalogue, network, found).weigh(sets, np.zeros(len(sets)), care)
        weights = np.exp(weighed.log_weights - weighed.log_weights.max())
        marginals.append((weights / weights.sum()) @ sets[:, :, -1])
        errors.append(weighed.standard_error)
    off = np.abs(marginals[0] - marginals[1]).max()
    assert 0.0 < off <= 0.02 and off <= 2 * max(errors)


def test_a_bench_remembers_no_more_than_it_may_and_reads_the_same(monkeypatch):
    catalogue = load_catalogue()
    check, bench = catalogue.checks["pull-torch-as-used"], bench_for(catalogue, RIG)
    sets = [frozenset(), *(frozenset({name}) for name in sorted(touching(check, catalogue.faults)))]
    whole = bench.predict(check, sets, 64)
    monkeypatch.setattr("tipward.diagnosis.readings.KEPT_NUMBERS", 500)
    small = Bench(RIG, bench.draws, catalogue.faults)
    for item, row in zip(sets, whole, strict=True):
        assert np.array_equal(small.predict(check, [item], 64)[0], row)
        assert sum(map(len, (row for rows in small.memory.values() for row in rows.values()))) == small.kept <= 500
