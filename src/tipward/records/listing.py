"""Reading cases: one with all its pages, or the list of them."""

from sqlalchemy import Connection, select

from tipward.foundation import NotKnownError
from tipward.model import Case, CaseRow, Page
from tipward.records.store import Store
from tipward.records.tables import cases as cases_table
from tipward.records.tables import pages as pages_table
from tipward.records.writing import ID_LETTERS, keepable, read_entry, tidy_id

_SHOWN_IDS = 5


def case(store: Store, given: str) -> Case:
    """A case by its id or a unique beginning of it."""
    with store.reading() as connection:
        return read_case(connection, full_id(connection, given))


def full_id(connection: Connection, given: str) -> str:
    """The id that ``given`` names or begins."""
    column, wanted = cases_table.c.id, tidy_id(given)
    if not wanted or set(wanted) - set(ID_LETTERS + "-"):
        raise NotKnownError(f"no case {given!r}; an id looks like k7m3-9pq2: check it, or list the cases")
    if connection.execute(select(column).where(column == wanted)).first():
        return wanted
    begin_so = select(column).where(column.startswith(wanted)).order_by(column).limit(_SHOWN_IDS + 1)
    found = list(connection.scalars(begin_so))
    if len(found) == 1:
        return str(found[0])
    if not found:
        raise NotKnownError(f"no case {given!r}; check the id, or list the cases")
    more = ", …" if len(found) > _SHOWN_IDS else ""
    raise NotKnownError(f"case {given!r} may be {', '.join(found[:_SHOWN_IDS])}{more}; write more of the id")


def read_case(connection: Connection, case_id: str) -> Case:
    """A case with all its pages."""
    table = pages_table
    wanted = (
        select(table.c.sequence, table.c.key, table.c.at, table.c.author, table.c.entry)
        .where(table.c.case_id == case_id)
        .order_by(table.c.sequence)
    )
    return Case(
        case_id,
        tuple(
            Page(
                row.sequence, row.key, row.at, read_entry(row.entry, f"case {case_id}, page {row.sequence}"), row.author
            )
            for row in connection.execute(wanted)
        ),
    )


def cases(store: Store, open_only: bool, rig: str | None, limit: int) -> tuple[CaseRow, ...]:
    """One line per case, newest first."""
    table = cases_table
    wanted = select(table).order_by(table.c.opened_at.desc(), table.c.id).limit(max(limit, 0))
    if open_only:
        wanted = wanted.where(table.c.closed == "")
    if rig is not None:
        if not keepable(rig):
            return ()
        wanted = wanted.where(table.c.rig == rig)
    with store.reading() as connection:
        rows = connection.execute(wanted).all()
    return tuple(
        CaseRow(row.id, row.opened_at, row.rig, row.customer, tuple(row.complaints), row.closed, row.last_sequence)
        for row in rows
    )
