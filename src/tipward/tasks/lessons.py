"""Which lessons of the casebook are in use, now or when a page was written."""

from collections.abc import Sequence
from datetime import datetime

from tipward.diagnosis import merged
from tipward.foundation import InputError, RecordError
from tipward.model import Counts, Lesson, read_noun
from tipward.records import Casebook, list_lessons

COUNTS = "counts"
OWN = "own"


def lessons_in_use(book: Casebook, at: datetime | None = None) -> tuple[Lesson, ...]:
    """The lessons in use: the newest count of the shop's own cases (it holds all earlier ones) and every import.

    ``at`` asks for those that were in use at that time.
    """
    return in_use(list_lessons(book, COUNTS, counting_only=False), at)


def in_use(rows: Sequence[Lesson], at: datetime | None = None) -> tuple[Lesson, ...]:
    """The same, from all rows of lessons, those taken back and the taking back itself included."""
    when = {row.id: row.at for row in rows}
    taking_back = {row.reversed_by for row in rows}
    live = [
        row
        for row in rows
        if row.id not in taking_back
        and (at is None or row.at <= at)
        and (row.reversed_by is None or (at is not None and when[row.reversed_by] > at))
    ]
    newest = max((row.id for row in live if row.key == OWN), default=None)
    return tuple(row for row in live if row.key != OWN or row.id == newest)


def counts_of(lessons: Sequence[Lesson]) -> Counts:
    """What these lessons say together; RecordError names one that cannot be read."""
    parts = []
    for lesson in lessons:
        try:
            parts.append(read_noun(Counts, dict(lesson.payload), f"lesson {lesson.id}"))
        except InputError:
            raise RecordError(
                f"lesson {lesson.id} of the casebook cannot be read; take it back with: tipward learn --reverse {lesson.id}"
            ) from None
    return merged(parts)
