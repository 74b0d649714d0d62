"""A catalogue as closed cases teach it: always a new one made from the catalogue as loaded, so that taking back is leaving out."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256

from tipward.diagnosis.network import LEAST_FALSE
from tipward.diagnosis.shrinking import Shrunk, Step, moved, odds, steps
from tipward.faults import Catalogue, Check, Condition, Fault
from tipward.faults.nouns import Raise
from tipward.model import ChangedNumber, Counts

MOST_LIKELY = 0.95  # no prior is learned above this, as none is raised above it by the path
LEAST_LIKELY = 1e-6
MOST_SHOWN = 0.995
WORDS = {"gun.kind": "machine", "wire.wire_class": "wire"}


def taught(catalogue: Catalogue, counts: Counts) -> Catalogue:
    """Apply counts to a catalogue.

    Parameters
    ----------
    catalogue : Catalogue
        As loaded.
    counts : Counts
        What closed cases say.

    Returns
    -------
    Catalogue
        A new one with moved odds and reliabilities; the same one where the counts move nothing.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> from tipward.faults import load_catalogue
    >>> taught(load_catalogue(), Counts()) is load_catalogue()
    True
    """
    todo = steps(counts)
    if not todo:
        return catalogue
    by_fault: dict[str, list[Step]] = {}
    for step in todo:
        if step.kind == "odds":
            by_fault.setdefault(step.key, []).append(step)
    faults = {key: _fault(fault, by_fault.get(key, ())) for key, fault in catalogue.faults.items()}
    shows, false = _chains(todo, "shows"), _chains(todo, "false")
    checks = {key: _check(check, _chain(false, key)) for key, check in catalogue.checks.items()}
    shown = {key: _shown(faults, _chain(shows, key)) for key, faults in catalogue.shown.items()}
    return replace(catalogue, faults=faults, checks=checks, shown=shown)


def changed_numbers(catalogue: Catalogue, counts: Counts) -> tuple[ChangedNumber, ...]:
    """List every number that counts would change, with before and after.

    Parameters
    ----------
    catalogue : Catalogue
        As loaded.
    counts : Counts
        What closed cases say.

    Returns
    -------
    tuple of ChangedNumber
        Faults first; ``before`` of a path's own number is what holds for all paths.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> from tipward.faults import load_catalogue
    >>> changed_numbers(load_catalogue(), Counts())
    ()
    """
    return tuple(_changes(catalogue, steps(counts)))


def catalogue_mark(catalogue: Catalogue) -> str:
    """A mark of the numbers of a catalogue against which counts are taken: counts of another one expect something else.

    Parameters
    ----------
    catalogue : Catalogue
        As loaded.

    Returns
    -------
    str
        Twelve hexadecimal digits.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0013).

    >>> from tipward.faults import load_catalogue
    >>> len(catalogue_mark(load_catalogue()))
    12
    """
    faults = [(f.id, f.prior, f.raised_by, sorted(f.complaints.items())) for f in catalogue.faults.values()]
    checks = [
        (c.id, sorted(c.false.items()), sorted(catalogue.shown.get(c.id, {}).items()))
        for c in catalogue.checks.values()
    ]
    return sha256(repr((sorted(faults, key=str), sorted(checks, key=str))).encode()).hexdigest()[:12]


def _chains(todo: Sequence[Step], kind: str) -> Mapping[str, tuple[Shrunk, ...]]:
    chains: dict[str, tuple[Shrunk, ...]] = {}
    for step in todo:
        if step.kind == kind:
            chains[step.key] = (*chains.get("", ()), step.shrunk)
    return chains


def _chain(chains: Mapping[str, tuple[Shrunk, ...]], key: str) -> tuple[Shrunk, ...]:
    return chains.get(key, chains.get("", ()))


def _along(chance: float, chain: Sequence[Shrunk]) -> float:
    for step in chain:
        chance = moved(chance, step)
    return min(max(chance, LEAST_LIKELY), MOST_SHOWN)


def _prior(before: float, step: Shrunk) -> float:
    if before >= 1:
        return before
    now = odds(before) * step.times
    return min(max(now / (1 + now), LEAST_LIKELY), max(before, MOST_LIKELY))


def _fault(fault: Fault, todo: Sequence[Step]) -> Fault:
    for step in todo:
        if step.field:
            reason = f"Learned: found {step.found:.1f} times, {step.expected:.1f} expected, in {step.of:.0f} cases."
            condition = Condition(step.field, any_of=(step.value,))
            fault = replace(fault, raised_by=(*fault.raised_by, Raise(condition, step.shrunk.times, reason)))
        else:
            fault = replace(fault, prior=_prior(fault.prior, step.shrunk))
    return fault


def _check(check: Check, chain: Sequence[Shrunk]) -> Check:
    """The check with its false alarms moved; what shows without cause keeps its proportions."""
    if not chain or check.reading is not None:
        return check
    before = {outcome.id: max(check.false.get(outcome.id, 0.0), LEAST_FALSE) for outcome in check.outcomes[1:]}
    return replace(check, false=_scaled(before, chain))


def _shown(faults: Mapping[str, Mapping[str, float]], chain: Sequence[Shrunk]) -> Mapping[str, Mapping[str, float]]:
    return {fault: _scaled(outcomes, chain) for fault, outcomes in faults.items()} if chain else faults


def _scaled(outcomes: Mapping[str, float], chain: Sequence[Shrunk]) -> Mapping[str, float]:
    """The chances of the outcomes, their sum moved along the chain, their proportions kept."""
    whole = sum(outcomes.values())
    if not 0 < whole < MOST_SHOWN:
        return outcomes
    return {key: chance * _along(whole, chain) / whole for key, chance in outcomes.items()}


def _changes(catalogue: Catalogue, todo: Sequence[Step]) -> Iterator[ChangedNumber]:
    base: dict[str, float] = {key: fault.prior for key, fault in catalogue.faults.items()}
    for step in todo:
        counts, shrunk = (step.found, step.expected, step.of), step.shrunk
        where = f"{WORDS[step.field]} {step.value}" if step.field else ""
        if step.kind != "odds":
            name = catalogue.checks[step.key].name if step.key in catalogue.checks else ""
            if name or not step.key:
                numbers = (shrunk.before, shrunk.after, shrunk.low, shrunk.high)
                yield ChangedNumber(step.kind, step.key, name or "all checks together", where, *numbers, *counts)
        elif step.key in base:
            before = base[step.key]
            ends = (replace(shrunk, after=end) for end in (shrunk.after, shrunk.low, shrunk.high))
            after, low, high = (_prior(before, end) for end in ends)
            yield ChangedNumber(
                "odds", step.key, catalogue.faults[step.key].name, where, before, after, low, high, *counts
            )
            base[step.key] = before if step.field else after
