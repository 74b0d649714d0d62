"""Which schema a database has, and the way to the newest."""

import threading
from pathlib import Path

from sqlalchemy import Connection, inspect, text

from tipward.foundation import RecordError

FOLDER = Path(__file__).parent / "migrations"
VERSION_TABLE = "tipward_schema"
# A test compares this with the newest script; so a casebook that is up to date opens without loading Alembic.
NEWEST = "0003"
# Any fixed number serves: two processes that open a blank PostgreSQL database at once wait for each other on it.
_MIGRATION_LOCK = 8_417_923
# Alembic keeps the migration that runs in globals of its module: two threads would run into each other's.
_ONE_AT_A_TIME = threading.Lock()


def found_version(connection: Connection, name: str) -> str | None:
    """The schema that is there; None where the database is blank."""
    tables = set(inspect(connection).get_table_names())
    if VERSION_TABLE in tables:
        version = connection.execute(text(f"SELECT version_num FROM {VERSION_TABLE}")).scalar()
        return None if version is None else str(version)
    if tables:
        raise RecordError(
            f"casebook {name}: holds tables of another program ({', '.join(sorted(tables)[:3])}); "
            "name another file or database, so that nothing gets mixed"
        )
    return None


def migrate(connection: Connection, name: str, to: str = "head") -> None:
    """Bring the schema to the newest, inside the caller's transaction: all of it or nothing."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _MIGRATION_LOCK})
    found = found_version(connection, name)
    if found == NEWEST:
        return
    from alembic import command  # heavy, and not needed when the schema is up to date
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config(attributes={"connection": connection})
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
    if found is not None and found not in known:
        raise RecordError(
            f"casebook {name}: was written by a newer Tipward (schema {found}, this one knows up to {NEWEST}); "
            "update Tipward and open it again, nothing was changed"
        )
    with _ONE_AT_A_TIME:
        command.upgrade(config, to)
