"""From the pages of a case to what the engine multiplies: terms (findings) and repairs, in epochs between repairs."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tipward.diagnosis.network import Bools, CheckNumbers, Floats, Ints, Network, declared, softened
from tipward.diagnosis.touch import touching
from tipward.faults import PROOF, Catalogue
from tipward.foundation import NotKnownError
from tipward.model import Case, FeedPath, Finding, Opened, Page, ProofTest, Repair


@dataclass(frozen=True, slots=True)
class Term:
    """Likelihood of one finding: top - bottom, each a leak times a product over the present ``faults``."""

    page: int
    name: str
    epoch: int
    faults: Ints
    top_leak: float
    top: Floats
    bottom_leak: float
    bottom: Floats


@dataclass(frozen=True, slots=True)
class Measured:
    """Readings of one measured check (SI), with the path on which they were taken."""

    page: int
    check: str
    epoch: int
    readings: tuple[float, ...]
    path: FeedPath


@dataclass(frozen=True, slots=True)
class Mending:
    """One repair between two epochs: chance that it clears each fault, and that it brings one in."""

    page: int
    action: str
    clears: tuple[tuple[int, float], ...]
    causes: tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that the pages of a case say: terms, readings, repairs, and which answers were overruled by a later one."""

    terms: tuple[Term, ...]
    measured: tuple[Measured, ...]
    mendings: tuple[Mending, ...]
    overruled: tuple[tuple[Page, Page], ...]


def term_of(numbers: CheckNumbers, outcome: int, page: int, name: str, epoch: int) -> Term:
    """The term of one outcome of a check."""
    count = len(numbers.faults)
    if outcome == 0:
        return Term(page, name, epoch, numbers.faults, numbers.leak[0], numbers.shown[:, 0], 0.0, np.zeros(count))
    return Term(
        page,
        name,
        epoch,
        numbers.faults,
        float(numbers.leak[outcome]),
        numbers.shown[:, outcome],
        float(numbers.leak[outcome - 1]),
        numbers.shown[:, outcome - 1],
    )


def log_likelihood_of(term: Term, present: Bools) -> Floats:
    """Log likelihood of a finding under each fault set; ``present`` (sets, N, E) says what each holds in each epoch."""
    on = present[:, term.faults, term.epoch].astype(float)
    top = term.top_leak * np.exp(on @ np.log(np.maximum(term.top, 1e-300)))
    bottom = term.bottom_leak * np.exp(on @ np.log(np.maximum(term.bottom, 1e-300)))
    found: Floats = np.log(np.maximum(top - bottom, 1e-300))
    return found


def evidence(catalogue: Catalogue, network: Network, case: Case) -> Evidence:
    """Read the live pages of a case.

    Parameters
    ----------
    catalogue : Catalogue
        The catalogue.
    network : Network
        Its numbers for the path of the case.
    case : Case
        The case.

    Returns
    -------
    Evidence
        Terms, readings and repairs by epoch; where one check was answered twice with nothing changed between, the last holds.

    Raises
    ------
    NotKnownError
        A page names a check, outcome, complaint or action that the catalogue does not hold.

    Source: docs/decisions/0008.

    >>> from tipward.diagnosis.network import build_network
    >>> from tipward.faults import build_catalogue
    >>> empty = build_catalogue([])
    >>> evidence(empty, build_network(empty, FeedPath()), Case("c")).terms
    ()
    """
    mendings: list[Mending] = []
    answers: dict[tuple[str, int], tuple[Page, Term | Measured]] = {}
    holding: dict[str, tuple[str, int]] = {}
    overruled: list[tuple[Page, Page]] = []
    path = FeedPath()
    for page in case.live():
        if isinstance(page.entry, Opened):
            path = page.entry.path
        if isinstance(page.entry, Repair):
            mendings.append(_mending(catalogue, network, page.sequence, page.entry))
            path = page.entry.path or path
        for name, item in _items(catalogue, network, page, len(mendings), path):
            before = holding.get(name)
            if before is not None and not _mended_between(catalogue, network, name, mendings[before[1] :]):
                old = answers.pop(before)
                if _differs(old[1], item):
                    overruled.append((old[0], page))
            holding[name] = (name, len(mendings))
            answers[holding[name]] = (page, item)
    items = [item for _, item in answers.values()]
    terms = tuple(item for item in items if isinstance(item, Term))
    return Evidence(
        terms, tuple(item for item in items if isinstance(item, Measured)), tuple(mendings), tuple(overruled)
    )


