"""Measured checks are judged together as numbers: against a brute force over all fault sets and the same draws."""

from datetime import datetime
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from small import PATH, catalogue

from tipward.diagnosis import judge
from tipward.diagnosis.readings import DRAWS, SEED, STUCK_N
from tipward.mechanics import change, draw, measure, triangular
from tipward.model import Case, Finding, Opened, Page, Repair, TakenBack

CATALOGUE = catalogue()
NAMES = list(CATALOGUE.faults)


def case(*entries):
    opened = Opened(PATH, ("slips",))
    pages = [Page(n, f"k{n}", datetime(2026, 1, 1), entry) for n, entry in enumerate((opened, *entries), 1)]
    return Case("c", tuple(pages))


def predicted(check, present, draws):
    values = draws.values
    for fault in present:
        for number, step in enumerate(CATALOGUE.faults[fault].changes):
            size = triangular(draws.uniforms[f"{fault}:{number}"], step.low, step.mode, step.high)
            values = change(values, step.field, step.op, size)
    return np.broadcast_to(measure(check.reading.name, values, PATH, dict(check.reading.context)), (DRAWS,))


def density(check, reading, true):
    """Student t with 4 degrees of freedom about the prediction (scipy), as the check's repeatability says."""
    floor = 1e-6 / max(reading, check.reading.repeat_absolute)
    scale = np.hypot(check.reading.repeat_share * true, check.reading.repeat_absolute)
    found = np.maximum(stats.t.pdf((reading - true) / scale, df=4) / scale, floor)
    return np.where(true > STUCK_N, floor, found)  # past what a hand can pull: "would not move", and this one moved


def brute_force(readings, dusty):
    extra = tuple(f"{f.id}:{n}" for f in CATALOGUE.faults.values() for n in range(len(f.changes)))
    draws = draw(PATH, DRAWS, SEED, extra)
    total, marginal = 0.0, dict.fromkeys(NAMES, 0.0)
    for state in product((False, True), repeat=len(NAMES)):
        present = [name for name, on in zip(NAMES, state, strict=True) if on]
        weight = np.prod(
            [CATALOGUE.faults[n].prior if on else 1 - CATALOGUE.faults[n].prior for n, on in zip(NAMES, state)]
        )
        weight *= 1 - 0.95 * np.prod([1 - CATALOGUE.faults[n].complaints["slips"] for n in present])
        weight *= (
            1 - 0.9 * (0.3 if "dirty" in present else 1.0) if dusty else 0.9 * (0.3 if "dirty" in present else 1.0)
        )
        each = np.ones(DRAWS)
        for name, reading in readings.items():
            check = CATALOGUE.checks[name]
            each = each * density(check, reading, predicted(check, present, draws))
        weight *= each.mean()
        total += weight
        for name in present:
            marginal[name] += weight
    return {name: value / total for name, value in marginal.items()}


@pytest.mark.parametrize(
    "readings", [{"pull": 25.0}, {"pull": 9.0, "off-spool": 3.0}, {"pull": 60.0, "off-spool": 14.0}]
)
@pytest.mark.parametrize("dusty", [True, False])
def test_judgement_equals_brute_force_given_the_same_draws(readings, dusty):
    findings = [Finding(name, readings=(value,)) for name, value in readings.items()]
    ours = judge(CATALOGUE, case(Finding("look", "dusty" if dusty else "clean"), *findings))
    for name, value in brute_force(readings, dusty).items():
        assert abs(ours.probability(name) - value) <= 1e-9


def test_a_very_high_pull_points_at_two_causes_at_once():
    """Dirty liner and tight loops together explain what neither explains alone: only a joint judgement sees it."""
    both = judge(CATALOGUE, case(Finding("pull", readings=(float("inf"),)), Finding("off-spool", readings=(4.5,))))
    assert {"dirty", "loops"} <= set(both.explanations[0].faults)
    assert both.explanations[0].probability > 0.5
    assert abs(sum(item.probability for item in both.explanations) - 1) < 0.05


ENTRIES = st.sampled_from(
    [
        Finding("look", "dusty"),
        Finding("look", "clean"),
        Finding("pull", readings=(25.0,)),
        Finding("pull", readings=(9.0, 10.0)),
        Finding("off-spool", readings=(12.0,)),
        Repair("mend"),
    ]
)


@settings(max_examples=25, deadline=None)
@given(st.lists(ENTRIES, min_size=1, max_size=5), st.data())
def test_without_a_page_equals_with_the_page_taken_back(entries, data):
    whole = case(*entries)
    gone = data.draw(st.integers(2, len(whole.pages)))
    without = Case("c", tuple(page for page in whole.pages if page.sequence != gone))
    last = Page(len(whole.pages) + 1, "back", datetime(2026, 1, 1), TakenBack(gone))
    back = whole.with_page(last)
    assert judge(CATALOGUE, without) == judge(CATALOGUE, back)


def test_a_check_repeated_with_nothing_changed_adds_nothing():
    once = judge(CATALOGUE, case(Finding("look", "dusty")), explain=False)
    twice = judge(CATALOGUE, case(Finding("look", "dusty"), Finding("look", "dusty")), explain=False)
    assert once.suspicions == twice.suspicions


def test_different_answers_to_one_check_are_told_and_the_last_holds():
    told = judge(CATALOGUE, case(Finding("look", "dusty"), Finding("look", "clean")))
    clean = judge(CATALOGUE, case(Finding("look", "clean")))
    assert told.probability("dirty") == clean.probability("dirty")
    assert any("answered twice" in doubt.what for doubt in told.doubts)


def test_a_repair_lets_the_fault_leave_and_keeps_what_was_found_before():
    before = judge(CATALOGUE, case(Finding("look", "dusty"), Finding("pull", readings=(25.0,))))
    after = judge(CATALOGUE, case(Finding("look", "dusty"), Finding("pull", readings=(25.0,)), Repair("mend")))
    assert after.probability("dirty") == pytest.approx(before.probability("dirty") * 0.1, rel=1e-6)
