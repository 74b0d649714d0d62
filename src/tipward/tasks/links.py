"""Links for customers: made by a technician, found by the hash of their token, ended by time or by hand."""

from datetime import datetime

from tipward import records
from tipward.foundation import InputError, NotKnownError, Problem
from tipward.model import Link, LinkKind, now
from tipward.tasks.shop import Shop

LONGEST_DAYS = 90
GONE = "this link does not hold any more; ask the workshop for a new one"


def make_link(shop: Shop, case_id: str, kind: LinkKind, token_hash: str, expires: datetime) -> Link:
    """Make a link to a case for somebody without an account.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.
    kind : str
        "report" shows the report of a case that has ended, "remote" asks about one that is open.
    token_hash : str
        Hash of the token in the link; the token itself is kept nowhere.
    expires : datetime
        When it ends, with time zone, within 90 days.

    Returns
    -------
    Link
        As kept.

    Raises
    ------
    InputError
        A report of a case that is open, questions about one that has ended, or a moment past 90 days.
    NotKnownError
        No such case.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from datetime import timedelta
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> case = open_case(shop, FeedPath(), ("burns-back",))
    >>> make_link(shop, case.id, "remote", "5e1f…", now() + timedelta(days=7)).kind
    'remote'
    """
    ended = shop.book.case(case_id).closed() is not None
    problems = []
    if kind == "report" and not ended:
        problems.append(Problem("kind", "report needs a case that has ended", "close the case first"))
    if kind == "remote" and ended:
        problems.append(Problem("kind", "remote needs a case that is open", "open a new case"))
    if not 0 < (expires - now()).total_seconds() <= LONGEST_DAYS * 86_400:
        problems.append(Problem("days", "are out of range", f"give 1 to {LONGEST_DAYS} days"))
    if problems:
        raise InputError("link", problems)
    return records.create_link(shop.book, token_hash, case_id, kind, expires)


def follow_link(shop: Shop, token_hash: str, kind: LinkKind) -> Link:
    """Look up a link that still holds and is of this kind.

    Parameters
    ----------
    shop : Shop
        The shop.
    token_hash : str
        Hash of the token in the link.
    kind : str
        "report" or "remote"; a link of one kind opens nothing of the other.

    Returns
    -------
    Link
        With the case it belongs to.

    Raises
    ------
    NotKnownError
        Guessed, revoked, expired, or of the other kind: which of them is not said.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> follow_link(open_shop(tempfile.mkdtemp() + "/book.db"), "guessed", "report")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: this link does not hold any more; ask the workshop for a new one
    """
    link = records.find_link(shop.book, token_hash)
    if link is None or link.kind != kind:
        raise NotKnownError(GONE)
    return link


def links_of(shop: Shop, case_id: str) -> tuple[Link, ...]:
    """List all links to a case, also those that are over.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case.

    Returns
    -------
    tuple of Link
        Oldest first.

    Raises
    ------
    NotKnownError
        No such case.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> links_of(shop, open_case(shop, FeedPath(), ("burns-back",)).id)
    ()
    """
    return records.list_links(shop.book, case_id)


def end_link(shop: Shop, case_id: str, token_hash: str) -> None:
    """End a link of a case; one that is over stays so.

    Parameters
    ----------
    shop : Shop
        The shop.
    case_id : str
        The case it belongs to.
    token_hash : str
        Hash of its token.

    Returns
    -------
    None
        Nothing.

    Raises
    ------
    NotKnownError
        No such case, or no such link to it.

    Source: design (docs/explanation/security.md).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> from tipward.model import FeedPath
    >>> from tipward.tasks.opening import open_case
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> end_link(shop, open_case(shop, FeedPath(), ("burns-back",)).id, "5e1f…")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.NotKnownError: no such link to this case
    """
    if token_hash not in {link.token_hash for link in records.list_links(shop.book, case_id)}:
        raise NotKnownError("no such link to this case")
    records.revoke_link(shop.book, token_hash)
