"""What a database says, turned into a refusal that names the next step."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from tipward.foundation import RecordError

NO_CASEBOOK = "this file is no casebook; name another file, or restore a backup over it"
# Words of SQLite, psycopg and the operating system, and what a person can do about each.
_ADVICE = (
    ("not a database", NO_CASEBOOK),
    ("malformed", "the file is damaged; stop using it, keep a copy, and restore the latest backup"),
    (
        "disk i/o error",
        "the disk fails or the file was cut off; keep a copy, check the disk, restore the latest backup",
    ),
    ("locked", "another program holds the casebook; nothing was written: try again"),
    ("disk is full", "the disk is full; nothing was written: make room and try again"),
    ("readonly", "this place cannot be written to; ask for the rights, or name a casebook in a folder of your own"),
    ("unable to open", "the file cannot be opened; check the name and that its folder can be written to"),
    ("authentication failed", "the database refuses this user or password; check the URL"),
    ("does not exist", "the database has no such place; check the URL, or have it created"),
    ("permission denied", "this user lacks the rights; have them granted in the database"),
)
_OTHERWISE = "nothing was written: check that the database runs and can be reached, then try again"


@contextmanager
def refused_plainly(name: str) -> Iterator[None]:
    """Let nothing of the SQL library out: every failure becomes a RecordError about the casebook ``name``."""
    try:
        yield
    except PoolTimeout:
        raise RecordError(f"casebook {name}: too many at once; nothing was written: try again") from None
    except SQLAlchemyError as problem:
        raise refusal(name, problem) from problem


def refusal(name: str, problem: SQLAlchemyError) -> RecordError:
    """The RecordError for one failure of the database."""
    cause: BaseException | None = problem.orig if isinstance(problem, DBAPIError) else problem
    words = " ".join(str(cause).split())[:300]
    step = next((advice for sign, advice in _ADVICE if sign in words.lower()), _OTHERWISE)
    return RecordError(f"casebook {name}: {words}; {step}")
