"""What closed cases say about the numbers of the catalogue: soft counts of faults that were there and of what checks showed.

No rig is taken apart to the last part, so nobody knows for sure what was wrong. A fault counts by the probability that it was
there given every page of the case: the findings, whether a repair changed anything, whether the proof passed. Beside it stands
what the catalogue expected from the complaint alone; where its odds are right, the two agree in the long run.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from math import fsum

import numpy as np

from tipward.diagnosis.believing import Belief, believe
from tipward.diagnosis.terms import Term
from tipward.faults import Catalogue
from tipward.model import Case, Counts, Finding, Opened, Page, ProofTest, Repair, Tally
from tipward.model.learning import Machine
from tipward.reference import table

LEAST = 1e-5  # counts below this are left out
DECIMALS = 9


def count_case(catalogue: Catalogue, case: Case) -> tuple[Tally, ...]:
    """Count what one closed case says.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue as loaded, nothing learned: what it expected is counted beside what was found.
    case : Case
        A closed case.

    Returns
    -------
    tuple of Tally
        Soft counts [1] for its faults and checks; none where nothing was looked at, mended or proved.

    Raises
    ------
    NotKnownError
        A page names something that the catalogue does not hold.

    Source: expectation step of Dempster, Laird & Rubin 1977 with the judgement as model; docs/decisions/0013.

    >>> from tipward.faults import build_catalogue
    >>> count_case(build_catalogue([]), Case("c"))
    ()
    """
    opening = _opening(case)
    if len(opening) == len(case.pages):
        return ()
    before = believe(catalogue, Case(case.id, opening), exact=True)
    belief = believe(catalogue, case, exact=True)
    tallies = [*_faults(case, belief, before), *_checks(catalogue, case, belief)]
    return tuple(_sum([item]) for item in tallies if max(item.found, item.expected) >= LEAST)


def merged(parts: Iterable[Counts]) -> Counts:
    """Add counts up; the order does not matter.

    Parameters
    ----------
    parts : iterable of Counts
        Counts of cases, or of shops.

    Returns
    -------
    Counts
        Their sum.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> one = Counts(2, (Tally("odds", "liner-dirty", 1.0, 0.5, 2.0),))
    >>> merged([one, one]).tallies[0].found
    2.0
    """
    known = list(parts)
    sums: dict[tuple[str, str, str, str], list[Tally]] = defaultdict(list)
    for item in (tally for part in known for tally in part.tallies):
        sums[item.kind, item.key, item.machine, item.wire].append(item)
    tallies = tuple(_sum(sums[key]) for key in sorted(sums))
    marks = tuple(sorted({mark for part in known for mark in part.catalogues}))
    return Counts(sum(part.cases for part in known), tallies, marks)


def _sum(same: list[Tally]) -> Tally:
    found, expected, of = (fsum(getattr(item, name) for item in same) for name in ("found", "expected", "of"))
    first, places = same[0], DECIMALS  # of every part too, so that sums of sums are the same
    sums = (round(found, places), round(expected, places), round(of, places))
    return Tally(first.kind, first.key, *sums, first.machine, first.wire)


def tells(page: Page) -> bool:
    """Whether a page is evidence that came after the complaint and what the set-up itself declares."""
    entry = page.entry
    return isinstance(entry, Repair | ProofTest) or (isinstance(entry, Finding) and entry.by != "declared")


def _opening(case: Case) -> tuple[Page, ...]:
    """The pages before anybody looked at anything."""
    return case.pages[: next((number for number, page in enumerate(case.pages) if tells(page)), len(case.pages))]


def _faults(case: Case, belief: Belief, before: Belief) -> Iterator[Tally]:
    machine, wire = _family(case)
    found, expected = belief.after.in_epoch(0), before.after.in_epoch(0)
    for number, fault in enumerate(belief.network.ids):
        yield Tally("odds", fault, float(found[number]), float(expected[number]), 1.0, machine, wire)


def wire_classes() -> frozenset[str]:
    """Wire classes by which odds are kept: those of the table. Any other is a word of the shop."""
    names = (row.keys["wire_class"] for row in table("wire_classes"))
    return frozenset(name for name in names if " " not in name)


def _family(case: Case) -> tuple[Machine, str]:
    """Family of machine and wire class."""
    path = next(page.entry.path for page in case.pages if isinstance(page.entry, Opened))
    key = (path.wire.wire_class or "").lower()
    return path.gun.kind, key if key in wire_classes() else ""


def _checks(catalogue: Catalogue, case: Case, belief: Belief) -> Iterator[Tally]:
    pages = {page.sequence: page.entry for page in case.pages}
    for term in belief.found.terms:
        entry = pages[term.page]
        if isinstance(entry, Finding) and entry.by in {"technician", "qualified"} and term.name in catalogue.checks:
            yield from _check(belief, term, entry)


def _check(belief: Belief, term: Term, entry: Finding) -> Iterator[Tally]:
    """Only one fault of those that this check notices was there, or none: each with the chance that it was so."""
    numbers, after = belief.network.checks[term.name], belief.after
    abnormal = float(entry.outcome != numbers.outcomes[0])
    faults = [int(fault) for fault in numbers.faults]
    none = after.none_of(faults, term.epoch)
    yield Tally("false", term.name, none * abnormal, none * float(1 - numbers.leak[0]), none)
    alone = [after.none_of([f for f in faults if f != fault], term.epoch) - none for fault in faults]
    weights = np.clip(np.array(alone), 0.0, 1.0)
    shown = 1 - numbers.leak[0] * numbers.shown[:, 0]
    if len(faults):
        yield Tally(
            "shows", term.name, float(weights.sum()) * abnormal, float(weights @ shown), min(float(weights.sum()), 1.0)
        )
