"""Double taps, two phones, and pages that nobody can change."""

import sqlite3
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError

from tipward.foundation import ConflictError, InputError, NotKnownError, RecordError
from tipward.model import Cannot, Case, Closed, FeedPath, Finding, Opened, TakenBack
from tipward.records import Casebook, open_casebook
from tipward.records.tables import pages
from tipward.records.writing import ID_LETTERS


def opened(casebook: Casebook, key: str = "first", **more: str) -> Case:
    return casebook.new_case(Opened(FeedPath(), ("burns-back",), **more), key)


def test_a_double_tap_adds_one_page(casebook: Casebook) -> None:
    case = opened(casebook)
    once = casebook.append(case.id, Finding("look-hub", "loose"), "tap")
    twice = casebook.append(case.id, Finding("look-hub", "loose"), "tap")
    assert once == twice == casebook.case(case.id)
    assert len(once.pages) == 2


def test_a_double_tap_is_no_conflict_with_itself(casebook: Casebook) -> None:
    case = opened(casebook)
    once = casebook.append(case.id, Finding("look-hub", "loose"), "tap", after=1)
    assert casebook.append(case.id, Finding("look-hub", "loose"), "tap", after=1) == once


def test_opening_twice_with_one_key_opens_one_case(casebook: Casebook) -> None:
    assert opened(casebook) == opened(casebook)
    assert len(casebook.cases()) == 1


def test_the_same_key_in_two_cases_is_two_pages(casebook: Casebook) -> None:
    for key in ("one", "two"):
        case = casebook.append(opened(casebook, key).id, Cannot("look-hub"), "tap")
        assert len(case.pages) == 2


def test_pages_that_came_since_are_listed(casebook: Casebook) -> None:
    case = opened(casebook)
    casebook.append(case.id, Finding("look-hub", "loose"), "a", author="anna", after=1)
    last = casebook.append(case.id, Cannot("look-tip"), "b")
    with pytest.raises(ConflictError, match=r"since page 1 \(2 finding by anna; 3 cannot\); read them") as refused:
        casebook.append(case.id, Finding("look-tip", "worn"), "c", after=1)
    assert refused.value.since == last.pages[1:]
    assert casebook.case(case.id) == last
    assert len(casebook.append(case.id, Finding("look-tip", "worn"), "c", after=3).pages) == 4


def test_without_after_the_page_goes_to_the_end(casebook: Casebook) -> None:
    case = opened(casebook)
    for key in "abc":
        case = casebook.append(case.id, Cannot("look-hub"), key)
    assert [page.sequence for page in case.pages] == [1, 2, 3, 4]


def test_a_page_that_nobody_has_seen_yet_is_refused(casebook: Casebook) -> None:
    with pytest.raises(InputError, match=r"after: is 9, but case \S+ has 1 pages; read the case again"):
        casebook.append(opened(casebook).id, Cannot("look-hub"), "a", after=9)


def test_a_case_is_found_by_the_beginning_of_its_id(casebook: Casebook) -> None:
    case = opened(casebook)
    assert len(case.id) == 9 and set(case.id) <= set(ID_LETTERS + "-")
    assert casebook.case(case.id[:3]) == case
    assert casebook.case(f" {case.id.replace('-', '').upper()} ") == case
    assert casebook.append(case.id[:6], Cannot("look-hub"), "a").id == case.id


