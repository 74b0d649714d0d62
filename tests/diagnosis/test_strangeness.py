"""An unlisted cause: the surprises of a case against what was expected of them."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from tipward.diagnosis.judging import judge
from tipward.diagnosis.strangeness import UNLISTED, answers_of, strangeness, unlisted
from tipward.faults import load_catalogue
from tipward.model import Case, FeedPath, Finding, Opened, Page, Wire

CATALOGUE = load_catalogue()
PATH = FeedPath(wire=Wire("er70s-6", 0.0009))


def case_of(*entries):
    start = datetime(2026, 1, 1)
    pages = [Opened(PATH, ("slips-or-surges",)), *entries]
    return Case("c", tuple(Page(n, f"k{n}", start + timedelta(minutes=n), page) for n, page in enumerate(pages, 1)))


def sound(*checks):
    return [Finding(name, CATALOGUE.checks[name].outcomes[0].id) for name in checks]


LOOKS = ("look-hub", "look-latch", "look-groove", "look-tip", "look-rust", "look-lead-lie")


def test_each_answer_is_judged_by_what_came_before_it():
    answers = answers_of(CATALOGUE, case_of(*sound(*LOOKS)))
    assert [item.page for item in answers] == list(range(2, 8))
    assert all(0 < item.chance < 1 and item.surprise == pytest.approx(-np.log(item.chance)) for item in answers)
    fewer = answers_of(CATALOGUE, case_of(*sound(*LOOKS[:3])))
    assert answers[:3] == fewer


def test_what_the_set_up_declares_is_no_answer():
    declared = Finding("match:liner-bore-small", "mismatch", readings=(0.95,), by="declared")
    assert answers_of(CATALOGUE, case_of(declared)) == ()


def test_sound_answers_are_not_strange_and_six_rare_ones_are():
    plain = case_of(*sound(*LOOKS))
    assert strangeness(answers_of(CATALOGUE, plain)) < UNLISTED and unlisted(CATALOGUE, plain) is None
    odd = case_of(*(Finding(name, CATALOGUE.checks[name].outcomes[-1].id) for name in LOOKS))
    answers, doubt = answers_of(CATALOGUE, odd), unlisted(CATALOGUE, odd)
    assert strangeness(answers) > UNLISTED and doubt is not None and "not listed" in doubt.what
    assert doubt.page == max(answers, key=lambda item: item.surprise - item.expected).page
    assert [item for item in judge(CATALOGUE, odd).doubts if "not listed" in item.what] == [doubt]


def test_too_few_answers_say_nothing():
    answers = answers_of(CATALOGUE, case_of(*sound(*LOOKS[:4])))
    assert strangeness([replace(item, surprise=50.0) for item in answers]) == 0.0
