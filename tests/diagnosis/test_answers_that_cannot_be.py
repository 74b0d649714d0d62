"""Answers that contradict each other, cannot be, or are all "can't do": a statement of what does not fit, never a NaN."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from tipward.diagnosis import judge
from tipward.faults import load_catalogue
from tipward.model import Cannot, Case, FeedPath, Finding, Liner, Opened, Page, Place, ProofTest, Repair, Wire
from tipward.planning import next_step

CATALOGUE = load_catalogue()
PATH = FeedPath(wire=Wire("er70s-6", 0.0009), liner=Liner("steel"))
COMPLAINTS = tuple(item.id for item in CATALOGUE.complaints.values() if item.kind == "feed")[:1]
PLACE = Place("machine", tuple(sorted({tool for check in CATALOGUE.checks.values() for tool in check.tools})))


def case_of(*entries):
    opened = Opened(PATH, COMPLAINTS, PLACE)
    return Case(
        "c",
        tuple(
            Page(n, f"k{n}", datetime(2026, 1, 1) + timedelta(minutes=n), e)
            for n, e in enumerate((opened, *entries), 1)
        ),
    )


def judged(*entries):
    """Every number is one, every probability between 0 and 1."""
    case = case_of(*entries)
    judgement = judge(CATALOGUE, case)
    chances = np.array([item.probability for item in judgement.suspicions])
    assert np.isfinite(chances).all() and (chances >= 0).all() and (chances <= 1).all()
    assert next_step(CATALOGUE, case).why
    return [doubt.what for doubt in judgement.doubts]


def test_a_swap_test_answered_although_nothing_turns():
    told = judged(Finding("jog-inside", "nothing-turns"), Finding("swap-tip", "gone"))
    assert any("page 3 cannot be: 'New contact tip' makes no sense once" in item for item in told)
    assert not any(
        "cannot be" in item for item in judged(Finding("swap-tip", "gone"), Finding("hand-tip-wire", "slides"))
    )


def test_a_swap_test_answered_although_the_proof_has_passed():
    passed = ProofTest((("passes", (1.0,)),))
    assert any("once the proof has passed" in item for item in judged(passed, Finding("swap-tip", "gone")))
    assert not any("cannot be" in item for item in judged(passed, Repair("fit-new-tip"), Finding("swap-tip", "gone")))


def test_a_check_that_is_not_for_this_path():
    told = judged(Finding("swap-gun-rolls-open", "better"))
    assert any("not for the path" in item for item in told)


@pytest.mark.parametrize("between", [(), (Repair("replace-liner"),)])
def test_a_question_about_the_time_before_answered_twice(between):
    told = judged(Finding("ask-liner-before", "never"), *between, Finding("ask-liner-before", "other"))
    assert any("answered twice, differently" in item for item in told)


def test_findings_that_contradict_each_other():
    told = judged(
        Finding("look-lead-lie", "gentle"),
        Finding("hand-lead-flex", "tight-bends"),
        Finding("look-fuse", "open"),
        Finding("ask-panel", "lit"),
        Finding("hand-draw-at-gun", "easy"),
        Finding("pull-torch-straight", readings=(float("inf"),)),
    )
    assert any("hardly fits the other findings" in item or "stranger than" in item for item in told)


def test_nothing_can_be_done():
    step = next_step(CATALOGUE, case_of(*(Cannot(name) for name in CATALOGUE.checks)))
    assert step.check is None and step.why
    judged(*(Cannot(name) for name in CATALOGUE.checks))
