"""Adding to a case: each entry is checked against the catalogue and saved before it is judged."""

from dataclasses import replace

from tipward.faults import Catalogue
from tipward.foundation import InputError, Problem
from tipward.model import (
    Cannot,
    Case,
    Entry,
    Finding,
    Moved,
    Opened,
    Place,
    ProofTest,
    Repair,
    TakenBack,
)
from tipward.planning import prove
from tipward.tasks.baselines import baseline_of
from tipward.tasks.opening import declare, key_or_new
from tipward.tasks.shop import Shop


def add(
    shop: Shop, case_id: str, entry: Entry, key: str | None = None, after: int | None = None, author: str = ""
) -> Case:
    """Add one entry to a case: checked against the catalogue, saved before the call returns.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    entry : Entry
        Finding, Cannot, TakenBack, Repair, Moved, ProofTest or Closed.
    key : str, optional
        Idempotency key: the same key again changes nothing.
    after : int, optional
        Last page that the writer saw; pages written since raise a ConflictError.
    author : str
        Who writes.

    Returns
    -------
    Case
        With the new page.

    Raises
    ------
    InputError
        The entry names an unknown check, outcome or action, a page that is not there, or a reading that is none.
    ConflictError
        Somebody else wrote since ``after``.
    NotKnownError
        No such case.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> add(shop, case.id, Finding("look-tip", "no such outcome"))
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: finding: 1 problem
    ...
    """
    case = shop.book.case(case_id)
    if key is not None and any(page.key == key for page in case.pages):
        return case  # a double tap: what was checked then is not checked against what came since
    problems = list(_problems(shop.catalogue, case, entry))
    if problems:
        raise InputError(entry.kind, problems)
    if isinstance(entry, ProofTest):
        entry = _with_verdict(shop, case, entry)
    saved = key_or_new(key)
    case = shop.book.append(case.id, entry, saved, author, after)
    if isinstance(entry, Repair) and entry.path is not None:
        case = declare(shop, case, entry.path, saved)
    return case


def _problems(catalogue: Catalogue, case: Case, entry: Entry) -> list[Problem]:
    if isinstance(entry, Finding):
        return _finding_problems(catalogue, entry)
    if isinstance(entry, Repair) and entry.action not in catalogue.actions:
        return [Problem("action", f"{entry.action!r} is no action", "see the actions in docs/catalogue.md")]
    if isinstance(entry, Cannot) and entry.what not in {*catalogue.checks, *catalogue.actions, "proof"}:
        return [Problem("what", f"{entry.what!r} is no check or action", "see docs/catalogue.md")]
    if isinstance(entry, TakenBack):
        known = [page.sequence for page in case.live() if page.sequence > 1]
        if entry.sequence not in known:
            return [Problem("sequence", f"page {entry.sequence} cannot be taken back", f"one of {known}")]
    if isinstance(entry, Opened):
        return [Problem("kind", "a case is opened once", "open another case")]
    return []


def _finding_problems(catalogue: Catalogue, entry: Finding) -> list[Problem]:
    check = catalogue.checks.get(entry.check)
    if check is None:
        return [Problem("check", f"{entry.check!r} is no check", "see the checks in docs/catalogue.md")]
    if check.reading is not None:
        wrong = [value for value in entry.readings if not value >= 0]
        if not entry.readings or wrong:
            return [
                Problem(
                    "readings", "must be numbers of 0 or more", f"give them in {check.reading.unit or 'plain numbers'}"
                )
            ]
        return []
    known = [outcome.id for outcome in check.outcomes]
    if entry.outcome not in known:
        return [Problem("outcome", f"{entry.outcome!r} is no outcome of {check.id}", f"one of {', '.join(known)}")]
    return []


def _with_verdict(shop: Shop, case: Case, entry: ProofTest) -> ProofTest:
    """The proof readings with what they amount to: "passes" 1 or 0 as soon as every target is read or one fails."""
    read = {name: values for name, values in entry.readings if name != "passes"}
    wanted = prove(shop.catalogue, case, baseline_of(shop, case)).targets
    unknown = [
        Problem(name, "is no target of this proof", f"one of {', '.join(t.id for t in wanted)}")
        for name in read
        if name not in {target.id for target in wanted}
    ]
    wrong = [
        Problem(name, "must be numbers of 0 or more", "read again")
        for name, values in read.items()
        if not values or any(not value >= 0 for value in values)
    ]
    if unknown or wrong:
        raise InputError("proof", [*unknown, *wrong])
    trial = _trial(case, ProofTest(tuple(read.items())))
    met = [target.met for target in prove(shop.catalogue, trial, baseline_of(shop, case)).targets]
    passes = {True: (("passes", (1.0,)),), False: (("passes", (0.0,)),)}
    verdict = passes[False] if False in met else passes[True] if None not in met else ()
    return ProofTest((*read.items(), *verdict))


def _trial(case: Case, entry: Entry) -> Case:
    last = case.pages[-1]
    page = replace(last, sequence=last.sequence + 1, key=f"{last.key}:trial", entry=entry)
    return case.with_page(page)


def move(shop: Shop, case_id: str, place: Place, key: str | None = None) -> Case:
    """Go on at another place or with other tools.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    place : Place
        Where, and what is at hand there.
    key : str, optional
        Idempotency key.

    Returns
    -------
    Case
        With the new page.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> move(shop, open_case(shop, FeedPath(), ("burns-back",)).id, Place("phone")).place().at
    'phone'
    """
    return add(shop, case_id, Moved(place), key)