def _mended_between(catalogue: Catalogue, network: Network, name: str, mendings: list[Mending]) -> bool:
    """Whether a repair since touched a fault that this check can notice: else asking again adds nothing."""
    if name in network.checks and network.checks[name].history:
        return False
    if name in network.checks:
        near = {int(fault) for fault in network.checks[name].faults}
    elif name in catalogue.checks:
        near = {network.index[f] for f in touching(catalogue.checks[name], catalogue.faults)}
    else:
        near = {network.index[name.removeprefix("match:")]}
    return any(fault in near for item in mendings for fault, _ in (*item.clears, *item.causes))


def _items(
    catalogue: Catalogue, network: Network, page: Page, epoch: int, path: FeedPath
) -> Iterator[tuple[str, Term | Measured]]:
    entry = page.entry
    if isinstance(entry, Opened):
        for complaint in entry.complaints:
            name = f"says:{complaint}"
            if name not in network.checks:
                raise NotKnownError(f"no complaint {complaint!r}; see the complaints in docs/catalogue.md")
            yield name, term_of(network.checks[name], 1, page.sequence, name, epoch)
    if isinstance(entry, ProofTest):
        passed = proof_outcome(entry)
        if passed is not None:
            yield PROOF, term_of(network.checks[PROOF], 1 - passed, page.sequence, PROOF, epoch)
    if isinstance(entry, Finding):
        yield entry.check, _finding(catalogue, network, page.sequence, entry, epoch, path)


def proof_outcome(entry: ProofTest) -> int | None:
    """1 passed, 0 failed, None where it says nothing yet: what the page itself noted under "passes"."""
    said = dict(entry.readings).get("passes")
    return None if not said else int(said[0] >= 0.5)


def _finding(
    catalogue: Catalogue, network: Network, page: int, entry: Finding, epoch: int, path: FeedPath
) -> Term | Measured:
    if entry.check.startswith("match:"):
        return _declared(network, page, entry, epoch)
    check = catalogue.check(entry.check)
    if check.reading is not None:
        if not entry.readings:
            raise NotKnownError(
                f"check {check.id!r} is measured; give readings in {check.reading.unit or 'plain numbers'}"
            )
        return Measured(page, check.id, epoch, entry.readings, path)
    numbers = network.checks[check.id]
    if entry.outcome not in numbers.outcomes:
        raise NotKnownError(
            f"check {check.id!r} has no outcome {entry.outcome!r}; it has {', '.join(numbers.outcomes)}"
        )
    if entry.by == "customer":
        numbers = softened(numbers)
    return term_of(numbers, numbers.outcomes.index(entry.outcome), page, check.id, 0 if numbers.history else epoch)


def _declared(network: Network, page: int, entry: Finding, epoch: int) -> Term:
    fault = entry.check.removeprefix("match:")
    if fault not in network.index:
        raise NotKnownError(f"no fault {fault!r}; see the faults in docs/catalogue.md")
    reliability = entry.readings[0] if entry.readings else 0.95
    numbers = declared(network.index[fault], reliability)
    return term_of(numbers, int(entry.outcome == "mismatch"), page, entry.check, epoch)


def _mending(catalogue: Catalogue, network: Network, page: int, entry: Repair) -> Mending:
    if entry.action not in catalogue.actions:
        raise NotKnownError(f"no action {entry.action!r}; see the actions in docs/catalogue.md")
    action = catalogue.actions[entry.action]
    return Mending(
        page,
        action.id,
        tuple((network.index[item.fault], item.success) for item in action.clears),
        tuple((network.index[item.fault], item.probability) for item in action.may_cause),
    )


def _differs(old: Term | Measured, new: Term | Measured) -> bool:
    if isinstance(old, Term) and isinstance(new, Term):
        return not (old.top_leak == new.top_leak and np.array_equal(old.top, new.top))
    if isinstance(old, Measured) and isinstance(new, Measured):
        low, high = sorted((float(np.mean(old.readings)), float(np.mean(new.readings))))
        return high > 1.5 * max(low, 1e-12)
    return True
