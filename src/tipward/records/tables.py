"""The tables as they are now. The scripts in ``migrations`` make them; a test compares the two."""

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
)

from tipward.records.times import UtcDateTime

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
metadata = MetaData(naming_convention=NAMING)

# A line of the list of cases. Its last four columns repeat what the pages say, written with them in one transaction.
cases = Table(
    "cases",
    metadata,
    Column("id", Text, primary_key=True),
    Column("opening_key", Text, nullable=False),
    Column("opened_at", UtcDateTime, nullable=False),
    Column("rig", Text, nullable=False),
    Column("customer", Text, nullable=False),
    Column("complaints", JSON, nullable=False),
    Column("closed", Text, nullable=False),
    Column("last_sequence", Integer, nullable=False),
    UniqueConstraint("opening_key"),
    Index(None, "opened_at"),
    Index(None, "rig"),
)

pages = Table(
    "pages",
    metadata,
    Column("case_id", Text, ForeignKey("cases.id"), primary_key=True),
    Column("sequence", Integer, primary_key=True),
    Column("key", Text, nullable=False),
    Column("at", UtcDateTime, nullable=False),
    Column("author", Text, nullable=False),
    Column("entry", JSON, nullable=False),
    UniqueConstraint("case_id", "key"),
    CheckConstraint("sequence >= 1", name="sequence"),
)

rigs = Table(
    "rigs",
    metadata,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("customer", Text, nullable=False),
    Column("path", JSON, nullable=False),
    Column("saved_at", UtcDateTime, nullable=False),
)

baselines = Table(
    "baselines",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("rig_id", Text, ForeignKey("rigs.id"), nullable=False),
    Column("at", UtcDateTime, nullable=False),
    Column("readings", JSON, nullable=False),
    Index(None, "rig_id"),
)

accounts = Table(
    "accounts",
    metadata,
    Column("name", Text, primary_key=True),
    Column("password_hash", Text, nullable=False),
    Column("role", Text, nullable=False),
    Column("created", UtcDateTime, nullable=False),
    Column("revoked", UtcDateTime),
    CheckConstraint("role in ('owner', 'technician', 'reader')", name="role"),
)

sessions = Table(
    "sessions",
    metadata,
    Column("token_hash", Text, primary_key=True),
    Column("account", Text, ForeignKey("accounts.name"), nullable=False),
    Column("created", UtcDateTime, nullable=False),
    Column("expires", UtcDateTime, nullable=False),
    Column("revoked", UtcDateTime),
    Index(None, "account"),
)

links = Table(
    "links",
    metadata,
    Column("token_hash", Text, primary_key=True),
    Column("case_id", Text, ForeignKey("cases.id"), nullable=False),
    Column("kind", Text, nullable=False),
    Column("created", UtcDateTime, nullable=False),
    Column("expires", UtcDateTime, nullable=False),
    Column("revoked", UtcDateTime),
    CheckConstraint("kind in ('report', 'remote')", name="kind"),
    Index(None, "case_id"),
)

# A lesson is taken back by a row that names it, so that this table too only grows.
lessons = Table(
    "learned",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("key", Text, nullable=False),
    Column("payload", JSON, nullable=False),
    Column("at", UtcDateTime, nullable=False),
    Column("reverses", Integer, ForeignKey("learned.id")),
    UniqueConstraint("reverses"),
    Index(None, "kind", "key"),
)

photos = Table(
    "photos",
    metadata,
    Column("id", Text, primary_key=True),
    Column("case_id", Text, ForeignKey("cases.id"), nullable=False),
    Column("mime", Text, nullable=False),
    Column("created", UtcDateTime, nullable=False),
    Column("data", LargeBinary, nullable=False),
    Index(None, "case_id"),
)
