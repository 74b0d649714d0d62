"""Cases, their append-only pages, rigs and baselines."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

MOMENT = sa.DateTime(timezone=True)

# INSERT OR REPLACE would delete a page without firing the delete trigger: hence the trigger on insert.
SQLITE = (
    """CREATE TRIGGER pages_never_change BEFORE UPDATE ON pages
    BEGIN SELECT RAISE(ABORT, 'pages are append-only: a page never changes'); END""",
    """CREATE TRIGGER pages_never_go BEFORE DELETE ON pages
    BEGIN SELECT RAISE(ABORT, 'pages are append-only: a page never goes'); END""",
    """CREATE TRIGGER pages_never_replaced BEFORE INSERT ON pages WHEN EXISTS (
      SELECT 1 FROM pages WHERE case_id = NEW.case_id AND (sequence = NEW.sequence OR "key" = NEW."key"))
    BEGIN SELECT RAISE(ABORT, 'pages are append-only: this page is there already'); END""",
    """CREATE TRIGGER cases_never_go BEFORE DELETE ON cases
    BEGIN SELECT RAISE(ABORT, 'cases are append-only: a case never goes'); END""",
)
POSTGRESQL = (
    """CREATE FUNCTION tipward_append_only() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION '% are append-only: % refused', TG_TABLE_NAME, TG_OP; END $$""",
    """CREATE TRIGGER pages_append_only BEFORE UPDATE OR DELETE ON pages
    FOR EACH ROW EXECUTE FUNCTION tipward_append_only()""",
    """CREATE TRIGGER pages_no_truncate BEFORE TRUNCATE ON pages
    FOR EACH STATEMENT EXECUTE FUNCTION tipward_append_only()""",
    """CREATE TRIGGER cases_never_go BEFORE DELETE ON cases
    FOR EACH ROW EXECUTE FUNCTION tipward_append_only()""",
)


def upgrade() -> None:
    _cases_and_pages()
    _rigs_and_baselines()
    for statement in SQLITE if op.get_bind().dialect.name == "sqlite" else POSTGRESQL:
        op.execute(sa.text(statement.replace(":", "\\:")))


def _cases_and_pages() -> None:
    op.create_table(
        "cases",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("opening_key", sa.Text, nullable=False),
        sa.Column("opened_at", MOMENT, nullable=False),
        sa.Column("rig", sa.Text, nullable=False),
        sa.Column("customer", sa.Text, nullable=False),
        sa.Column("complaints", sa.JSON, nullable=False),
        sa.Column("closed", sa.Text, nullable=False),
        sa.Column("last_sequence", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_cases"),
        sa.UniqueConstraint("opening_key", name="uq_cases_opening_key"),
    )
    op.create_index("ix_cases_opened_at", "cases", ["opened_at"])
    op.create_index("ix_cases_rig", "cases", ["rig"])
    op.create_table(
        "pages",
        sa.Column("case_id", sa.Text, nullable=False),
        sa.Column("sequence", sa.Integer, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("author", sa.Text, nullable=False),
        sa.Column("entry", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("case_id", "sequence", name="pk_pages"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_pages_case_id_cases"),
        sa.UniqueConstraint("case_id", "key", name="uq_pages_case_id_key"),
        sa.CheckConstraint("sequence >= 1", name=op.f("ck_pages_sequence")),
    )


def _rigs_and_baselines() -> None:
    op.create_table(
        "rigs",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("customer", sa.Text, nullable=False),
        sa.Column("path", sa.JSON, nullable=False),
        sa.Column("saved_at", MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_rigs"),
    )
    op.create_table(
        "baselines",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("rig_id", sa.Text, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("readings", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_baselines"),
        sa.ForeignKeyConstraint(["rig_id"], ["rigs.id"], name="fk_baselines_rig_id_rigs"),
    )
    op.create_index("ix_baselines_rig_id", "baselines", ["rig_id"])
