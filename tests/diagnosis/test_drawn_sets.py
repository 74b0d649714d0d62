"""Sets drawn by the recursion: as often as its own exact marginals say, whatever the kinds of a cluster weigh."""

from dataclasses import replace

import numpy as np
import pytest
from synthetic import check, evidence, network

from tipward.diagnosis.engine import posterior
from tipward.diagnosis.forecast import abnormal, forecast
from tipward.diagnosis.items import items_of
from tipward.diagnosis.recursion import Recursion
from tipward.diagnosis.sampled import sampled_posterior
from tipward.diagnosis.slate import slate
from tipward.diagnosis.states import groups
from tipward.faults import build_catalogue

COUNT = 40_000


def held(recursion, count=COUNT):
    """How often each item was drawn."""
    drawn = recursion.sample(count, seed=3)
    return np.array([(drawn == item).any(axis=1).mean() for item in range(len(recursion.items.cluster))])


@pytest.mark.parametrize("seed", range(6))
def test_items_are_drawn_as_often_as_the_exact_marginals_say(seed):
    rng = np.random.default_rng(seed)
    net, found = network(rng, 9), evidence(rng, 9, findings=8)
    items = items_of(groups(net.clusters, found.mendings), found.terms, len(net.ids))
    recursion = Recursion(items, range(len(items.start)), drawn=True)
    exact = recursion.marginals()
    error = np.sqrt(exact * (1 - exact) / COUNT)
    assert exact.max() > 0.2, "nothing is likely: the comparison tells little"
    assert (np.abs(held(recursion) - exact) <= 4.5 * error + 1e-4).all()


def test_a_kind_that_weighs_nothing_moves_no_other():
    rng = np.random.default_rng(1)
    net, found = network(rng, 9), evidence(rng, 9, findings=8)
    items = items_of(groups(net.clusters, found.mendings), found.terms, len(net.ids))
    clusters, sizes = np.unique(items.cluster, return_counts=True)
    first = int(np.flatnonzero(items.cluster == clusters[sizes.argmax()])[0])
    odds = items.log_odds.copy()
    odds[first] = -800.0
    recursion = Recursion(replace(items, log_odds=odds), range(len(items.start)), drawn=True)
    exact = recursion.marginals()
    assert (np.abs(held(recursion) - exact) <= 4.5 * np.sqrt(exact * (1 - exact) / COUNT) + 1e-4).all()


@pytest.mark.parametrize("form", ["signed products", "every set listed"])
def test_abnormal_is_what_the_forecast_says_of_all_outcomes_but_the_first(form):
    rng = np.random.default_rng(8)
    net, found = network(rng, 7), evidence(rng, 7, findings=5)
    now = (
        posterior(net, found) if form == "signed products" else sampled_posterior(build_catalogue([]), net, found).after
    )
    laid = slate({f"c{number}": check(rng, 7) for number in range(6)}, now.groups)
    whole, alone = forecast(now, laid), abnormal(now, laid)
    assert list(alone) == list(laid.names)
    for name, chance in alone.items():
        assert chance == pytest.approx(float(whole.outcomes(name)[1:].sum()), abs=1e-9)
