"""The guided case: open, answer, take back, repair, prove, close. Each step is saved before it is judged."""

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from tipward.diagnosis import describe_check, fixes, judge, next_step, proof_passed, prove, set_out
from tipward.faults import Catalogue, load_catalogue, understand
from tipward.foundation import InputError, NotKnownError, Problem
from tipward.matching import fit as fit_of
from tipward.model import (
    Cannot,
    Case,
    CaseView,
    Closed,
    Entry,
    FeedPath,
    Finding,
    Moved,
    NextCheck,
    Opened,
    Place,
    ProofTest,
    Repair,
    TakenBack,
)
from tipward.records import Casebook, open_casebook


class Shop:
    """A casebook with the catalogue that this shop uses: the handle that every door passes to the tasks.

    The casebook is opened, and made where there is none, when it is first needed: what is refused writes nothing.
    """

    def __init__(self, casebook: str | Path, catalogue: Catalogue) -> None:
        self.casebook, self.catalogue = casebook, catalogue

    @cached_property
    def book(self) -> Casebook:
        """The open casebook; RecordError where it cannot be opened."""
        return open_casebook(self.casebook)


def open_shop(casebook: str | Path, own: Sequence[Path] = ()) -> Shop:
    """Open the casebook of a shop, with its own catalogue files beside the shipped ones.

    Parameters
    ----------
    casebook : str or Path
        SQLite file (made where there is none) or PostgreSQL URL.
    own : sequence of Path
        The shop's own catalogue files.

    Returns
    -------
    Shop
        Handle for the other tasks.

    Raises
    ------
    CatalogueError
        Every problem of the catalogue files. A casebook that cannot be opened raises RecordError at its first use.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> len(shop.catalogue.faults) > 25
    True
    """
    return Shop(casebook, load_catalogue(*own))


def _key(key: str | None) -> str:
    return key or secrets.token_hex(8)


def open_case(
    shop: Shop,
    path: FeedPath,
    complaints: Sequence[str] = (),
    words: str = "",
    place: Place | None = None,
    rig: str = "",
    customer: str = "",
    key: str | None = None,
    author: str = "",
) -> Case:
    """Open a case: save the path and the complaint, then what the set-up already declares.

    Parameters
    ----------
    shop : Shop
        The shop.
    path : FeedPath
        The path as it came.
    complaints : sequence of str
        Complaint ids.
    words : str
        The customer's own words; complaints are read out of them too.
    place : Place, optional
        Where, with which tools, spares and qualification; none assumed.
    rig, customer : str
        Names of the shop's own.
    key : str, optional
        Idempotency key; the same key opens one case only.
    author : str
        Who writes.

    Returns
    -------
    Case
        With its first pages.

    Raises
    ------
    InputError
        A complaint id that the catalogue does not hold; all are named.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> open_case(shop, FeedPath(), words="the wire slips").opened().complaints[0]
    'slips-or-surges'
    """
    wrong = [item for item in complaints if item not in shop.catalogue.complaints]
    if wrong:
        known = ", ".join(shop.catalogue.complaints)
        raise InputError("complaint", [Problem(item, "is no complaint", f"one of {known}") for item in wrong])
    heard = tuple(dict.fromkeys([*complaints, *understand(shop.catalogue, words)]))
    entry = Opened(path, heard, place or Place(), words, rig, customer)
    first = _key(key)
    case = shop.book.new_case(entry, first, author)
    return _declare(shop, case, path, first)


def _declare(shop: Shop, case: Case, path: FeedPath, key: str) -> Case:
    """Save what the set-up declares: each mismatch as a finding with its own reliability."""
    for mismatch in fit_of(path).mismatches:
        if mismatch.fault in shop.catalogue.faults:
            entry = Finding(f"match:{mismatch.fault}", "mismatch", (mismatch.reliability,), "declared", mismatch.what)
            case = shop.book.append(case.id, entry, f"{key}:{mismatch.fault}")
    return case


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
    saved = _key(key)
    case = shop.book.append(case.id, entry, saved, author, after)
    if isinstance(entry, Repair) and entry.path is not None:
        case = _declare(shop, case, entry.path, saved)
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
    wanted = prove(shop.catalogue, case, _baseline(shop, case)).targets
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
    met = [target.met for target in prove(shop.catalogue, trial, _baseline(shop, case)).targets]
    passes = {True: (("passes", (1.0,)),), False: (("passes", (0.0,)),)}
    verdict = passes[False] if False in met else passes[True] if None not in met else ()
    return ProofTest((*read.items(), *verdict))


