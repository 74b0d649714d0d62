"""Scores worked by hand, and calibration of cases from worlds that are as the catalogue says and that are not."""

import math
import sys
from pathlib import Path

import numpy as np
import pytest
from shop_cases import CATALOGUE, CLEAN, DUSTY, PASSES, PUZZLE, by_hand, case_of

from tipward.diagnosis import calibrated, judge, scored, stated
from tipward.diagnosis.calibration import EDGES
from tipward.model import Cannot, Case, Finding, Repair, TakenBack

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1] / "tasks"))
from benchmarks.session import lead
from benchmarks.world import everything_at_hand, random_case
from thread import CATALOGUE as THREAD
from thread import RIG


def plain(page):
    return CATALOGUE


def test_scores_by_hand():
    # stated .9 .8 .3 .02, there: yes no yes no
    held = calibrated([scored([0.9, 0.8, 0.3, 0.02], [1, 0, 1, 0])])
    assert held.brier == pytest.approx((0.1**2 + 0.8**2 + 0.7**2 + 0.02**2) / 4)
    surprise = -(math.log(0.9) + math.log(0.2) + math.log(0.3) + math.log(0.98))
    assert held.log_score_nat == pytest.approx(surprise / 4)
    # each stands in a step of its own: |.9 - 1| + |.8 - 0| + |.3 - 1| + |.02 - 0| over 4; without the last over 3
    assert held.error == pytest.approx((0.1 + 0.8 + 0.7 + 0.02) / 4)
    assert held.error_inside == pytest.approx((0.1 + 0.8 + 0.7) / 3)
    assert (held.stated, held.cases) == (4, 1)


def test_the_error_compares_means_within_a_step():
    # .21 .39 .30, one of three there: mean said .3, found 1 / 3
    held = calibrated([scored([0.21, 0.39, 0.30], [0, 1, 0])])
    assert held.error == pytest.approx(abs(0.3 - 1 / 3))
    row = held.rows[0]
    assert (row.low, row.high, row.found, row.of) == (0.2, 0.4, 1.0, 3)
    assert row.said == pytest.approx(0.3)


def test_what_is_half_known_counts_half():
    # stated .6, there with probability .5: .5 * .4**2 + .5 * .6**2 = .26
    held = calibrated([scored([0.6], [0.5])])
    assert held.brier == pytest.approx(0.26)
    assert held.log_score_nat == pytest.approx(-(math.log(0.6) + math.log(0.4)) / 2)
    assert held.unsettled == 1.0


def test_every_edge_falls_into_one_step():
    held = calibrated([scored(EDGES, [0.0] * len(EDGES))])
    assert sum(row.of for row in held.rows) == len(EDGES)
    assert [row.low for row in held.rows] == list(EDGES[:-1])
    assert held.rows[-1].of == 2 and {EDGES[1], EDGES[-2]} == {0.05, 0.95}


def test_what_was_thought_impossible_costs_much_but_not_all():
    held = calibrated([scored([0.0], [1.0])])
    assert held.log_score_nat == pytest.approx(math.log(1e6), rel=1e-3) and held.brier == 1.0


def test_scores_of_cases_add_up():
    said, true = np.linspace(0.01, 0.99, 30), np.arange(30) % 2
    whole = calibrated([scored(said, true)])
    parts = calibrated([scored(said[:11], true[:11]), scored(said[11:], true[11:])])
    assert parts.brier == pytest.approx(whole.brier) and parts.error == pytest.approx(whole.error)
    assert (parts.cases, whole.cases) == (2, 1)
    assert calibrated([]) is None and calibrated([scored([], [])]) is None


@pytest.mark.parametrize("case", [DUSTY, CLEAN, PUZZLE], ids=["dusty", "clean", "puzzle"])
def test_every_statement_of_a_case_is_held_against_its_end(case):
    said, true = stated(case, CATALOGUE, plain)
    rows = by_hand(case)
    whole = sum(weight for *_, weight in rows)
    judged = [n for n, page in enumerate(case.pages, 1) if page.entry.kind in {"opened", "finding", "repair", "proof"}]
    expected_said, expected_true = [], []
    for end in judged[:-1]:  # nothing comes after the last to test it
        now = judge(CATALOGUE, Case(case.id, case.pages[:end]), explain=False)
        for fault in ("dirty", "loose"):
            expected_said.append(now.probability(fault))
            held = sum(weight for _, history, weight in rows if fault in history[end])
            expected_true.append(held / whole)
    assert said == pytest.approx(expected_said) and true == pytest.approx(expected_true)


def test_pages_that_say_nothing_are_not_scored_again():
    quiet = case_of(Finding("look", "dust"), Cannot("hold"), *[page.entry for page in DUSTY.pages[2:-1]])
    assert stated(quiet, CATALOGUE, plain)[0] == pytest.approx(stated(DUSTY, CATALOGUE, plain)[0])


def test_a_repair_taken_back_did_not_happen_when_it_is_looked_back_on():
    wrong = case_of(Finding("look", "dust"), Repair("tighten"), TakenBack(3), Repair("clean"), PASSES)
    said, true = stated(wrong, CATALOGUE, plain)
    _, right = stated(DUSTY, CATALOGUE, plain)
    # after the complaint, the look, the repair that was none, the repair
    assert true == pytest.approx([*right[:4], *right[2:4], *right[4:6]])
    assert said[4:6] != pytest.approx(said[2:4])  # it was believed at the time


def test_before_the_first_repair_only():
    said, _ = stated(PUZZLE, CATALOGUE, plain, first_repair_only=True)
    now = judge(CATALOGUE, Case("c", PUZZLE.pages[:3]), explain=False)
    assert said == pytest.approx([now.probability("dirty"), now.probability("loose")])


def test_a_case_without_evidence_states_nothing_that_can_be_tested():
    assert stated(case_of(how="open end"), CATALOGUE, plain)[0].size == 0


def test_soft_truth_agrees_with_the_truth_that_only_the_world_knows():
    rng, parts, real = np.random.default_rng(8), [], []
    for _ in range(60):
        rig, book = random_case(THREAD, RIG, rng, place=everything_at_hand(THREAD))
        ended = lead(THREAD, rig, book, keep_stated=True)
        parts.append(scored(*stated(book.case, THREAD, lambda page: THREAD)))
        real.append(scored(*map(list, zip(*ended.stated, strict=True))))
    ours, true = calibrated(parts), calibrated(real)
    assert ours.error_inside < 0.05  # a world as the catalogue says
    assert ours.brier == pytest.approx(true.brier, abs=0.03)
