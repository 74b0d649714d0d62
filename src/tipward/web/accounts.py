"""Passwords and signing in: argon2, equal time for unknown names, and a limit on guessing."""

import threading
import time
from collections import deque
from datetime import timedelta
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from tipward import tasks
from tipward.foundation import InputError, Problem, TipwardError
from tipward.model import Account, now
from tipward.web.visitor import fresh_token, token_hash

SHORTEST_PASSWORD, LONGEST_PASSWORD = 10, 200
SESSION = timedelta(hours=14)
WINDOW_S, MOST_BY_NAME, MOST_BY_ADDRESS, MOST_KEYS = 900.0, 5, 30, 10_000
_HASHER = PasswordHasher()
_AT_ONCE = threading.BoundedSemaphore(2)  # each hash takes 64 MB: a flood of sign-ins must not fill the memory


class TooManyError(TipwardError):
    """Too many failed sign-ins; ``wait_s`` says for how long."""

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(f"too many failed sign-ins; wait {wait_s // 60 + 1} minutes and try again")


class WrongPasswordError(TipwardError):
    """Name or password is wrong; which of them is not said."""


class Throttle:
    """Failures by key within the last quarter of an hour, in bounded memory."""

    def __init__(self) -> None:
        self._failures: dict[str, deque[float]] = {}
        self._lock = threading.Lock()

    def refuse_if_too_many(self, key: str, most: int) -> None:
        """Raise TooManyError where this key has failed too often."""
        with self._lock:
            times = self._failures.get(key)
            while times and times[0] < time.monotonic() - WINDOW_S:
                times.popleft()
            if times and len(times) >= most:
                raise TooManyError(int(times[0] + WINDOW_S - time.monotonic()) + 1)

    def failed(self, *keys: str) -> None:
        """Count one failure for each key."""
        with self._lock:
            for key in keys:
                if key not in self._failures and len(self._failures) >= MOST_KEYS:
                    self._failures.pop(next(iter(self._failures)))
                self._failures.setdefault(key, deque(maxlen=max(MOST_BY_NAME, MOST_BY_ADDRESS))).append(
                    time.monotonic()
                )

    def forget(self, *keys: str) -> None:
        """Somebody signed in properly."""
        with self._lock:
            for key in keys:
                self._failures.pop(key, None)


def hash_password(password: str) -> str:
    """Hash a password for keeping.

    Parameters
    ----------
    password : str
        From 10 to 200 characters.

    Returns
    -------
    str
        argon2id text.

    Raises
    ------
    InputError
        Too short or too long.

    Source: RFC 9106 (argon2id, second recommended option), through argon2-cffi.

    >>> hash_password("a long pass phrase")[:9]
    '$argon2id'
    """
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        what = f"has {len(password)} characters"
        step = f"take {SHORTEST_PASSWORD} to {LONGEST_PASSWORD}; a sentence is easy to remember"
        raise InputError("account", [Problem("password", what, step)])
    with _AT_ONCE:
        return _HASHER.hash(password)


@cache
def _nobody() -> str:
    return _HASHER.hash(fresh_token())


def _matches(account: Account | None, password: str) -> bool:
    kept = account.password_hash if account and account.revoked is None else _nobody()
    try:
        with _AT_ONCE:
            _HASHER.verify(kept, password[:LONGEST_PASSWORD])
    except (VerificationError, InvalidHashError):
        return False
    return account is not None and account.revoked is None and len(password) <= LONGEST_PASSWORD


def sign_in(shop: tasks.Shop, throttle: Throttle, address: str, name: str, password: str) -> str:
    """The token of a new session; raises WrongPasswordError or TooManyError."""
    by_name, by_address = f"{address} {name.strip().casefold()[:80]}", address
    throttle.refuse_if_too_many(by_name, MOST_BY_NAME)
    throttle.refuse_if_too_many(by_address, MOST_BY_ADDRESS)
    account = tasks.find_account(shop, name)
    if not _matches(account, password):
        throttle.failed(by_name, by_address)
        raise WrongPasswordError("name or password is wrong")
    throttle.forget(by_name)
    token = fresh_token()
    tasks.begin_session(shop, token_hash(token), name, now() + SESSION)
    return token
