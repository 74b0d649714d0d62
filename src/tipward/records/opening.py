"""Opening a casebook: a SQLite file or a PostgreSQL database, brought to the newest schema."""

import json
import sqlite3
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, StaticPool, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError

from tipward.foundation import RecordError
from tipward.records.casebook import Casebook
from tipward.records.refusals import NO_CASEBOOK, refused_plainly
from tipward.records.schema import NEWEST, VERSION_TABLE, migrate
from tipward.records.store import WRITES, Store

BUSY_TIMEOUT_MS = 5000
# Enough for every thread of the web server: a writer that waits must not keep others from reading.
MOST_CONNECTIONS = 60
OPENING_PATIENCE_S = 3.0
OPENING_PAUSE_S = 0.1
SQLITE_START = b"SQLite format 3\0"
_dumps: Callable[[Any], str] = partial(json.dumps, ensure_ascii=False, allow_nan=False)


def open_casebook(url_or_path: str | Path) -> Casebook:
    """Open a casebook, making it or bringing it to the newest schema where needed.

    Parameters
    ----------
    url_or_path : str or Path
        File of a SQLite casebook (made with its folder if missing), ``postgresql://user@host/database``, or
        ":memory:" for an example that is gone when it closes.

    Returns
    -------
    Casebook
        Ready to read and write; close it, or use it in a ``with`` block.

    Raises
    ------
    RecordError
        Not a casebook, damaged, of another program, written by a newer Tipward, a place without the rights to
        write, a database that cannot be reached; each with the next step.

    Source: design (docs/decisions/0005).

    >>> with open_casebook(":memory:") as casebook:
    ...     casebook.cases()
    ()
    """
    url, name = _place(str(url_or_path))
    engine = _sqlite(url, name) if url.get_backend_name() == "sqlite" else _postgresql(url, name)
    try:
        with refused_plainly(name):
            _to_newest(engine, name)
    except BaseException:
        engine.dispose()
        raise
    return Casebook(Store(engine, name))


def _place(given: str) -> tuple[URL, str]:
    """The URL for the SQL library, and the name for messages (never with a password)."""
    if "://" not in given:
        return URL.create("sqlite", database=given), given
    try:
        url = make_url(given)
    except ArgumentError:
        raise RecordError("casebook: the URL cannot be read; write postgresql://user@host/database") from None
    name = url.render_as_string(hide_password=True)
    if url.drivername == "sqlite":
        return url, url.database or ":memory:"
    if url.drivername in {"postgresql", "postgres", "postgresql+psycopg"}:
        return url.set(drivername="postgresql+psycopg"), name
    raise RecordError(f"casebook {name}: is neither SQLite nor PostgreSQL; give a file name or postgresql://…")


def _sqlite(url: URL, name: str) -> Engine:
    if not url.database or url.database == ":memory:":
        url = url.set(database=":memory:")
        options: dict[str, Any] = {"poolclass": StaticPool, "connect_args": {"check_same_thread": False}}
    else:
        _make_folder(Path(url.database), name)
        _refuse_other_files(Path(url.database), name)
        options = {"max_overflow": MOST_CONNECTIONS}
    engine = create_engine(url, json_serializer=_dumps, **options)
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _make_folder(file: Path, name: str) -> None:
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise RecordError(
            f"casebook {name}: its folder cannot be made ({problem.strerror}); check the name and the rights"
        ) from None
    if file.is_dir():
        raise RecordError(f"casebook {name}: is a folder; name a file in it, as in {file / 'casebook.sqlite'}")


def _refuse_other_files(file: Path, name: str) -> None:
    """SQLite takes a file of a few bytes for an empty database and would write over it."""
    try:
        with file.open("rb") as content:
            start = content.read(len(SQLITE_START))
    except OSError:  # not there yet, or not readable: SQLite says which
        return
    if start and start != SQLITE_START:
        raise RecordError(f"casebook {name}: is not a database; {NO_CASEBOOK}")


def _prepare_sqlite(connection: sqlite3.Connection, _record: object) -> None:
    # None: the driver opens no transaction by itself, so that BEGIN below and the scripts' CREATE TABLE belong to one.
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout={BUSY_TIMEOUT_MS}")
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("PRAGMA synchronous=FULL")
    connection.execute("PRAGMA foreign_keys=ON")


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _postgresql(url: URL, name: str) -> Engine:
    try:
        engine = create_engine(url, json_serializer=_dumps, pool_pre_ping=True, max_overflow=MOST_CONNECTIONS)
    except ModuleNotFoundError:
        raise RecordError(f"casebook {name}: PostgreSQL needs its driver; pip install 'tipward[postgres]'") from None
    event.listen(engine, "connect", _prepare_postgresql)
    return engine


def _prepare_postgresql(connection: Any, _record: object) -> None:
    # A server tuned to answer before its disk has written could lose acknowledged pages; stricter settings stay.
    connection.execute(
        "SELECT set_config('synchronous_commit', 'on', false) WHERE current_setting('synchronous_commit') = 'off'"
    )
    connection.commit()


def _to_newest(engine: Engine, name: str) -> None:
    if _is_newest(engine):
        return
    with engine.connect().execution_options(**{WRITES: True}) as connection:
        raw = connection.connection.driver_connection
        sqlite_file = raw if isinstance(raw, sqlite3.Connection) else None
        if sqlite_file:  # rebuilding a table (batch mode) must not trip over rows that point at it
            sqlite_file.execute("PRAGMA foreign_keys=OFF")
        try:
            with connection.begin():
                migrate(connection, name)
        finally:
            if sqlite_file:
                sqlite_file.execute("PRAGMA foreign_keys=ON")


def _is_newest(engine: Engine) -> bool:
    """Whether nothing is to be done.

    While another process turns a new file to WAL, SQLite says "locked" at once, whatever the busy timeout (seen about
    once in 500 openings of a blank file by eight at once): hence the trying again.
    """
    begun = time.monotonic()
    while True:
        try:
            return _has_newest(engine)
        except OperationalError as problem:
            if "locked" not in str(problem.orig) or time.monotonic() - begun > OPENING_PATIENCE_S:
                raise
            time.sleep(OPENING_PAUSE_S)


def _has_newest(engine: Engine) -> bool:
    try:
        with engine.begin() as connection:
            return connection.exec_driver_sql(f"SELECT version_num FROM {VERSION_TABLE}").scalar() == NEWEST
    except DBAPIError as problem:
        if "no such table" in str(problem.orig) or type(problem.orig).__name__ == "UndefinedTable":
            return False
        raise
