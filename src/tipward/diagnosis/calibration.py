"""How well stated odds held: every suspicion that closed cases ever stated against what the whole case showed in the end.

Whether a fault was there is itself a probability, the one that every page of the closed case leaves. Scores are expectations
over it. So they are as good as the proofs: a case that is proved leaves little doubt, others are not scored.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.believing import believe
from tipward.diagnosis.counting import tells
from tipward.diagnosis.network import Floats
from tipward.faults import Catalogue
from tipward.model import Calibration, Case, HowOften, Opened, Page, Repair

EDGES = (0.0, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95, 1.0)
SUREST = 1e-6  # nothing is taken as stated surer than this: a log score knows no mercy
DOUBTFUL = (0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Scored:
    """Sums over stated suspicions, a row for each step of ``EDGES``: of, said, found, Brier, log score, unsettled."""

    sums: tuple[tuple[float, ...], ...]
    cases: int = 1


def scored(said: Sequence[float] | Floats, true: Sequence[float] | Floats) -> Scored:
    """Score stated suspicions.

    Parameters
    ----------
    said : array
        Stated probabilities [1].
    true : array
        Whether it was so: 1, 0, or the probability of it [1].

    Returns
    -------
    Scored
        Sums that may be added up.

    Raises
    ------
    Nothing.

    Source: Brier 1950 (squared error); Good 1952 (log score); reliability table as Murphy 1973.

    >>> scored([0.5], [1.0]).sums[4][:4]
    (1.0, 0.5, 1.0, 0.25)
    """
    p, y = np.asarray(said, dtype=float), np.asarray(true, dtype=float)
    step = np.clip(np.searchsorted(EDGES, p, side="right") - 1, 0, len(EDGES) - 2)
    sure = np.clip(p, SUREST, 1 - SUREST)
    brier = y * (1 - p) ** 2 + (1 - y) * p**2
    surprise = -(y * np.log(sure) + (1 - y) * np.log1p(-sure))
    unsettled = (y > DOUBTFUL[0]) & (y < DOUBTFUL[1])
    columns = np.stack([np.ones_like(p), p, y, brier, surprise, unsettled.astype(float)])
    sums = [np.bincount(step, column, len(EDGES) - 1) for column in columns]
    return Scored(tuple(tuple(float(value) for value in row) for row in np.stack(sums, axis=1)))


def calibrated(parts: Iterable[Scored]) -> Calibration | None:
    """Add up scores of cases into the reliability table and the scores over all.

    Parameters
    ----------
    parts : iterable of Scored
        Scores of the cases.

    Returns
    -------
    Calibration or None
        None where nothing was stated.

    Raises
    ------
    Nothing.

    Source: expected calibration error as Naeini, Cooper & Hauskrecht 2015, with the steps of ``EDGES``.

    >>> calibrated([scored([0.5, 0.5], [1.0, 0.0])]).brier
    0.25
    """
    known = list(parts)
    sums = np.array([part.sums for part in known], dtype=float).reshape(len(known), len(EDGES) - 1, 6).sum(axis=0)
    of = sums[:, 0]
    if not of.sum():
        return None
    rows = tuple(
        HowOften(low, high, float(row[1] / row[0]), float(row[2]), int(row[0]))
        for low, high, row in zip(EDGES, EDGES[1:], sums, strict=False)
        if row[0]
    )
    gap, inside = np.abs(sums[:, 1] - sums[:, 2]), slice(1, -1)
    between = max(float(of[inside].sum()), 1.0)
    return Calibration(
        rows,
        float(sums[:, 3].sum() / of.sum()),
        float(sums[:, 4].sum() / of.sum()),
        float(gap.sum() / of.sum()),
        float(gap[inside].sum() / between),
        float(sums[inside, 5].sum() / between),
        int(of.sum()),
        sum(part.cases for part in known),
    )


def stated(
    case: Case, whole: Catalogue, at: Callable[[Page], Catalogue], first_repair_only: bool = False
) -> tuple[Floats, Floats]:
    """What a closed case stated after each page, and how likely it was so by what the whole case shows.

    Parameters
    ----------
    case : Case
        A closed case.
    whole : Catalogue
        The catalogue that looks back.
    at : callable
        The catalogue with which the shop judged when a page was written.
    first_repair_only : bool
        Only what was stated last before the first repair.

    Returns
    -------
    tuple of array and array
        Stated probabilities and how likely each was so [1]; what was stated after the last finding, repair or proof
        is left out, since nothing came after it to test it.

    Raises
    ------
    NotKnownError
        A page names something that a catalogue does not hold.

    Source: design (docs/decisions/0013).

    >>> from tipward.faults import build_catalogue
    >>> stated(Case("c"), build_catalogue([]), lambda page: build_catalogue([]))[0].size
    0
    """
    ends = _ends(case, first_repair_only)
    if not ends:
        return np.array([]), np.array([])
    back = believe(whole, case, exact=True).after
    live = {page.sequence for page in case.live()}
    said, true = [], []
    for end in ends:
        belief = believe(at(case.pages[end - 1]), Case(case.id, case.pages[:end]), exact=True)
        epoch = sum(isinstance(p.entry, Repair) and p.sequence in live for p in case.pages[:end])
        seen = dict(zip(back.network.ids, back.in_epoch(epoch), strict=True))
        said.append(belief.after.marginals())
        true.append(np.array([seen.get(fault, 0.0) for fault in belief.network.ids]))
    return np.concatenate(said), np.concatenate(true)


def _ends(case: Case, first_repair_only: bool) -> list[int]:
    """After how many pages something new was stated that later pages test."""
    evidence = [n for n, page in enumerate(case.pages, 1) if tells(page)]
    opened = [n for n, page in enumerate(case.pages, 1) if isinstance(page.entry, Opened)]
    if not evidence or not opened:
        return []
    start = max(evidence[0] - 1, opened[0])
    if first_repair_only:
        repairs = [n for n, page in enumerate(case.pages, 1) if isinstance(page.entry, Repair)]
        return [max(repairs[0] - 1, start)] if repairs else []
    return [start, *(n for n in evidence[:-1] if n > start)]
