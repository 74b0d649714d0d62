"""Writing pages: the next number inside one transaction; a key seen before changes nothing."""

from typing import Any

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import IntegrityError

from tipward.foundation import ConflictError, NotKnownError
from tipward.model import Case, Entry, Opened, Page, now
from tipward.records.listing import full_id, read_case
from tipward.records.store import Store
from tipward.records.tables import cases as cases_table
from tipward.records.tables import pages as pages_table
from tipward.records.writing import entry_data, new_id, plain_text, refuse

_ATTEMPTS = 5


def new_case(store: Store, entry: Opened, key: str, author: str) -> Case:
    """Open a case under a fresh id; the same key again gives the case that it opened."""
    if not isinstance(entry, Opened):
        raise refuse("entry", "does not open a case", "begin with Opened")
    data = _checked(entry, key, author)
    for _ in range(_ATTEMPTS - 1):
        try:
            return _open(store, entry, data, key, author)
        except _TakenError:  # an id that exists, or the same key from another phone just now: look again
            continue
    return _open(store, entry, data, key, author)


class _TakenError(ConflictError):
    pass


def _open(store: Store, entry: Opened, data: Any, key: str, author: str) -> Case:
    table, case_id, at = cases_table, new_id(), now()
    with store.writing() as connection:
        known = connection.scalar(select(table.c.id).where(table.c.opening_key == key))
        if known is not None:
            return read_case(connection, known)
        try:
            connection.execute(
                insert(table).values(
                    id=case_id,
                    opening_key=key,
                    opened_at=at,
                    rig=entry.rig,
                    customer=entry.customer,
                    complaints=list(entry.complaints),
                    closed="",
                    last_sequence=1,
                )
            )
        except IntegrityError:
            raise _TakenError("the case could not be opened under a fresh id; try again") from None
        page = Page(1, key, at, entry, author)
        _insert(connection, case_id, page, data)
    return Case(case_id, (page,))


def append(store: Store, given: str, entry: Entry, key: str, author: str, after: int | None) -> Case:
    """Add one page at the end of a case."""
    if isinstance(entry, Opened):
        raise refuse("entry", "opens a case that is open already", "open a new case instead")
    data = _checked(entry, key, author)
    with store.writing() as connection:
        case = _locked(connection, given)
        if any(page.key == key for page in case.pages):
            return case
        last = case.pages[-1].sequence
        if after is not None:
            _refuse_conflict(case, last, after)
        page = Page(last + 1, key, now(), entry, author)
        _insert(connection, case.id, page, data)
        case = case.with_page(page)
        closed = case.closed()
        connection.execute(
            update(cases_table)
            .where(cases_table.c.id == case.id)
            .values(last_sequence=page.sequence, closed=closed.how if closed else "")
        )
    return case


def _checked(entry: Entry, key: str, author: str) -> Any:
    plain_text(key, "key")
    plain_text(author, "author", may_be_empty=True)
    return entry_data(entry)


def _locked(connection: Connection, given: str) -> Case:
    """The case, its row held so that other writers wait (SQLite holds the whole file, PostgreSQL this row)."""
    case_id = full_id(connection, given)
    connection.execute(select(cases_table.c.id).where(cases_table.c.id == case_id).with_for_update())
    case = read_case(connection, case_id)
    if not case.pages:
        raise NotKnownError(f"case {case_id} has no pages; restore the latest backup")
    return case


def _insert(connection: Connection, case_id: str, page: Page, data: Any) -> None:
    connection.execute(
        insert(pages_table).values(
            case_id=case_id, sequence=page.sequence, key=page.key, at=page.at, author=page.author, entry=data
        )
    )


def _refuse_conflict(case: Case, last: int, after: int) -> None:
    if after > last:
        raise refuse("after", f"is {after}, but case {case.id} has {last} pages", "read the case again")
    since = tuple(page for page in case.pages if page.sequence > after)
    if since:
        came = "; ".join(
            f"{page.sequence} {page.entry.kind}{f' by {page.author}' if page.author else ''}" for page in since
        )
        raise ConflictError(
            f"case {case.id}: pages came in since page {after} ({came}); read them, then write again", since
        )
