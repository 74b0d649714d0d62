"""Alembic runs this file; the connection comes from ``schema.migrate``, inside one transaction."""

from alembic import context

from tipward.records.schema import VERSION_TABLE
from tipward.records.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=VERSION_TABLE,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
