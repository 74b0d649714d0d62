"""Measured checks as graded outcomes, for words and for scoring checks not yet done; answered ones are judged as numbers."""

import numpy as np

from tipward.diagnosis.network import CheckNumbers, Floats, Network
from tipward.diagnosis.readings import Bench, bench_for
from tipward.diagnosis.terms import Measured, Term, term_of
from tipward.diagnosis.touch import touching
from tipward.faults import Catalogue, Check
from tipward.model import Band

GRADED_DRAWS = 128
GRADES = ("as expected", "low", "high", "very high")


def graded(network: Network, bench: Bench, check: Check) -> tuple[CheckNumbers, Band]:
    """Outcomes "as expected", "low", "high", "very high" of a measured check, and the band a healthy path reads.

    Parameters
    ----------
    network : Network
        Order of the faults.
    bench : Bench
        Draws of the path.
    check : Check
        A measured check.

    Returns
    -------
    tuple of CheckNumbers and Band
        Graded noisy-MAX numbers from the force budget of the path as each fault would change it; healthy band (SI).

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> len(GRADES)
    4
    """
    if check.id not in bench.graded:
        bench.graded[check.id] = _graded(network, bench, check)
    numbers, band = bench.graded[check.id]
    return numbers, band


def _graded(network: Network, bench: Bench, check: Check) -> tuple[CheckNumbers, Band]:
    names = sorted(touching(check, bench.faults))
    predicted = bench.predict(check, [frozenset(), *(frozenset({name}) for name in names)], GRADED_DRAWS)
    predicted = np.where(np.isfinite(predicted), predicted, 1e6)
    seen = _as_read(check, predicted)
    low, mid, high = np.maximum(np.quantile(seen[0], [0.05, 0.5, 0.95]), 0.0)
    edges = np.array([low, high, max(2 * high, high + 1e-12)])
    below = np.clip(np.cumsum(_shares(seen, edges), axis=1), 1e-9, 1.0)
    shown = np.maximum.accumulate(np.minimum(below[1:] / below[0], 1.0), axis=1)
    shown[:, -1:] = 1.0
    faults = np.array([network.index[name] for name in names], dtype=np.int64)
    numbers = CheckNumbers(GRADES, np.clip(below[0], 1e-9, 1.0), faults, shown.reshape(len(names), len(GRADES)))
    return numbers, Band(float(low), float(mid), float(high))


def _as_read(check: Check, predicted: Floats) -> Floats:
    """Predictions with the scatter of reading them: a fixed, balanced set of errors."""
    assert check.reading is not None
    count = predicted.shape[1]
    ranks = (np.arange(count) * 0.6180339887498949 + 0.5) % 1.0
    error = np.sqrt(3.0) / np.pi * np.log(np.clip(ranks, 1e-3, 0.999) / (1 - np.clip(ranks, 1e-3, 0.999)))
    spread = np.sqrt((check.reading.repeat_share * predicted) ** 2 + check.reading.repeat_absolute**2)
    found: Floats = predicted + spread * error
    return found


def _shares(readings: Floats, edges: Floats) -> Floats:
    """Share of each grade in each row of readings, none quite nil, (rows, grades)."""
    beyond = (readings < edges[0], readings > edges[1], readings > edges[2])
    low, above, very_high = (part.mean(axis=1) for part in beyond)
    high = above - very_high
    return np.column_stack([1 - low - high - very_high, low, high, very_high]) * 0.98 + 0.005


def grade_of(band: Band, reading: float) -> str:
    """The grade of a reading against the band that a healthy path reads.

    Parameters
    ----------
    band : Band
        Healthy band (SI).
    reading : float
        Reading (SI).

    Returns
    -------
    str
        One of ``GRADES``.

    Raises
    ------
    Nothing.

    Source: docs/decisions/0008.

    >>> grade_of(Band(5.0, 7.0, 10.0), 25.0)
    'very high'
    """
    if reading < band.low:
        return "low"
    if reading > 2 * band.high:
        return "very high"
    return "high" if reading > band.high else "as expected"


def grade_term(catalogue: Catalogue, network: Network, item: Measured) -> Term:
    """A measured finding as its grade alone: where samples are drawn from before the numbers weigh them."""
    check = catalogue.check(item.check)
    numbers, band = graded(network, bench_for(catalogue, item.path), check)
    grade = GRADES.index(grade_of(band, float(np.mean(item.readings))))
    return term_of(numbers, grade, item.page, item.check, item.epoch)
