"""The first tables, and what the database itself refuses: to change or delete what is history."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "content",
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary),
        sa.Column("place", sa.Text, nullable=False),
        sa.Column("blanked_at", sa.Text),
        sa.Column("blanked_by", sa.Text),
        sa.Column("blanked_why", sa.Text),
        sa.CheckConstraint("place IN ('database', 'file', 'blanked')", name="content_place"),
    )
    op.create_table(
        "car",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("mark", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("car", sa.Text, sa.ForeignKey("car.id"), nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("digest", sa.Text, sa.ForeignKey("content.digest"), nullable=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.UniqueConstraint("car", "kind", "name", "number", name="entry_versions"),
        sa.CheckConstraint("number >= 1", name="entry_number"),
    )
    op.create_index("entry_of_car", "entry", ["car", "id"])
    op.create_table(
        "standing",
        sa.Column("car", sa.Text, sa.ForeignKey("car.id"), primary_key=True),
        sa.Column("out", sa.Text, nullable=False),
        sa.Column("as_of", sa.Text, nullable=False),
        sa.Column("outcome", sa.Text, nullable=False),
        sa.Column("first_fault", sa.Text, nullable=False),
        sa.Column("next_lapse", sa.Text, nullable=False),
        sa.Column("of_entry", sa.Integer, nullable=False),
    )
    op.create_index("standing_by_move", "standing", ["out", "car"])
    op.create_table(
        "sent",
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("request", sa.Text, nullable=False),
        sa.Column("status", sa.Integer, nullable=False),
        sa.Column("answer", sa.LargeBinary, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
    )
    if op.get_bind().dialect.name == "sqlite":
        _refuse_in_sqlite()
    else:
        _refuse_in_postgresql()


def _refuse_in_sqlite() -> None:
    for name, when in (
        ("entry_stays", "UPDATE ON entry"),
        ("entry_kept", "DELETE ON entry"),
        ("content_kept", "DELETE ON content"),
    ):
        op.execute(f"CREATE TRIGGER {name} BEFORE {when} BEGIN SELECT RAISE(ABORT, 'history stays'); END")
    op.execute(
        "CREATE TRIGGER content_stays BEFORE UPDATE ON content "
        "WHEN NEW.place <> 'blanked' OR OLD.place = 'blanked' OR NEW.digest <> OLD.digest OR NEW.body IS NOT NULL "
        "BEGIN SELECT RAISE(ABORT, 'history stays'); END"
    )


def _refuse_in_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION history_stays() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'history stays'; END $$"
    )
    for name, when in (
        ("entry_stays", "UPDATE OR DELETE ON entry FOR EACH ROW"),
        ("content_kept", "DELETE ON content FOR EACH ROW"),
        (
            "content_stays",
            "UPDATE ON content FOR EACH ROW WHEN (NEW.place <> 'blanked' OR OLD.place = 'blanked' "
            "OR NEW.digest <> OLD.digest OR NEW.body IS NOT NULL)",
        ),
    ):
        op.execute(f"CREATE TRIGGER {name} BEFORE {when} EXECUTE FUNCTION history_stays()")
