"""Blank and every old schema come to the newest, with their rows unchanged; what is newer is left alone."""

import json
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, event, text

from tipward.foundation import RecordError
from tipward.model import Cannot, FeedPath, Liner, Opened, entry_to_data
from tipward.records import open_casebook, save_lesson
from tipward.records.opening import _place, _postgresql, _sqlite
from tipward.records.schema import FOLDER, NEWEST, VERSION_TABLE, migrate
from tipward.records.tables import metadata


def _scripts() -> ScriptDirectory:
    config = Config()
    config.set_main_option("script_location", str(FOLDER))
    return ScriptDirectory.from_config(config)


SCHEMAS = [script.revision for script in reversed(list(_scripts().walk_revisions()))]


@contextmanager
def raw(place: str) -> Iterator[Connection]:
    """A connection to a place that may hold anything."""
    url, name = _place(place)
    engine = _sqlite(url, name) if url.get_backend_name() == "sqlite" else _postgresql(url, name)
    with engine.begin() as connection:
        yield connection
    engine.dispose()


def fill(place: str, schema: str) -> None:
    """A casebook as an older Tipward left it, with one case, one rig."""
    with raw(place) as connection:
        migrate(connection, place, to=schema)
    entry = json.dumps(entry_to_data(Opened(FeedPath(liner=Liner(bore_m=0.002)), ("burns-back",), rig="bay-1")))
    moment = "2025-03-04 05:06:07.000000" + ("+00" if place.startswith("postgresql") else "")
    statements = (
        """INSERT INTO cases VALUES ('k7m3-9pq2', 'first', :at, 'bay-1', '', '["burns-back"]', '', 1)""",
        "INSERT INTO pages VALUES ('k7m3-9pq2', 1, 'first', :at, 'anna', :entry)",
        """INSERT INTO rigs VALUES ('bay-1', 'Bay 1', '', '{"liner": {"bore_m": 0.002}}', :at)""",
        """INSERT INTO baselines VALUES (1, 'bay-1', :at, '{"pull-off-spool": 4.5}')""",
    )
    with raw(place) as connection:
        for statement in statements:
            values = {"at": moment, "entry": entry}
            connection.execute(text(statement), {key: values[key] for key in values if f":{key}" in statement})


def test_the_newest_schema_is_named_rightly() -> None:
    assert _scripts().get_heads() == [NEWEST]
    assert sorted(SCHEMAS) == SCHEMAS


def test_the_scripts_make_the_tables_that_the_code_knows(blank: str) -> None:
    open_casebook(blank).close()
    with raw(blank) as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "version_table": VERSION_TABLE})
        assert compare_metadata(context, metadata) == []


@pytest.mark.parametrize("schema", SCHEMAS)
def test_every_old_schema_comes_to_the_newest_with_its_rows(blank: str, schema: str) -> None:
    fill(blank, schema)
    with open_casebook(blank) as casebook:
        case = casebook.case("k7m3")
        assert case.path().liner.bore_m == 0.002
        assert case.pages[0].at.isoformat() == "2025-03-04T05:06:07+00:00"
        assert (case.pages[0].author, casebook.cases()[0].complaints) == ("anna", ("burns-back",))
        assert casebook.rig("bay-1").path.liner.bore_m == 0.002
        assert casebook.baselines("bay-1")[0].readings == {"pull-off-spool": 4.5}
        assert len(casebook.append(case.id, Cannot("look-hub"), "second").pages) == 2
        assert save_lesson(casebook, "odds", "liner-dirty", {}).id == 1
        with casebook.store.reading() as connection:
            assert connection.scalar(text(f"SELECT version_num FROM {VERSION_TABLE}")) == NEWEST
        with pytest.raises(RecordError, match="append-only"), casebook.store.writing() as connection:
            connection.execute(text("DELETE FROM pages"))


def test_opening_again_changes_nothing(place: str) -> None:
    with open_casebook(place) as casebook:
        case = casebook.new_case(Opened(FeedPath(), ()), "first")
    with open_casebook(place) as casebook:
        assert casebook.case(case.id) == case


def test_a_step_that_breaks_leaves_the_old_schema_whole(blank: str) -> None:
    fill(blank, SCHEMAS[0])

    def power_cut(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        if "CREATE TABLE photos" in statement:
            raise OSError("power cut")

    event.listen(Engine, "before_cursor_execute", power_cut)
    try:
        with pytest.raises(OSError, match="power cut"):
            open_casebook(blank)
    finally:
        event.remove(Engine, "before_cursor_execute", power_cut)
    with raw(blank) as connection:
        assert connection.scalar(text(f"SELECT version_num FROM {VERSION_TABLE}")) == SCHEMAS[0]
        tables = set(metadata.tables) & set(_names(connection))
        assert tables == {"cases", "pages", "rigs", "baselines"}
    with open_casebook(blank) as casebook:
        assert len(casebook.cases()) == 1


def _names(connection: Connection) -> list[str]:
    from sqlalchemy import inspect

    return inspect(connection).get_table_names()


def test_a_newer_schema_is_left_alone(place: str) -> None:
    with raw(place) as connection:
        connection.execute(text(f"UPDATE {VERSION_TABLE} SET version_num = '9999'"))
    with pytest.raises(RecordError, match=r"newer Tipward \(schema 9999, this one knows up to \d+\); update Tipward"):
        open_casebook(place)
    with raw(place) as connection:
        assert connection.scalar(text(f"SELECT version_num FROM {VERSION_TABLE}")) == "9999"


def test_tables_of_another_program_are_left_alone(blank: str) -> None:
    with raw(blank) as connection:
        connection.execute(text("CREATE TABLE invoices (id INTEGER)"))
    with pytest.raises(RecordError, match=r"tables of another program \(invoices\); name another file or database"):
        open_casebook(blank)
    with raw(blank) as connection:
        assert _names(connection) == ["invoices"]
