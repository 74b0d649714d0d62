"""Accounts, sessions and links: made, found, revoked, expired."""

from datetime import datetime, timedelta

import pytest

from tipward import records
from tipward.foundation import ConflictError, InputError, NotKnownError
from tipward.model import FeedPath, Opened, now
from tipward.records import Casebook

HASH = "$argon2id$v=19$m=65536,t=3,p=4$c2FsdA$aGFzaA"
LATER = timedelta(hours=1)
ODD = ("", "a\0b", "\ud800", "' OR 1=1 --")


@pytest.fixture
def anna(casebook: Casebook) -> str:
    return records.create_account(casebook, "Anna", HASH, "owner").name


def test_an_account_is_found_by_its_name(casebook: Casebook, anna: str) -> None:
    account = records.find_account(casebook, " ANNA ")
    assert account is not None
    assert (account.name, account.password_hash, account.role, account.revoked) == ("anna", HASH, "owner", None)
    assert records.list_accounts(casebook) == (account,)
    assert abs(account.created - now()) < LATER


def test_a_name_is_given_once(casebook: Casebook, anna: str) -> None:
    with pytest.raises(ConflictError, match="account 'ANNA' is there already; choose another name"):
        records.create_account(casebook, "ANNA", HASH, "reader")


def test_an_account_that_cannot_be_kept(casebook: Casebook) -> None:
    with pytest.raises(InputError, match="'chief' is unknown; choose one of owner, technician, reader"):
        records.create_account(casebook, "anna", HASH, "chief")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="name: is empty"):
        records.create_account(casebook, "  ", HASH, "owner")
    with pytest.raises(InputError, match="password hash: is empty"):
        records.create_account(casebook, "anna", "", "owner")
    assert records.list_accounts(casebook) == ()


def test_a_new_role_keeps_the_sessions_and_a_new_password_ends_them(casebook: Casebook, anna: str) -> None:
    records.create_session(casebook, "token", anna, now() + LATER)
    assert records.change_account(casebook, anna, role="reader").role == "reader"
    assert records.find_session(casebook, "token") is not None
    assert records.change_account(casebook, anna, password_hash="new").password_hash == "new"
    assert records.find_session(casebook, "token") is None


def test_a_change_of_nothing_or_of_nobody(casebook: Casebook, anna: str) -> None:
    with pytest.raises(InputError, match="has nothing to change"):
        records.change_account(casebook, anna)
    for name in ("nobody", *ODD):
        with pytest.raises(NotKnownError, match="no account"):
            records.change_account(casebook, name, role="reader")
        with pytest.raises(NotKnownError, match="no account"):
            records.revoke_account(casebook, name)


def test_a_revoked_account_has_no_sessions_and_gets_none(casebook: Casebook, anna: str) -> None:
    records.create_session(casebook, "token", anna, now() + LATER)
    assert records.revoke_account(casebook, anna).revoked is not None
    assert records.find_session(casebook, "token") is None
    with pytest.raises(NotKnownError, match="no account 'anna' that may sign in"):
        records.create_session(casebook, "other", anna, now() + LATER)


def test_a_session_holds_until_it_is_revoked(casebook: Casebook, anna: str) -> None:
    made = records.create_session(casebook, "token", "Anna", now() + LATER)
    assert records.find_session(casebook, "token") == made
    records.revoke_session(casebook, "token")
    assert records.find_session(casebook, "token") is None
    records.revoke_session(casebook, "token")


def test_a_session_holds_until_it_expires(casebook: Casebook, anna: str, monkeypatch: pytest.MonkeyPatch) -> None:
    records.create_session(casebook, "token", anna, now() + LATER)
    after = now() + LATER + timedelta(seconds=1)
    monkeypatch.setattr("tipward.records.sign_ins.now", lambda: after)
    assert records.find_session(casebook, "token") is None


def test_a_session_token_serves_once(casebook: Casebook, anna: str) -> None:
    records.create_session(casebook, "token", anna, now() + LATER)
    with pytest.raises(ConflictError, match="this session token is in use"):
        records.create_session(casebook, "token", anna, now() + LATER)
    with pytest.raises(InputError, match="give the moment with its zone"):
        records.create_session(casebook, "other", anna, datetime(2030, 1, 1))
    with pytest.raises(NotKnownError, match="no account 'nobody'"):
        records.create_session(casebook, "other", "nobody", now() + LATER)


def test_a_link_holds_until_it_is_revoked_or_expires(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    report = records.create_link(casebook, "one", case.id[:5], "report", now() + LATER)
    remote = records.create_link(casebook, "two", case.id, "remote", now() + LATER)
    assert records.find_link(casebook, "one") == report and report.case == case.id
    records.revoke_link(casebook, "one")
    assert records.find_link(casebook, "one") is None
    assert records.find_link(casebook, "two") == remote
    assert [link.revoked is None for link in records.list_links(casebook, case.id)] == [False, True]
    after = now() + LATER + timedelta(seconds=1)
    monkeypatch.setattr("tipward.records.links.now", lambda: after)
    assert records.find_link(casebook, "two") is None


def test_a_link_that_cannot_be_made(casebook: Casebook) -> None:
    case = casebook.new_case(Opened(FeedPath(), ()), "first")
    records.create_link(casebook, "one", case.id, "report", now() + LATER)
    with pytest.raises(ConflictError, match="this link token is in use"):
        records.create_link(casebook, "one", case.id, "report", now() + LATER)
    with pytest.raises(InputError, match="'all' is unknown; choose one of report, remote"):
        records.create_link(casebook, "two", case.id, "all", now() + LATER)  # type: ignore[arg-type]
    with pytest.raises(NotKnownError, match="no case 'zzzz'"):
        records.create_link(casebook, "two", "zzzz", "report", now() + LATER)


@pytest.mark.parametrize("odd", ODD)
def test_a_guess_finds_nothing(casebook: Casebook, anna: str, odd: str) -> None:
    records.create_session(casebook, "token", anna, now() + LATER)
    assert records.find_session(casebook, odd) is None
    assert records.find_link(casebook, odd) is None
    assert records.find_account(casebook, odd) is None
    records.revoke_session(casebook, odd)
    records.revoke_link(casebook, odd)
    assert records.find_session(casebook, "token") is not None
