"""Updating laws: nothing in, nothing out; the formula by hand; order, taking back, never past what was found."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shop_cases import CATALOGUE, rig

from tipward.diagnosis import changed_numbers, merged, taught
from tipward.diagnosis.network import build_network
from tipward.diagnosis.shrinking import Shrunk, moved, shrunk, steps, worth
from tipward.faults import load_catalogue, prior
from tipward.model import Counts, Tally


def odds(chance):
    return chance / (1 - chance)


def counts(*tallies, cases=10):
    return Counts(cases, tallies)


DIRTY = Tally("odds", "dirty", 6.0, 4.0, 10.0, "push", "er70s-6")
COUNT = st.floats(0, 50, allow_nan=False)


@st.composite
def tallies(draw):
    of = draw(st.floats(0.01, 100))
    return of * draw(st.floats(0, 1)), of * draw(st.floats(0.001, 0.999)), of


def test_no_cases_change_nothing():
    assert taught(CATALOGUE, Counts()) is CATALOGUE
    assert changed_numbers(CATALOGUE, Counts()) == ()
    assert shrunk(0.3, 20.0, 0.0, 0.0).after == pytest.approx(0.3)


def test_the_odds_of_a_fault_by_hand():
    # expected 4 of 10: .4, worth 2 / (.4 * .6) = 8.3333 cases, so (8.3333 * .4 + 6) / 18.3333 = .509091
    # odds .509091 / .490909 = 1.037037 over .4 / .6 = .666667: times 1.555556
    # prior .2: odds .25 * 1.555556 = .388889, that is .28
    step = steps(counts(DIRTY))[0]
    assert step.shrunk.after == pytest.approx(0.509090909)
    assert step.shrunk.times == pytest.approx(1.555555556)
    assert taught(CATALOGUE, counts(DIRTY)).faults["dirty"].prior == pytest.approx(0.28)
    told = changed_numbers(CATALOGUE, counts(DIRTY))[0]
    assert (told.before, told.after) == pytest.approx((0.2, 0.28))
    assert (told.found, told.expected, told.of) == (6.0, 4.0, 10.0)


def test_what_a_check_shows_by_hand():
    # all checks: expected .82, worth 40: (40 * .82 + 12) / (40 + 20) = .746667; what shows falls in proportion
    # the check beside them: .746667, worth 20: (20 * .746667 + 12) / 40 = .673333
    new = taught(CATALOGUE, counts(Tally("shows", "look", 12.0, 16.4, 20.0)))
    assert new.shown["look"]["dirty"]["dust"] == pytest.approx(0.8 * 0.746666667 / 0.82 * 0.673333333 / 0.746666667)
    # another check knows all checks only; its outcomes keep their proportions
    assert new.shown["hold"]["loose"]["some"] == pytest.approx(0.5 * 0.746666667 / 0.82)
    assert new.shown["hold"]["loose"]["stops"] == pytest.approx(0.3 * 0.746666667 / 0.82)
    assert new.faults == CATALOGUE.faults


def test_false_alarms_by_hand():
    # all: 3 of 30 expected = .1, worth 20 / .09 = 222.222: (22.2222 + 9) / 252.2222 = .123789
    # the check: .123789, worth 2 / (.123789 * .876211) = 18.4389: (2.282543 + 9) / 48.4389 = .232923
    # upwards, what is quiet shrinks in proportion: .9 * .876211 / .9 * .767077 / .876211 = .767077, so .232923
    new = taught(CATALOGUE, counts(Tally("false", "look", 9.0, 3.0, 30.0)))
    assert new.checks["look"].false["dust"] == pytest.approx(0.2329227, abs=1e-6)
    assert new.shown == CATALOGUE.shown


def test_a_check_that_is_better_than_thought_misses_less():
    assert moved(0.5, Shrunk(0.8, 0.9, 0.0, 1.0)) == pytest.approx(0.75)  # misses .5 * .1 / .2 = .25
    assert moved(0.5, Shrunk(0.8, 0.4, 0.0, 1.0)) == pytest.approx(0.25)


@given(tallies())
def test_never_past_what_was_found_and_nearer_the_more_cases(found):
    hit, expected, of = found
    step = steps(counts(Tally("odds", "dirty", hit, expected, of)))[0]
    low, high = sorted((expected / of, hit / of))
    assert low - 1e-9 <= step.shrunk.after <= high + 1e-9
    more = steps(counts(Tally("odds", "dirty", 10 * hit, 10 * expected, 10 * of)))[0]
    assert abs(more.shrunk.after - hit / of) <= abs(step.shrunk.after - hit / of) + 1e-9


@given(tallies(), st.sampled_from(["odds", "shows", "false"]))
def test_every_learned_number_is_a_probability_and_judges(found, kind):
    new = taught(CATALOGUE, counts(Tally(kind, "dirty" if kind == "odds" else "look", *found)))
    numbers = [fault.prior for fault in new.faults.values()]
    numbers += [sum(outcomes.values()) for rows in new.shown.values() for outcomes in rows.values()]
    numbers += [sum(check.false.values()) for check in new.checks.values()]
    assert all(0 < number < 1 for number in numbers)
    network = build_network(new, rig())
    assert all(math.isfinite(float(value)) for value in network.prior)


def test_a_case_that_was_certain_before_tells_next_to_nothing():
    # one case in which .98 was expected from the complaint alone, and it was so: the odds hardly move
    new = taught(CATALOGUE, counts(Tally("odds", "dirty", 1.0, 0.98, 1.0)))
    assert 0.2 < new.faults["dirty"].prior < 0.203


def test_the_catalogue_is_worth_more_cases_the_rarer_the_fault():
    assert worth(0.01, 2.0) == pytest.approx(202.02, abs=0.01)
    assert worth(0.5, 2.0) == 8.0


def test_learning_makes_a_new_catalogue_and_leaves_the_old_one():
    before = {key: fault.prior for key, fault in CATALOGUE.faults.items()}
    new = taught(CATALOGUE, counts(DIRTY))
    assert new is not CATALOGUE and new.faults["dirty"].prior != before["dirty"]
    assert {key: fault.prior for key, fault in CATALOGUE.faults.items()} == before


def test_one_family_of_machine_is_not_said_twice():
    assert len(steps(counts(DIRTY))) == 1


def test_wire_classes_share_what_they_have_in_common_and_keep_what_they_have_not():
    steel = Tally("odds", "dirty", 2.0, 4.0, 20.0, "push", "er70s-6")
    soft = Tally("odds", "dirty", 10.0, 4.0, 20.0, "push", "er4043")
    new = taught(CATALOGUE, counts(steel, soft))
    fault = new.faults["dirty"]
    chances = {wire: prior(fault, rig("push", wire)) for wire in ("er70s-6", "er4043", "e71t-1")}
    # together 12 found of 8 expected: commoner everywhere; steel below, the soft wire above what a third wire gets
    assert chances["e71t-1"] == fault.prior > 0.2
    assert chances["er70s-6"] < chances["e71t-1"] < chances["er4043"]
    apart = taught(CATALOGUE, counts(steel)).faults["dirty"].prior
    assert apart < chances["er70s-6"] < chances["e71t-1"]  # pooled: drawn towards the other wire
    told = [item.where for item in changed_numbers(CATALOGUE, counts(steel, soft))]
    assert told == ["", "wire er4043", "wire er70s-6"]


def test_machine_and_wire_that_always_go_together_are_not_counted_twice():
    soft = Tally("odds", "dirty", 8.0, 2.0, 10.0, "spool gun", "er4043")
    steel = Tally("odds", "dirty", 2.0, 2.0, 10.0, "push", "er70s-6")
    fault = taught(CATALOGUE, counts(soft, steel)).faults["dirty"]
    # never past what was found there: 8 of 10 against 2 of 10 expected is (8 / 2) / (2 / 8) = 16 times the odds
    assert odds(prior(fault, rig("spool gun", "er4043"))) / odds(0.2) < 16


def test_every_change_of_the_shipped_catalogue_is_listed_with_before_and_after():
    catalogue = load_catalogue()
    learned = counts(
        Tally("odds", "liner-dirty", 9.0, 3.0, 30.0, "push", "er70s-6"),
        Tally("odds", "spool-brake-tight", 1.0, 3.0, 30.0, "push", "er70s-6"),
    )
    new = taught(catalogue, learned)
    moved_faults = {key for key in catalogue.faults if new.faults[key].prior != catalogue.faults[key].prior}
    told = {item.key: item for item in changed_numbers(catalogue, learned)}
    assert set(told) == moved_faults == {"liner-dirty", "spool-brake-tight"}
    for key, item in told.items():
        assert (item.before, item.after) == (catalogue.faults[key].prior, new.faults[key].prior)
        assert item.low < item.after < item.high


def test_sharing_is_addition():
    ours, theirs = counts(DIRTY), counts(Tally("odds", "dirty", 1.0, 3.0, 8.0, "push", "er70s-6"), cases=8)
    both = merged([ours, theirs])
    assert both == Counts(18, (Tally("odds", "dirty", 7.0, 7.0, 18.0, "push", "er70s-6"),))
    assert taught(CATALOGUE, both).faults["dirty"].prior == pytest.approx(0.2)