def _trial(case: Case, entry: Entry) -> Case:
    last = case.pages[-1]
    page = replace(last, sequence=last.sequence + 1, key=f"{last.key}:trial", entry=entry)
    return case.with_page(page)


def _baseline(shop: Shop, case: Case) -> Mapping[str, float]:
    rig = case.opened().rig
    found = shop.book.baselines(rig) if rig else ()
    return dict(found[-1].readings) if found else {}


def view(shop: Shop, case_id: str, explain: bool = True) -> CaseView:
    """Everything that is shown of a case.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    explain : bool
        With reasons and doubts.

    Returns
    -------
    CaseView
        Case, judgement, next step, fixes, proof.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design.

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> view(shop, case.id).next_step.what in {"check", "fix"}
    True
    """
    return see(shop, shop.book.case(case_id), explain)


def see(shop: Shop, case: Case, explain: bool = True) -> CaseView:
    """Everything that is shown of a case already read; see ``view``."""
    judgement = judge(shop.catalogue, case, explain)
    board = set_out(shop.catalogue, case)
    step = next_step(shop.catalogue, case, board.belief)
    proof = prove(shop.catalogue, case, _baseline(shop, case))
    return CaseView(case, judgement, step, fixes(shop.catalogue, board), proof)


def close_case(
    shop: Shop, case_id: str, note: str = "", key: str | None = None, after: int | None = None, author: str = ""
) -> Case:
    """Close a case: as proved where the rules of proof hold, else for service or with an open end, and why.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    note : str
        Why, where it is not proved.
    key : str, optional
        Idempotency key: the same key again changes nothing.
    after : int, optional
        Last page that the writer saw; pages written since raise a ConflictError.
    author : str
        Who writes.

    Returns
    -------
    Case
        Closed.

    Raises
    ------
    ConflictError
        Somebody else wrote since ``after``.
    NotKnownError
        No such case.

    Source: rules of proof (docs/explanation/proof.md), common practice.

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> close_case(shop, open_case(shop, FeedPath(), ("burns-back",)).id).closed().how
    'open end'
    """
    case = shop.book.case(case_id)
    proof = prove(shop.catalogue, case, _baseline(shop, case))
    sent = any(
        isinstance(page.entry, Repair) and shop.catalogue.actions[page.entry.action].kind == "service"
        for page in case.live()
    )
    if proof.proved and proof_passed(case):
        how = Closed("proved", note)
    elif sent or next_step(shop.catalogue, case).what == "service":
        how = Closed("service", note or "; ".join(proof.missing))
    else:
        how = Closed("open end", note or "; ".join(proof.missing))
    return shop.book.append(case.id, how, _key(key), author, after)


def look_up_check(shop: Shop, case_id: str, check: str) -> NextCheck:
    """Describe any check by name for "I looked at something else".

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    check : str
        Check id.

    Returns
    -------
    NextCheck
        As it would be shown if it were next.

    Raises
    ------
    NotKnownError
        No such check, or it cannot be done now and why.

    Source: design.

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> look_up_check(shop, open_case(shop, FeedPath(), ("burns-back",)).id, "look-tip").station
    'contact-tip'
    """
    case = shop.book.case(case_id)
    known = shop.catalogue.check(check)
    board = set_out(shop.catalogue, case)
    if check not in board.checks:
        raise NotKnownError(f"check {check!r} cannot be done now (place, tools, or already answered)")
    return describe_check(shop.catalogue, board, known)


def checks_now(shop: Shop, case_id: str) -> tuple[tuple[str, str], ...]:
    """List the checks that can be done now, for "I looked at something else".

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.

    Returns
    -------
    tuple of (str, str)
        Check id and name.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design.

    >>> import tempfile
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> len(checks_now(shop, open_case(shop, FeedPath(), ("burns-back",)).id)) > 5
    True
    """
    board = set_out(shop.catalogue, shop.book.case(case_id))
    return tuple((check.id, check.name) for check in board.checks.values())


def move(shop: Shop, case_id: str, place: Place, key: str | None = None) -> Case:
    """Go on at another place or with other tools; see ``add``."""
    return add(shop, case_id, Moved(place), key)