def test_a_beginning_that_fits_several_names_them(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    ids = iter(["k7m3-9pq2", "k7m3-aaaa", "zzzz-zzzz"])
    monkeypatch.setattr("tipward.records.pages.new_id", lambda: next(ids))
    for key in "abc":
        opened(casebook, key)
    with pytest.raises(NotKnownError, match="may be k7m3-9pq2, k7m3-aaaa; write more of the id"):
        casebook.case("k7")
    assert casebook.case("k7m39").id == "k7m3-9pq2"


def test_an_id_that_is_taken_is_drawn_again(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    ids = iter(["k7m3-9pq2", "k7m3-9pq2", "k7m3-9pq2", "zzzz-zzzz"])
    monkeypatch.setattr("tipward.records.pages.new_id", lambda: next(ids))
    assert [opened(casebook, key).id for key in "ab"] == ["k7m3-9pq2", "zzzz-zzzz"]


@pytest.mark.parametrize("wrong", ["", "%", "_", "k7m3-9pq2", "'; --", "a\0b"])
def test_a_case_that_is_not_there(casebook: Casebook, wrong: str) -> None:
    opened(casebook)
    with pytest.raises(NotKnownError, match="no case"):
        casebook.case(wrong)
    with pytest.raises(NotKnownError, match="no case"):
        casebook.append(wrong, Cannot("look-hub"), "a")


def test_the_list_of_cases(casebook: Casebook) -> None:
    first = opened(casebook, "a", rig="bay-1", customer="Mill")
    second = opened(casebook, "b", rig="bay-2")
    casebook.append(first.id, Closed("proved"), "close")
    rows = {row.id: row for row in casebook.cases()}
    assert (rows[first.id].closed, rows[first.id].pages, rows[first.id].customer) == ("proved", 2, "Mill")
    assert rows[first.id].opened_at == first.pages[0].at
    assert rows[first.id].complaints == ("burns-back",)
    assert [row.id for row in casebook.cases(open_only=True)] == [second.id]
    assert [row.id for row in casebook.cases(rig="bay-1")] == [first.id]
    assert len(casebook.cases(limit=1)) == 1


def test_taking_the_closing_back_opens_the_case_again(casebook: Casebook) -> None:
    case = casebook.append(opened(casebook).id, Closed("held"), "close")
    assert casebook.cases(open_only=True) == ()
    casebook.append(case.id, TakenBack(2), "back")
    assert casebook.cases(open_only=True)[0].closed == ""


ATTACKS = (
    "UPDATE pages SET entry = '{}'",
    "UPDATE pages SET sequence = sequence + 100",
    "DELETE FROM pages",
    "DELETE FROM cases",
)
ON_SQLITE = (
    "INSERT OR REPLACE INTO pages SELECT case_id, sequence, 'new key', at, author, '{}' FROM pages",
    "INSERT OR REPLACE INTO pages SELECT case_id, sequence + 50, key, at, author, '{}' FROM pages",
    "REPLACE INTO pages SELECT * FROM pages",
)
ON_POSTGRESQL = ("TRUNCATE pages", "TRUNCATE cases CASCADE")


def test_pages_can_never_be_changed_or_removed(casebook: Casebook) -> None:
    case = casebook.append(opened(casebook).id, Finding("look-hub", "loose"), "a")
    with casebook.store.reading() as connection:
        extra = ON_SQLITE if connection.dialect.name == "sqlite" else ON_POSTGRESQL
    for attack in ATTACKS + extra:
        with pytest.raises(RecordError, match=r"append-only") as refused, casebook.store.writing() as connection:
            connection.execute(text(attack))
        assert isinstance(refused.value.__cause__, DBAPIError)
    assert casebook.case(case.id) == case


def test_the_triggers_also_hold_for_other_programs(tmp_path: Path) -> None:
    with open_casebook(tmp_path / "a.sqlite") as casebook:
        case = opened(casebook)
        other = sqlite3.connect(tmp_path / "a.sqlite")
        for attack in ATTACKS[:3] + ON_SQLITE:
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                other.execute(attack)
        other.close()
        assert casebook.case(case.id) == case


def test_times_are_utc_with_their_zone(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    summer = datetime(2026, 7, 1, 23, 30, 15, 123000, timezone(timedelta(hours=-7)))
    monkeypatch.setattr("tipward.records.pages.now", lambda: summer)
    case = opened(casebook)
    page = casebook.case(case.id).pages[0]
    assert page.at == summer and page.at.tzinfo is UTC
    assert page.at.isoformat() == "2026-07-02T06:30:15.123000+00:00"
    assert casebook.cases()[0].opened_at.tzinfo is UTC


def test_times_are_utc_whatever_the_session_thinks(casebook: Casebook) -> None:
    case = opened(casebook)
    with casebook.store.reading() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SET LOCAL TIME ZONE 'Asia/Tokyo'"))
        read = connection.scalar(select(pages.c.at))
    assert read == case.pages[0].at and read.tzinfo is UTC


def test_times_are_kept_as_utc_in_the_database_itself(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "tipward.records.pages.now", lambda: datetime(2026, 7, 1, 1, tzinfo=timezone(timedelta(hours=2)))
    )
    opened(casebook)
    with casebook.store.reading() as connection:
        shown = "at" if connection.dialect.name == "sqlite" else "at AT TIME ZONE 'UTC'"
        raw = connection.execute(text(f"SELECT CAST({shown} AS TEXT) FROM pages")).scalar_one()
    assert raw.startswith("2026-06-30 23:00:00")


def test_a_moment_without_zone_never_reaches_the_database(casebook: Casebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tipward.records.pages.now", lambda: datetime(2026, 7, 1))
    with pytest.raises(RecordError, match="has no time zone; give the moment with its zone"):
        opened(casebook)
    assert casebook.cases() == ()
