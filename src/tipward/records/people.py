"""Who may sign in. Hashes are made by the door; no password comes here."""

from dataclasses import asdict
from typing import get_args

from sqlalchemy import insert, select, update
from sqlalchemy.exc import IntegrityError

from tipward.foundation import ConflictError, NotKnownError
from tipward.model import Account, Role, now
from tipward.records.casebook import Casebook
from tipward.records.tables import accounts as accounts_table
from tipward.records.tables import sessions as sessions_table
from tipward.records.writing import keepable, plain_text, refuse

ROLES: tuple[str, ...] = get_args(Role)


def create_account(casebook: Casebook, name: str, password_hash: str, role: Role) -> Account:
    """Make an account for somebody who may sign in.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    name : str
        Name to sign in with; capitals and spaces around it do not count.
    password_hash : str
        argon2 text, as the door made it.
    role : str
        "owner", "technician" or "reader".

    Returns
    -------
    Account
        As kept.

    Raises
    ------
    InputError
        Empty name or hash, or no such role.
    ConflictError
        The name is taken.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     create_account(casebook, "Anna ", "$argon2id$…", "owner").name
    'anna'
    """
    plain_text(password_hash, "password hash")
    account = Account(plain_text(folded(name), "name"), password_hash, _role(role), now())
    with casebook.store.writing() as connection:
        try:
            connection.execute(insert(accounts_table).values(asdict(account)))
        except IntegrityError:
            raise ConflictError(f"account {name!r} is there already; choose another name") from None
    return account


def find_account(casebook: Casebook, name: str) -> Account | None:
    """Look an account up, also one that was revoked.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    name : str
        Name to sign in with.

    Returns
    -------
    Account or None
        None where there is none; ``revoked`` says since when it may not sign in.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     find_account(casebook, "nobody") is None
    True
    """
    if not keepable(name):
        return None
    with casebook.store.reading() as connection:
        row = connection.execute(select(accounts_table).where(accounts_table.c.name == folded(name))).first()
    return Account(**row._mapping) if row else None


def list_accounts(casebook: Casebook) -> tuple[Account, ...]:
    """List all accounts, also the revoked.

    Parameters
    ----------
    casebook : Casebook
        Where to look.

    Returns
    -------
    tuple of Account
        By name.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     list_accounts(casebook)
    ()
    """
    with casebook.store.reading() as connection:
        rows = connection.execute(select(accounts_table)).all()
    return tuple(sorted((Account(**row._mapping) for row in rows), key=lambda account: account.name))


def change_account(
    casebook: Casebook, name: str, password_hash: str | None = None, role: Role | None = None
) -> Account:
    """Give an account a new password or role; a new password ends its sessions.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    name : str
        Name to sign in with.
    password_hash : str or None
        New argon2 text, None to keep the old.
    role : str or None
        New role, None to keep the old.

    Returns
    -------
    Account
        As kept now.

    Raises
    ------
    NotKnownError
        No such account.
    InputError
        Empty hash, no such role, or nothing to change.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     _ = create_account(casebook, "anna", "$argon2id$…", "owner")
    ...     change_account(casebook, "anna", role="reader").role
    'reader'
    """
    values: dict[str, str] = {}
    if password_hash is not None:
        values["password_hash"] = plain_text(password_hash, "password hash")
    if role is not None:
        values["role"] = _role(role)
    if not values:
        raise refuse("account", "has nothing to change", "give a password hash or a role")
    _update(casebook, name, ends_sessions=password_hash is not None, **values)
    return _known(casebook, name)


def revoke_account(casebook: Casebook, name: str) -> Account:
    """Keep somebody from signing in, and end their sessions.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    name : str
        Name to sign in with.

    Returns
    -------
    Account
        As kept now.

    Raises
    ------
    NotKnownError
        No such account.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     _ = create_account(casebook, "anna", "$argon2id$…", "owner")
    ...     revoke_account(casebook, "anna").revoked is None
    False
    """
    _update(casebook, name, ends_sessions=True, revoked=now())
    return _known(casebook, name)


def _update(casebook: Casebook, name: str, ends_sessions: bool, **values: object) -> None:
    accounts, sessions = accounts_table, sessions_table
    if not keepable(name):
        return
    with casebook.store.writing() as connection:
        connection.execute(update(accounts).where(accounts.c.name == folded(name)).values(**values))
        if ends_sessions:
            open_ones = (sessions.c.account == folded(name)) & sessions.c.revoked.is_(None)
            connection.execute(update(sessions).where(open_ones).values(revoked=now()))


def _known(casebook: Casebook, name: str) -> Account:
    account = find_account(casebook, name)
    if account is None:
        raise NotKnownError(f"no account {name!r}; check the name, or list the accounts")
    return account


def folded(name: str) -> str:
    """A name as it is kept: capitals and spaces around it do not count."""
    return name.strip().casefold()


def _role(role: Role) -> Role:
    if role not in ROLES:
        raise refuse("role", f"{role!r} is unknown", f"choose one of {', '.join(ROLES)}")
    return role
