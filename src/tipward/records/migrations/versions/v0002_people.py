"""Accounts, their sessions, and links for people without an account."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    op.create_table(
        "accounts",
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("password_hash", sa.Text, nullable=False),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("created", MOMENT, nullable=False),
        sa.Column("revoked", MOMENT),
        sa.PrimaryKeyConstraint("name", name="pk_accounts"),
        sa.CheckConstraint("role in ('owner', 'technician', 'reader')", name=op.f("ck_accounts_role")),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("account", sa.Text, nullable=False),
        sa.Column("created", MOMENT, nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("revoked", MOMENT),
        sa.PrimaryKeyConstraint("token_hash", name="pk_sessions"),
        sa.ForeignKeyConstraint(["account"], ["accounts.name"], name="fk_sessions_account_accounts"),
    )
    op.create_index("ix_sessions_account", "sessions", ["account"])
    op.create_table(
        "links",
        sa.Column("token_hash", sa.Text, nullable=False),
        sa.Column("case_id", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("created", MOMENT, nullable=False),
        sa.Column("expires", MOMENT, nullable=False),
        sa.Column("revoked", MOMENT),
        sa.PrimaryKeyConstraint("token_hash", name="pk_links"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_links_case_id_cases"),
        sa.CheckConstraint("kind in ('report', 'remote')", name=op.f("ck_links_kind")),
    )
    op.create_index("ix_links_case_id", "links", ["case_id"])
