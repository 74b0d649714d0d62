"""Odds in words: the table that people read, and its laws."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as some

from tipward.foundation import RangeError
from tipward.reports import odds_in_words, percentage

# The table of docs/explanation/the-line.md, row by row.
TABLE = [
    (0.0, "less than 1 in 200", "under 1 %"),
    (0.004, "about 1 in 200", "under 1 %"),
    (0.01, "about 1 in 100", "1 %"),
    (0.02, "about 1 in 50", "2 %"),
    (0.05, "about 1 in 20", "5 %"),
    (0.1, "about 1 in 10", "10 %"),
    (0.2, "about 2 in 10", "20 %"),
    (0.31, "about 3 in 10", "31 %"),
    (0.45, "about 5 in 10", "45 %"),
    (0.9, "about 9 in 10", "90 %"),
    (0.95, "about 19 in 20", "95 %"),
    (0.98, "about 49 in 50", "98 %"),
    (0.99, "about 99 in 100", "99 %"),
    (0.995, "about 199 in 200", "over 99 %"),
    (1.0, "more than 199 in 200", "over 99 %"),
]


@pytest.mark.parametrize(("probability", "words", "share"), TABLE)
def test_table(probability: float, words: str, share: str) -> None:
    assert odds_in_words(probability) == words
    assert percentage(probability) == share


def meant(words: str) -> float:
    part, whole = (int(n) for n in re.findall(r"\d+", words))
    return part / whole


@given(some.floats(0, 1), some.floats(0, 1))
def test_more_suspicion_never_reads_as_less(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert meant(odds_in_words(low)) <= meant(odds_in_words(high))


@given(some.floats(0.01, 0.99))
def test_words_stay_within_a_twentieth_of_the_probability(probability: float) -> None:
    assert abs(meant(odds_in_words(probability)) - probability) <= 0.05 + 1e-9


@pytest.mark.parametrize("wrong", [-0.01, 1.01, float("nan"), float("inf")])
def test_no_odds_outside_nought_to_one(wrong: float) -> None:
    with pytest.raises(RangeError, match=r"probability = .* is outside 0 to 1"):
        odds_in_words(wrong)
    with pytest.raises(RangeError, match=r"probability = .* is outside 0 to 1"):
        percentage(wrong)
