"""Rigs and the readings of their healthy days."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import Row, select
from sqlalchemy.dialects import postgresql, sqlite

from tipward.foundation import InputError, NotKnownError, RecordError
from tipward.model import Baseline, Rig, build_path, now, path_to_data
from tipward.records.store import Store
from tipward.records.tables import baselines as baselines_table
from tipward.records.tables import rigs as rigs_table
from tipward.records.writing import keepable, plain_data, plain_text, refuse, zoned


def save_rig(store: Store, rig: Rig) -> None:
    """Keep a rig; one with the same id is replaced."""
    plain_text(rig.id, "rig.id")
    path = plain_data(path_to_data(rig.path), "rig.path")
    if build_path(path) != rig.path:
        raise refuse("rig.path", "does not read back as it was written", "leave unknown fields empty (None)")
    values = {
        "name": plain_text(rig.name, "rig.name", may_be_empty=True),
        "customer": plain_text(rig.customer, "rig.customer", may_be_empty=True),
        "path": path,
        "saved_at": now(),
    }
    with store.writing() as connection:
        dialect = sqlite if connection.dialect.name == "sqlite" else postgresql
        statement = dialect.insert(rigs_table).values(id=rig.id, **values)
        connection.execute(statement.on_conflict_do_update(index_elements=["id"], set_=values))


def rig(store: Store, rig_id: str) -> Rig:
    """A rig by its id."""
    with store.reading() as connection:
        wanted = select(rigs_table).where(rigs_table.c.id == rig_id)
        row = connection.execute(wanted).first() if keepable(rig_id) else None
        known = [] if row else list(connection.scalars(select(rigs_table.c.id).order_by(rigs_table.c.id).limit(20)))
    if row is None:
        raise NotKnownError(f"no rig {rig_id!r}; there are: {', '.join(known) or 'none yet'}")
    return _rig(row)


def rigs(store: Store) -> tuple[Rig, ...]:
    """All rigs, by id."""
    with store.reading() as connection:
        rows = connection.execute(select(rigs_table)).all()
    return tuple(sorted(map(_rig, rows), key=lambda one: one.id))


def save_baseline(store: Store, rig_id: str, readings: Mapping[str, float], at: datetime) -> None:
    """Keep the readings of a rig that is healthy."""
    if not readings:
        raise refuse("readings", "are empty", "give at least one")
    data = plain_data({name: float(value) for name, value in readings.items()}, "readings")
    rig(store, rig_id)
    with store.writing() as connection:
        connection.execute(baselines_table.insert().values(rig_id=rig_id, at=zoned(at, "at"), readings=data))


def baselines(store: Store, rig_id: str) -> tuple[Baseline, ...]:
    """All baselines of a rig, oldest first."""
    table = baselines_table
    if not keepable(rig_id):
        return ()
    with store.reading() as connection:
        rows = connection.execute(select(table).where(table.c.rig_id == rig_id).order_by(table.c.at, table.c.id)).all()
    return tuple(Baseline(row.rig_id, row.at, row.readings) for row in rows)


def _rig(row: Row[Any]) -> Rig:
    try:
        return Rig(row.id, row.name, build_path(row.path, f"rig {row.id}"), row.customer)
    except InputError as problem:
        raise RecordError(
            f"rig {row.id}: cannot be read ({problem.problems[0]}); it was written by another version: update Tipward"
        ) from problem
