"""Links for people without an account: they show one report, or let a customer answer from afar."""

from datetime import datetime
from typing import get_args

from sqlalchemy import insert, select, update
from sqlalchemy.exc import IntegrityError

from tipward.foundation import ConflictError
from tipward.model import Link, LinkKind, now
from tipward.records.casebook import Casebook
from tipward.records.listing import full_id
from tipward.records.tables import links as links_table
from tipward.records.writing import keepable, plain_text, refuse, zoned

KINDS: tuple[str, ...] = get_args(LinkKind)


def create_link(casebook: Casebook, token_hash: str, case_id: str, kind: LinkKind, expires: datetime) -> Link:
    """Make a link to one case.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    token_hash : str
        Hash of the token in the link; the token itself is kept nowhere.
    case_id : str
        The case.
    kind : str
        "report" shows the finished report, "remote" asks the customer.
    expires : datetime
        When it ends, with time zone.

    Returns
    -------
    Link
        As kept.

    Raises
    ------
    NotKnownError
        No such case.
    ConflictError
        The token is in use.
    InputError
        Empty hash, no such kind, or a moment without zone.

    Source: design (docs/decisions/0005).

    >>> from datetime import timedelta
    >>> from tipward.model import FeedPath, Opened
    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     case = casebook.new_case(Opened(FeedPath(), ("burns-back",)), "tap-1")
    ...     create_link(casebook, "5e1f…", case.id, "report", now() + timedelta(days=30)).kind
    'report'
    """
    if kind not in KINDS:
        raise refuse("kind", f"{kind!r} is unknown", f"choose one of {', '.join(KINDS)}")
    plain_text(token_hash, "token hash")
    zoned(expires, "expires")
    with casebook.store.writing() as connection:
        link = Link(token_hash, full_id(connection, case_id), kind, now(), expires)
        try:
            connection.execute(
                insert(links_table).values(
                    token_hash=token_hash, case_id=link.case, kind=kind, created=link.created, expires=expires
                )
            )
        except IntegrityError:
            raise ConflictError("this link token is in use; make a new one") from None
    return link


def find_link(casebook: Casebook, token_hash: str) -> Link | None:
    """Look a link up that still holds.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    token_hash : str
        Hash of the token in the link.

    Returns
    -------
    Link or None
        None where there is none, or it was revoked or has expired.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     find_link(casebook, "guessed") is None
    True
    """
    if not keepable(token_hash):
        return None
    table = links_table
    holds = (table.c.token_hash == token_hash) & table.c.revoked.is_(None) & (table.c.expires > now())
    with casebook.store.reading() as connection:
        row = connection.execute(select(table).where(holds)).first()
    return Link(row.token_hash, row.case_id, row.kind, row.created, row.expires, row.revoked) if row else None


def list_links(casebook: Casebook, case_id: str) -> tuple[Link, ...]:
    """List all links to a case, also those that are over.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
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

    Source: design (docs/decisions/0005).

    >>> from tipward.model import FeedPath, Opened
    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     list_links(casebook, casebook.new_case(Opened(FeedPath(), ()), "tap-1").id)
    ()
    """
    table = links_table
    with casebook.store.reading() as connection:
        of_case = table.c.case_id == full_id(connection, case_id)
        rows = connection.execute(select(table).where(of_case).order_by(table.c.created, table.c.token_hash)).all()
    return tuple(Link(row.token_hash, row.case_id, row.kind, row.created, row.expires, row.revoked) for row in rows)


def revoke_link(casebook: Casebook, token_hash: str) -> None:
    """End a link; one that is over already stays so.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    token_hash : str
        Hash of the token in the link.

    Returns
    -------
    None
        Nothing.

    Raises
    ------
    RecordError
        The casebook cannot be written.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     revoke_link(casebook, "5e1f…")
    """
    table = links_table
    if not keepable(token_hash):
        return
    with casebook.store.writing() as connection:
        connection.execute(
            update(table).where(table.c.token_hash == token_hash, table.c.revoked.is_(None)).values(revoked=now())
        )
