"""Who may come in: accounts and sessions. Hashing and tokens are the door's; here only hashes pass."""

from datetime import datetime

from tipward import records
from tipward.foundation import InputError, Problem
from tipward.model import Account, Role
from tipward.tasks.shop import Shop


def list_accounts(shop: Shop) -> tuple[Account, ...]:
    """List everybody who may sign in, and who no longer may.

    Parameters
    ----------
    shop : Shop
        The shop.

    Returns
    -------
    tuple of Account
        By name.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> list_accounts(open_shop(tempfile.mkdtemp() + "/book.db"))
    ()
    """
    return records.list_accounts(shop.book)


def find_account(shop: Shop, name: str) -> Account | None:
    """Look up the account of a name.

    Parameters
    ----------
    shop : Shop
        The shop.
    name : str
        As typed at the sign-in.

    Returns
    -------
    Account or None
        None where there is none; ``revoked`` says since when it may not sign in.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> find_account(open_shop(tempfile.mkdtemp() + "/book.db"), "anna") is None
    True
    """
    return records.find_account(shop.book, name)


def add_account(shop: Shop, name: str, password_hash: str, role: Role = "technician") -> Account:
    """Make an account; the first one has to be an owner.

    Parameters
    ----------
    shop : Shop
        The shop.
    name : str
        Name to sign in with, up to 80 characters.
    password_hash : str
        argon2 text, made by the door.
    role : str
        "owner", "technician" or "reader".

    Returns
    -------
    Account
        As kept.

    Raises
    ------
    InputError
        Empty or overlong name, no such role, or a first account that is no owner.
    ConflictError
        The name is taken.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> add_account(open_shop(tempfile.mkdtemp() + "/book.db"), "Anna", "$argon2id$…", "owner").name
    'anna'
    """
    if len(name) > 80:
        raise InputError("account", [Problem("name", "is longer than 80 characters", "take a shorter one")])
    if role != "owner" and not _owners(shop):
        raise InputError("account", [Problem("role", "of the first account has to be owner", "make an owner first")])
    return records.create_account(shop.book, name, password_hash, role)


def change_account(
    shop: Shop, name: str, password_hash: str | None = None, role: Role | None = None, revoked: bool = False
) -> Account:
    """Give an account another role or password, or keep it from signing in; one owner always stays.

    Parameters
    ----------
    shop : Shop
        The shop.
    name : str
        Name of the account.
    password_hash : str or None
        New argon2 text; its sessions end.
    role : str or None
        New role.
    revoked : bool
        Keep it from signing in, and end its sessions.

    Returns
    -------
    Account
        As kept now.

    Raises
    ------
    InputError
        The last owner would be gone, no such role, or nothing to change.
    NotKnownError
        No such account.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> _ = add_account(shop, "anna", "$argon2id$…", "owner")
    >>> change_account(shop, "anna", role="reader")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: account: 1 problem
      - role: anna is the last owner; make another owner first
    """
    known = records.find_account(shop.book, name)
    last = known is not None and known.revoked is None and _owners(shop) == [known.name]
    if last and (revoked or role in {"technician", "reader"}):
        raise InputError("account", [Problem("role", f"{name} is the last owner", "make another owner first")])
    if revoked:
        return records.revoke_account(shop.book, name)
    return records.change_account(shop.book, name, password_hash, role)


def _owners(shop: Shop) -> list[str]:
    return [one.name for one in records.list_accounts(shop.book) if one.role == "owner" and one.revoked is None]


def begin_session(shop: Shop, token_hash: str, name: str, expires: datetime) -> Account:
    """Begin a session of somebody whose password the door has checked.

    Parameters
    ----------
    shop : Shop
        The shop.
    token_hash : str
        Hash of the token in the cookie.
    name : str
        Name of the account.
    expires : datetime
        When it ends, with time zone.

    Returns
    -------
    Account
        Whose session it is.

    Raises
    ------
    NotKnownError
        No such account, or it was revoked.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from datetime import timedelta
    >>> from tipward.model import now
    >>> from tipward.tasks.shop import open_shop
    >>> shop = open_shop(tempfile.mkdtemp() + "/book.db")
    >>> _ = add_account(shop, "anna", "$argon2id$…", "owner")
    >>> begin_session(shop, "5e1f…", "anna", now() + timedelta(hours=1)).role
    'owner'
    """
    sign_in = records.create_session(shop.book, token_hash, name, expires)
    account = records.find_account(shop.book, sign_in.account)
    assert account is not None  # the session holds it as a foreign key
    return account


def signed_in(shop: Shop, token_hash: str) -> Account | None:
    """Say whose session a token belongs to, with the role as it is now.

    Parameters
    ----------
    shop : Shop
        The shop.
    token_hash : str
        Hash of the token in the cookie.

    Returns
    -------
    Account or None
        None where the session is over or never was.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> signed_in(open_shop(tempfile.mkdtemp() + "/book.db"), "guessed") is None
    True
    """
    sign_in = records.find_session(shop.book, token_hash)
    account = records.find_account(shop.book, sign_in.account) if sign_in else None
    return account if account is not None and account.revoked is None else None


def end_session(shop: Shop, token_hash: str) -> None:
    """End a session; one that is over stays so.

    Parameters
    ----------
    shop : Shop
        The shop.
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

    >>> import tempfile
    >>> from tipward.tasks.shop import open_shop
    >>> end_session(open_shop(tempfile.mkdtemp() + "/book.db"), "5e1f…")
    """
    records.revoke_session(shop.book, token_hash)
