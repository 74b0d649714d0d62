"""What was learned from closed cases: rows that are only added; taking one back adds a row that names it."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import insert, select
from sqlalchemy.exc import DBAPIError

from tipward.foundation import ConflictError, NotKnownError
from tipward.model import Lesson, now
from tipward.records.casebook import Casebook
from tipward.records.tables import lessons as lessons_table
from tipward.records.writing import keepable, plain_data, plain_text


def save_lesson(casebook: Casebook, kind: str, key: str, payload: Mapping[str, Any]) -> Lesson:
    """Keep something that was learned.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    kind : str
        What was learned, for example "odds".
    key : str
        About what, for example a fault id.
    payload : Mapping
        JSON data: counts, before and after.

    Returns
    -------
    Lesson
        As kept, with its number.

    Raises
    ------
    InputError
        Empty kind or key, or data that is not JSON.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     save_lesson(casebook, "odds", "liner-dirty", {"seen": 3}).id
    1
    """
    plain_text(kind, "kind")
    plain_text(key, "key")
    data, at = plain_data(dict(payload), "payload"), now()
    with casebook.store.writing() as connection:
        statement = insert(lessons_table).values(kind=kind, key=key, payload=data, at=at)
        number = int(connection.execute(statement.returning(lessons_table.c.id)).scalar_one())
    return Lesson(number, kind, key, data, at)


def list_lessons(casebook: Casebook, kind: str | None = None, counting_only: bool = True) -> tuple[Lesson, ...]:
    """List what was learned.

    Parameters
    ----------
    casebook : Casebook
        Where to look.
    kind : str or None
        Only this kind.
    counting_only : bool
        Leave out lessons that were taken back, and the taking back itself.

    Returns
    -------
    tuple of Lesson
        Oldest first.

    Raises
    ------
    RecordError
        The casebook cannot be read.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     list_lessons(casebook)
    ()
    """
    table, taking_back = lessons_table, lessons_table.alias()
    wanted = (
        select(table, taking_back.c.id.label("reversed_by"))
        .outerjoin(taking_back, taking_back.c.reverses == table.c.id)
        .order_by(table.c.id)
    )
    if kind is not None:
        if not keepable(kind):
            return ()
        wanted = wanted.where(table.c.kind == kind)
    if counting_only:
        wanted = wanted.where(table.c.reverses.is_(None), taking_back.c.id.is_(None))
    with casebook.store.reading() as connection:
        rows = connection.execute(wanted).all()
    return tuple(Lesson(row.id, row.kind, row.key, row.payload, row.at, row.reversed_by) for row in rows)


def reverse_lesson(casebook: Casebook, number: int, why: str = "") -> Lesson:
    """Take a lesson back; it stays on record, with the row that took it back.

    Parameters
    ----------
    casebook : Casebook
        Where it is kept.
    number : int
        Number of the lesson.
    why : str
        Reason in words.

    Returns
    -------
    Lesson
        The one taken back, its ``reversed_by`` filled in.

    Raises
    ------
    NotKnownError
        No such lesson.
    ConflictError
        It was taken back before, or is itself the taking back of another.

    Source: design (docs/decisions/0005).

    >>> from tipward.records import open_casebook
    >>> with open_casebook(":memory:") as casebook:
    ...     lesson = save_lesson(casebook, "odds", "liner-dirty", {"seen": 3})
    ...     reverse_lesson(casebook, lesson.id).reversed_by
    2
    """
    table = lessons_table
    payload = plain_data({"why": why}, "why")
    with casebook.store.writing() as connection:
        row = connection.execute(select(table).where(table.c.id == number)).first()
        if row is None:
            raise NotKnownError(f"no lesson {number}; list the lessons")
        if row.reverses is not None:
            raise ConflictError(f"lesson {number} takes back {row.reverses}; save lesson {row.reverses} anew instead")
        if connection.execute(select(table.c.id).where(table.c.reverses == number)).first():
            raise ConflictError(f"lesson {number} was taken back before; nothing is left to do")
        statement = insert(table).values(kind=row.kind, key=row.key, payload=payload, at=now(), reverses=number)
        try:
            by = int(connection.execute(statement.returning(table.c.id)).scalar_one())
        except DBAPIError as problem:
            if "uq_learned_reverses" in str(problem.orig):  # two took it back at the same moment
                raise ConflictError(f"lesson {number} was taken back before; nothing is left to do") from None
            raise
    return Lesson(row.id, row.kind, row.key, row.payload, row.at, by)
