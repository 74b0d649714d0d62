"""Soft counts of closed cases against sums over every way in which the faults may have come and gone, written by hand."""

import random

import pytest
from shop_cases import CATALOGUE, CLEAN, DUSTY, PUZZLE, by_hand, case_of, renamed, rig

from tipward.diagnosis import catalogue_mark, count_case, merged
from tipward.faults import load_catalogue
from tipward.foundation import NotKnownError
from tipward.model import Case, Counts, Finding, Tally

CASES = [DUSTY, CLEAN, PUZZLE]


def tally(tallies, kind, key):
    return next(item for item in tallies if (item.kind, item.key) == (kind, key))


def share(rows, holds):
    return sum(weight for start, history, weight in rows if holds(start, history)) / sum(w for *_, w in rows)


@pytest.mark.parametrize("case", CASES, ids=["dusty", "clean", "puzzle"])
def test_a_fault_counts_by_its_chance_given_the_whole_case(case):
    tallies, rows = count_case(CATALOGUE, case), by_hand(case)
    for fault in ("dirty", "loose"):
        found = share(rows, lambda start, history, fault=fault: fault in start)
        assert tally(tallies, "odds", fault).found == pytest.approx(found, abs=1e-9)
        assert tally(tallies, "odds", fault).of == 1


def test_what_the_catalogue_expected_is_its_judgement_of_the_complaint_alone():
    # P(slips): clear .05, dirty 1-.95*.4 = .62, loose 1-.95*.3 = .715, both 1-.95*.4*.3 = .886
    clear, dirty, loose, both = 0.8 * 0.9 * 0.05, 0.2 * 0.9 * 0.62, 0.8 * 0.1 * 0.715, 0.2 * 0.1 * 0.886
    whole = clear + dirty + loose + both
    tallies = count_case(CATALOGUE, DUSTY)
    assert tally(tallies, "odds", "dirty").expected == pytest.approx((dirty + both) / whole, abs=1e-9)
    assert tally(tallies, "odds", "loose").expected == pytest.approx((loose + both) / whole, abs=1e-9)


@pytest.mark.parametrize("case", CASES, ids=["dusty", "clean", "puzzle"])
def test_a_check_counts_where_one_fault_alone_or_none_was_there_when_it_was_done(case):
    tallies, rows = count_case(CATALOGUE, case), by_hand(case)
    shown = {"dirty": 1 - 0.9 * 0.2, "loose": 0.0}
    for number, page in enumerate(case.pages):
        if isinstance(page.entry, Finding) and page.entry.check == "look":
            dirty = share(rows, lambda start, history, number=number: "dirty" in history[number])
            seen = float(page.entry.outcome == "dust")
            one, none = tally(tallies, "shows", "look"), tally(tallies, "false", "look")
            assert (one.found, one.expected, one.of) == pytest.approx((dirty * seen, dirty * shown["dirty"], dirty))
            clear = 1 - dirty
            assert (none.found, none.expected, none.of) == pytest.approx((clear * seen, clear * 0.1, clear))


def test_with_two_faults_that_a_check_notices_both_there_counts_for_neither():
    tallies, rows = count_case(CATALOGUE, PUZZLE), by_hand(PUZZLE)
    dirty_only = share(rows, lambda start, history: history[2] == {"dirty"})
    loose_only = share(rows, lambda start, history: history[2] == {"loose"})
    # shown at all: dirty .3, loose .8, beside .04 + .002 without cause
    expected = dirty_only * (1 - 0.958 * 0.7) + loose_only * (1 - 0.958 * 0.2)
    one = tally(tallies, "shows", "hold")
    assert (one.expected, one.of) == pytest.approx((expected, dirty_only + loose_only))
    assert share(rows, lambda start, history: len(history[2]) == 2) > 0.1  # so that both at once is no idle case


def test_a_case_in_which_nobody_looked_counts_for_nothing():
    assert count_case(CATALOGUE, case_of(how="open end")) == ()
    assert count_case(CATALOGUE, Case("empty")) == ()


def test_a_customer_and_the_set_up_itself_do_not_teach_about_checks():
    told = case_of(Finding("look", "dust", by="customer"), how="open end")
    assert {item.kind for item in count_case(CATALOGUE, told)} == {"odds"}
    assert count_case(CATALOGUE, case_of(Finding("match:dirty", "mismatch", (0.9,), "declared"))) == ()


def test_an_unknown_check_is_named():
    with pytest.raises(NotKnownError, match="look-hub"):
        count_case(CATALOGUE, case_of(Finding("look-hub", "loose")))


def test_counts_add_up_whatever_the_order():
    names = [renamed(case, f"c{n}") for n, case in enumerate(CASES * 4)]
    parts = [Counts(1, count_case(CATALOGUE, case), ("0" * 12,)) for case in names]
    whole = merged(parts)
    shuffled = parts.copy()
    random.Random(3).shuffle(shuffled)
    assert merged(shuffled) == whole == merged([merged(parts[:5]), merged(parts[5:])])
    assert (whole.cases, whole.catalogues) == (12, ("0" * 12,))
    assert tally(whole.tallies, "odds", "dirty").of == 12


def test_odds_are_kept_by_family_of_machine_and_wire_and_own_words_are_not():
    kept = [
        tally(count_case(CATALOGUE, case_of(Finding("look", "dust"), path=path)), "odds", "dirty")
        for path in (rig("push", "er70s-6"), rig("spool gun", "ER4043"), rig("push", "Joe's blue reel"))
    ]
    assert [(item.machine, item.wire) for item in kept] == [("push", "er70s-6"), ("spool gun", "er4043"), ("push", "")]


def test_merging_nothing_is_nothing():
    assert merged([]) == Counts()
    one = Counts(2, (Tally("odds", "dirty", 1.0, 0.5, 2.0),))
    assert merged([one, Counts()]) == one


def test_the_mark_tells_catalogues_apart():
    assert catalogue_mark(CATALOGUE) != catalogue_mark(load_catalogue())
    assert catalogue_mark(CATALOGUE) == catalogue_mark(CATALOGUE)
