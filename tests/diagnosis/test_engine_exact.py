"""The engine against brute force over every fault set (a second method, written out) and against pyAgrum."""

from dataclasses import replace

import numpy as np
import pytest
from synthetic import brute_force, check, evidence, network

from tipward.diagnosis.engine import posterior
from tipward.diagnosis.forecast import forecast
from tipward.diagnosis.sampled import sampled_posterior
from tipward.diagnosis.slate import slate
from tipward.diagnosis.terms import Evidence, term_of
from tipward.faults import build_catalogue

NOTHING = build_catalogue([])


@pytest.mark.parametrize("seed", range(12))
def test_marginals_all_clear_and_evidence_equal_brute_force(seed):
    rng = np.random.default_rng(seed)
    net, found = network(rng, 7), evidence(rng, 7, findings=7)
    ours = posterior(net, found)
    marginals, clear, log_evidence = brute_force(net, found)
    assert np.abs(ours.marginals() - marginals).max() <= 1e-9
    assert abs(ours.all_clear() - clear) <= 1e-9
    assert abs(ours.log_evidence - log_evidence) <= 1e-9


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("form", ["signed products", "every set listed"])
def test_forecast_equals_judging_each_outcome_before_and_after_a_repair(seed, form):
    rng = np.random.default_rng(100 + seed)
    net, found = network(rng, 7), evidence(rng, 7, findings=5)
    now = posterior(net, found) if form == "signed products" else sampled_posterior(NOTHING, net, found).after
    assert now.method == form
    asked = {f"c{number}": replace(check(rng, 7), history=number % 2 == 1) for number in range(4)}
    seen = forecast(now, slate(asked, now.groups))
    assert now.epochs == 2
    for name, numbers in asked.items():
        for outcome in range(3):
            epoch = 0 if numbers.history else 1
            more = replace(found, terms=(*found.terms, term_of(numbers, outcome, 50, "asked", epoch)))
            now, after = posterior(net, found), posterior(net, more)
            assert abs(np.exp(after.log_evidence - now.log_evidence) - seen.outcomes(name)[outcome]) <= 1e-9
            assert np.abs(after.marginals() - seen.marginals(name)[outcome]).max() <= 1e-8


def test_a_finding_that_touches_one_cluster_only_never_doubles():
    rng = np.random.default_rng(5)
    net = network(rng, 6, largest_cluster=1)
    one = check(rng, 6, most=1)
    found = Evidence(tuple(term_of(one, 1, number, f"c{number}", 0) for number in range(12)), (), (), ())
    assert posterior(net, found).columns.shape == (1,)


def test_engine_equals_pyagrum_on_random_two_outcome_nets():
    """pyAgrum builds the noisy-OR nets itself (addNoisyORNet) and infers by lazy propagation."""
    gum = pytest.importorskip("pyagrum", reason="pyAgrum is a development dependency")
    rng = np.random.default_rng(11)
    for _ in range(5):
        net = network(rng, 10, largest_cluster=1)
        asked = [check(rng, 10, outcomes=2) for _ in range(8)]
        answers = [int(rng.integers(0, 2)) for _ in asked]
        found = Evidence(
            tuple(term_of(c, a, n, f"c{n}", 0) for n, (c, a) in enumerate(zip(asked, answers))), (), (), ()
        )
        bayes = gum.BayesNet()
        faults = [bayes.add(gum.LabelizedVariable(name, name, 2)) for name in net.ids]
        for node, cluster in zip(faults, net.clusters, strict=True):
            bayes.cpt(node).fillWith([float(cluster.prior[0]), float(cluster.prior[1])])
        for number, numbers in enumerate(asked):
            node = bayes.addNoisyORNet(gum.LabelizedVariable(f"c{number}", "", 2), float(1 - numbers.leak[0]))
            for fault, shown in zip(numbers.faults, numbers.shown, strict=True):
                bayes.addWeightedArc(faults[int(fault)], node, float(1 - shown[0]))
        inference = gum.LazyPropagation(bayes)
        inference.setEvidence({f"c{number}": answer for number, answer in enumerate(answers)})
        theirs = np.array([inference.posterior(node)[1] for node in faults])
        assert np.abs(posterior(net, found).marginals() - theirs).max() <= 1e-9
