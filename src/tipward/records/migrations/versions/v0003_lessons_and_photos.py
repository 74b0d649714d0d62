"""What was learned (append-only) and the photos of a case."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

MOMENT = sa.DateTime(timezone=True)
SQLITE = (
    """CREATE TRIGGER learned_never_changes BEFORE UPDATE ON learned
    BEGIN SELECT RAISE(ABORT, 'learned is append-only: a lesson never changes'); END""",
    """CREATE TRIGGER learned_never_goes BEFORE DELETE ON learned
    BEGIN SELECT RAISE(ABORT, 'learned is append-only: a lesson never goes'); END""",
    """CREATE TRIGGER learned_never_replaced BEFORE INSERT ON learned
    WHEN EXISTS (SELECT 1 FROM learned WHERE id = NEW.id OR reverses = NEW.reverses)
    BEGIN SELECT RAISE(ABORT, 'learned is append-only: this lesson is there already'); END""",
)
POSTGRESQL = (
    """CREATE TRIGGER learned_append_only BEFORE UPDATE OR DELETE ON learned
    FOR EACH ROW EXECUTE FUNCTION tipward_append_only()""",
    """CREATE TRIGGER learned_no_truncate BEFORE TRUNCATE ON learned
    FOR EACH STATEMENT EXECUTE FUNCTION tipward_append_only()""",
)


def upgrade() -> None:
    op.create_table(
        "learned",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("payload", sa.JSON, nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("reverses", sa.Integer),
        sa.PrimaryKeyConstraint("id", name="pk_learned"),
        sa.ForeignKeyConstraint(["reverses"], ["learned.id"], name="fk_learned_reverses_learned"),
        sa.UniqueConstraint("reverses", name="uq_learned_reverses"),
    )
    op.create_index("ix_learned_kind_key", "learned", ["kind", "key"])
    op.create_table(
        "photos",
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("case_id", sa.Text, nullable=False),
        sa.Column("mime", sa.Text, nullable=False),
        sa.Column("created", MOMENT, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_photos"),
        sa.ForeignKeyConstraint(["case_id"], ["cases.id"], name="fk_photos_case_id_cases"),
    )
    op.create_index("ix_photos_case_id", "photos", ["case_id"])
    for statement in SQLITE if op.get_bind().dialect.name == "sqlite" else POSTGRESQL:
        op.execute(sa.text(statement.replace(":", "\\:")))
