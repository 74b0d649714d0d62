"""Suspicion per station."""

import pytest
from invented_workshop import BEFORE

from tipward.model import Explanation, Judgement, Suspicion
from tipward.reports import station_suspicions


def test_the_highest_suspicion_of_a_station_or_the_explanations_that_hold_it() -> None:
    found = station_suspicions(BEFORE)
    assert found["liner"] == 0.93 and found["drive-rolls"] == 0.16


def test_two_rivals_at_one_station_add_up_through_the_explanations() -> None:
    rivals = (Suspicion("a", "a", "liner", 0.5), Suspicion("b", "b", "liner", 0.4))
    sets = (Explanation(("a",), 0.5), Explanation(("b",), 0.4))
    assert station_suspicions(Judgement(rivals, sets, 0.1, (), 0.0, "exact")) == {"liner": pytest.approx(0.9)}
