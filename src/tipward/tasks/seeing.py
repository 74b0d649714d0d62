"""Seeing a case: its judgement, the next step, the fixes and the proof so far."""

from dataclasses import replace

from tipward.diagnosis import judge
from tipward.diagnosis.believing import believe
from tipward.foundation import NotKnownError
from tipward.model import (
    Case,
    CaseView,
    Moved,
    NextCheck,
)
from tipward.planning import describe_check, fixes, next_step, prove, set_out
from tipward.tasks.baselines import baseline_of
from tipward.tasks.shop import Shop


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
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> view(shop, case.id).next_step.what in {"check", "fix"}
    True
    """
    return see(shop, shop.book.case(case_id), explain)


def see(shop: Shop, case: Case, explain: bool = True) -> CaseView:
    """Everything that is shown of a case already read.

    Parameters
    ----------
    shop : Shop
        The shop.
    case : Case
        The case.
    explain : bool
        With reasons and doubts.

    Returns
    -------
    CaseView
        Case, judgement, next step, fixes, proof.

    Raises
    ------
    Nothing.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> from tipward.tasks.opening import open_case
    >>> see(shop, open_case(shop, FeedPath(), ("burns-back",))).proof.proved
    False
    """
    stated = believe(shop.catalogue, case, exact=True)
    judgement = judge(shop.catalogue, case, explain, stated)
    board = set_out(shop.catalogue, case)
    step = next_step(shop.catalogue, case, board.belief, stated)
    proof = prove(shop.catalogue, case, baseline_of(shop, case), stated)
    return CaseView(case, judgement, step, fixes(shop.catalogue, board), proof)


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
        No such check, or it tells nothing now and why.

    Source: design.

    >>> import tempfile
    >>> from pathlib import Path
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(Path(tempfile.mkdtemp()) / "book.db")
    >>> look_up_check(shop, open_case(shop, FeedPath(), ("burns-back",)).id, "look-lead-lie").station
    'torch-lead'
    """
    known = shop.catalogue.check(check)
    board = set_out(shop.catalogue, with_everything(shop, shop.book.case(case_id)))
    if check not in board.checks:
        raise NotKnownError(f"check {check!r} tells nothing now (not on this path, already answered, or ruled out)")
    return describe_check(shop.catalogue, board, known)


def checks_now(shop: Shop, case_id: str) -> tuple[tuple[str, str], ...]:
    """List the checks that would tell something now, for "I looked at something else".

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.

    Returns
    -------
    tuple of (str, str)
        Check id and name; also those that the place and the tools at hand would not allow.

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
    >>> len(checks_now(shop, open_case(shop, FeedPath(), ("burns-back",)).id)) > 5
    True
    """
    board = set_out(shop.catalogue, with_everything(shop, shop.book.case(case_id)))
    return tuple((check.id, check.name) for check in board.checks.values())


def with_everything(shop: Shop, case: Case) -> Case:
    """The case as if it went on at the machine with everything at hand: what somebody saw counts, whatever it took.

    >>> import tempfile
    >>> from tipward.model import FeedPath, Place
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> with_everything(shop, open_case(shop, FeedPath(), (), place=Place("phone"))).place().at
    'machine'
    """
    checks = shop.catalogue.checks.values()
    tools = tuple(sorted({tool for check in checks for tool in check.tools}))
    spares = tuple(sorted({spare for check in checks for spare in check.spares}))
    last, place = case.pages[-1], replace(case.place(), at="machine", tools=tools, spares=spares, qualified=True)
    return case.with_page(replace(last, sequence=last.sequence + 1, key=f"{last.key}:everything", entry=Moved(place)))
