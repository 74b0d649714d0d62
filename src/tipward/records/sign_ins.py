"""Sessions of those who have signed in: only the hash of a token is kept."""

from dataclasses import asdict
from datetime import datetime

from sqlalchemy import insert, select, update
from sqlalchemy.exc import IntegrityError

from tipward.foundation import ConflictError, NotKnownError
from tipward.model import SignIn, now
from tipward.records.casebook import Casebook
from tipward.records.people import folded
from tipward.records.tables import accounts as accounts_table
from tipward.records.tables import sessions as sessions_table
from tipward.records.writing import keepable, plain_text, zoned


def create_session(casebook: Casebook, token_hash: str, account: str, expires: datetime) -> SignIn:
    """Begin a session of an account.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    token_hash : str
        Hash of the token in the cookie; the token itself is kept nowhere.
    account : str
        Name of the account.
    expires : datetime
        When it ends, with time zone.

    Returns
    -------
    SignIn
        As kept.

    Raises
    ------
    NotKnownError
        No such account, or it was revoked.
    ConflictError
        The token is in use.
    InputError
        Empty hash, or a moment without zone.

    Source: design (docs/decisions/0005).

    >>> from datetime import timedelta
    >>> from tipward.records import create_account, open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     _ = create_account(casebook, "anna", "$argon2id$…", "owner")
    ...     create_session(casebook, "5e1f…", "anna", now() + timedelta(hours=12)).account
    'anna'
    """
    plain_text(token_hash, "token hash")
    plain_text(account, "account")
    sign_in = SignIn(token_hash, folded(account), now(), zoned(expires, "expires"))
    accounts = accounts_table
    live = select(accounts.c.name).where(accounts.c.name == sign_in.account, accounts.c.revoked.is_(None))
    with casebook.store.writing() as connection:
        # Held for reading: an account that is revoked at this moment must not get a session past it.
        if connection.execute(live.with_for_update()).first() is None:
            raise NotKnownError(f"no account {account!r} that may sign in; have the owner make one")
        try:
            connection.execute(insert(sessions_table).values(asdict(sign_in)))
        except IntegrityError:
            raise ConflictError("this session token is in use; make a new one") from None
    return sign_in


def find_session(casebook: Casebook, token_hash: str) -> SignIn | None:
    """Look a session up that still holds.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    token_hash : str
        Hash of the token in the cookie.

    Returns
    -------
    SignIn or None
        None where there is none, or it was revoked or has expired.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     find_session(casebook, "guessed") is None
    True
    """
    table = sessions_table
    if not keepable(token_hash):
        return None
    wanted = select(table).where(table.c.token_hash == token_hash, table.c.revoked.is_(None), table.c.expires > now())
    with casebook.store.reading() as connection:
        row = connection.execute(wanted).first()
    return SignIn(**row._mapping) if row else None


def revoke_session(casebook: Casebook, token_hash: str) -> None:
    """End a session; one that is over already stays so.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    token_hash : str
        Hash of the token in the cookie.

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
    ...     revoke_session(casebook, "5e1f…")
    """
    table = sessions_table
    if not keepable(token_hash):
        return
    with casebook.store.writing() as connection:
        connection.execute(
            update(table).where(table.c.token_hash == token_hash, table.c.revoked.is_(None)).values(revoked=now())
        )
