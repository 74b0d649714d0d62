"""Suspicion in words: odds that a person can picture, and a percentage."""

import math

from tipward.foundation import RangeError

# Below a twentieth people read "1 in n"; between, tenths; the bounds are the middles between two neighbours. Design.
_RARE = (
    (0.0035, "less than 1 in 200"),
    (0.0075, "about 1 in 200"),
    (0.015, "about 1 in 100"),
    (0.032, "about 1 in 50"),
)
_COMMON = (
    (0.968, "about 19 in 20"),
    (0.985, "about 49 in 50"),
    (0.9925, "about 99 in 100"),
    (0.9965, "about 199 in 200"),
)


def odds_in_words(probability: float) -> str:
    """Say a probability as odds in words.

    Parameters
    ----------
    probability : float
        From 0 to 1 [1].

    Returns
    -------
    str
        "about 3 in 10"; rare and nearly certain ones as "about 1 in 50" or "about 49 in 50".

    Raises
    ------
    RangeError
        Outside 0 to 1, or not a number.

    Source: design (docs/explanation/the-line.md).

    >>> odds_in_words(0.31), odds_in_words(0.02), odds_in_words(0.999)
    ('about 3 in 10', 'about 1 in 50', 'more than 199 in 200')
    """
    _within(probability)
    if probability < 0.075:
        return next((words for bound, words in _RARE if probability < bound), "about 1 in 20")
    if probability < 0.925:
        return f"about {math.floor(probability * 10 + 0.5 + 1e-12)} in 10"
    return next((words for bound, words in _COMMON if probability < bound), "more than 199 in 200")


def percentage(probability: float) -> str:
    """Say a probability as a percentage that never rounds to certainty.

    Parameters
    ----------
    probability : float
        From 0 to 1 [1].

    Returns
    -------
    str
        "31 %", "under 1 %" or "over 99 %".

    Raises
    ------
    RangeError
        Outside 0 to 1, or not a number.

    Source: design (docs/explanation/the-line.md).

    >>> percentage(0.312), percentage(0.004), percentage(0.9999)
    ('31 %', 'under 1 %', 'over 99 %')
    """
    _within(probability)
    if probability < 0.01:
        return "under 1 %"
    return "over 99 %" if probability > 0.99 else f"{probability * 100:.0f} %"


def _within(probability: float) -> None:
    if not 0.0 <= probability <= 1.0:
        raise RangeError("probability", probability, "0 to 1", "design")
