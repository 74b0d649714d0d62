"""How far counts may move a number: Beta beliefs that begin at the catalogue's value and go no further than the counts reach.

A number p with the worth of w cases becomes (w·p + found) / (w + of). It always lies between the catalogue's value and what
was found, and nearer to the catalogue the fewer the cases.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.special import betaincinv

from tipward.model import Counts, Tally
from tipward.model.learning import What

# All judgement: the catalogue's numbers come mostly from practice and memory, right to a factor of about two.
OCCURRENCES = 2.0  # odds of a fault, false alarms of one check: worth what so many occurrences tell
FALSE_ALARMS = 20.0  # false alarms of all checks together: worth what so many of them tell
EVERY_CHECK = 40.0  # what checks show, all together: worth so many findings
ONE_CHECK = 20.0  # what one check shows, beside all checks: worth so many findings
NEAREST = 1e-9  # to 0 or 1
LEAST_FINDINGS = 0.5  # fewer move no number of their own
INSIDE = (0.05, 0.95)
Where = Literal["", "gun.kind", "wire.wire_class"]
LEVELS: tuple[tuple[Where, str], ...] = (("gun.kind", "machine"), ("wire.wire_class", "wire"))


@dataclass(frozen=True, slots=True)
class Shrunk:
    """A number before and after [1], and where 90 % of the belief about it lies."""

    before: float
    after: float
    low: float
    high: float

    @property
    def times(self) -> float:
        """Factor on the odds."""
        return odds(self.after) / odds(self.before)


@dataclass(frozen=True, slots=True)
class Step:
    """One number moved: on every path, or only where ``field`` is ``value``; ``key`` "" stands for all checks."""

    kind: What
    key: str
    field: Where
    value: str
    shrunk: Shrunk
    found: float
    expected: float
    of: float


def odds(chance: float) -> float:
    """Odds of a probability, finite at its ends."""
    inside = min(max(chance, NEAREST), 1 - NEAREST)
    return inside / (1 - inside)


def worth(before: float, occurrences: float) -> float:
    """Cases that tell as much of the odds as so many occurrences of something rare: a case that is all but certain tells little."""
    return occurrences / max(before * (1 - before), NEAREST)


def shrunk(before: float, cases: float, found: float, of: float) -> Shrunk:
    """Move a number by counts: the mean of a Beta belief.

    Parameters
    ----------
    before : float
        The number [1], between 0 and 1.
    cases : float
        How many cases it is worth [1].
    found, of : float
        Found so often, of so many [1].

    Returns
    -------
    Shrunk
        Before, after, and the band that holds 90 % of the belief.

    Raises
    ------
    Nothing.

    Source: Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 2.4 (Beta and binomial, conjugate).

    >>> shrunk(0.1, 20.0, 3.0, 10.0).after
    0.16666666666666666
    """
    yes, no = cases * before + found, cases * (1 - before) + max(of - found, 0.0)
    low, high = betaincinv(yes, no, INSIDE)
    return Shrunk(before, yes / (yes + no), float(low), float(high))


def moved(chance: float, step: Shrunk) -> float:
    """A probability moved like another: downwards in proportion, upwards so that what is missed shrinks in proportion.

    >>> moved(0.9, Shrunk(0.8, 0.6, 0.5, 0.7)), moved(0.5, Shrunk(0.8, 0.9, 0.8, 0.95))
    (0.675, 0.75)
    """
    if step.after <= step.before:
        return chance * step.after / step.before
    return 1 - (1 - chance) * (1 - step.after) / (1 - step.before)


def steps(counts: Counts) -> tuple[Step, ...]:
    """Every number that the counts move, in the order in which they are to be moved.

    Parameters
    ----------
    counts : Counts
        What was found and what was expected.

    Returns
    -------
    tuple of Step
        Faults on every path, then by family of machine, then by wire class; all checks, then each.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013); found over expected with a Gamma-like prior as in Clayton & Kaldor 1987.

    >>> steps(Counts())
    ()
    """
    by_fault: dict[str, list[Tally]] = {}
    for tally in counts.tallies:
        if tally.kind == "odds":
            by_fault.setdefault(tally.key, []).append(tally)
    found = [step for fault in sorted(by_fault) for step in _odds_steps(by_fault[fault])]
    for kind in ("shows", "false"):
        found += _check_steps([tally for tally in counts.tallies if tally.kind == kind])
    return tuple(found)


def _odds_steps(cells: Sequence[Tally]) -> Iterator[Step]:
    """Each level sees only what the one before it leaves unexplained; a level of one kind only would say it twice."""
    whole = _step(cells, "", "")
    if whole is None:
        return
    yield whole
    cells = [_expecting(cell, whole.shrunk) for cell in cells]
    for field, name in LEVELS:
        values = sorted({getattr(cell, name) for cell in cells})
        if len(values) < 2:
            continue
        for value in filter(None, values):
            step = _step([cell for cell in cells if getattr(cell, name) == value], field, value)
            if step is not None:
                yield step
                cells = [_expecting(c, step.shrunk) if getattr(c, name) == value else c for c in cells]


def _step(tallies: Sequence[Tally], field: Where, value: str) -> Step | None:
    found, expected, of = _sums(tallies)
    if not 0 < expected < of:
        return None
    first, before = tallies[0], expected / of
    belief = shrunk(before, worth(before, OCCURRENCES), found, of)
    return Step(first.kind, first.key, field, value, belief, found, expected, of)


def _expecting(cell: Tally, step: Shrunk) -> Tally:
    """A tally that expects what it would have expected with the odds as moved."""
    if not 0 < cell.expected < cell.of:
        return cell
    now = odds(cell.expected / cell.of) * step.times
    return replace(cell, expected=cell.of * now / (1 + now))


def _check_steps(tallies: Sequence[Tally]) -> Iterator[Step]:
    """All checks together, then each check beside them."""
    found, expected, of = _sums(tallies)
    if not 0 < expected < of:
        return
    kind, before = tallies[0].kind, expected / of
    prior = EVERY_CHECK if kind == "shows" else worth(before, FALSE_ALARMS)
    every = Step(kind, "", "", "", shrunk(before, prior, found, of), found, expected, of)
    yield every
    for item in sorted(tallies, key=lambda tally: tally.key):
        if item.of >= LEAST_FINDINGS and 0 < item.expected < item.of:
            now = moved(item.expected / item.of, every.shrunk)
            prior = ONE_CHECK if kind == "shows" else worth(now, OCCURRENCES)
            one = shrunk(now, prior, item.found, item.of)
            yield Step(kind, item.key, "", "", one, item.found, now * item.of, item.of)


def _sums(tallies: Iterable[Tally]) -> tuple[float, float, float]:
    rows = np.array([(item.found, item.expected, item.of) for item in tallies]).reshape(-1, 3)
    found, expected, of = rows.sum(axis=0)
    return float(found), float(expected), float(of)
