"""Accounts, what opens the service to somebody, and the audit list; of these too the database refuses to change or
delete what is history."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"

_STAY = ("account", "account_end", "opener", "opener_end", "audit")


def upgrade() -> None:
    op.create_table(
        "account",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("known_as", sa.Text, nullable=False, unique=True),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.CheckConstraint("role IN ('owner', 'helper', 'reader')", name="account_role"),
    )
    op.create_table(
        "account_end",
        sa.Column("account", sa.Text, sa.ForeignKey("account.id"), primary_key=True),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("by", sa.Text, nullable=False),
    )
    op.create_table(
        "password",
        sa.Column("account", sa.Text, sa.ForeignKey("account.id"), primary_key=True),
        sa.Column("hash", sa.Text, nullable=False),
        sa.Column("at", sa.Text, nullable=False),
    )
    op.create_table(
        "opener",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("digest", sa.Text, nullable=False, unique=True),
        sa.Column("account", sa.Text, sa.ForeignKey("account.id")),
        sa.Column("role", sa.Text, nullable=False),
        sa.Column("car", sa.Text, sa.ForeignKey("car.id")),
        sa.Column("about", sa.Text, nullable=False),
        sa.Column("label", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("until", sa.Text, nullable=False),
        sa.CheckConstraint(
            "kind IN ('set-up', 'invitation', 'session', 'token', 'inspector', 'shop', 'calendar')", name="opener_kind"
        ),
    )
    op.create_index("opener_of_account", "opener", ["account"])
    op.create_index("opener_of_car", "opener", ["car"])
    op.create_table(
        "opener_end",
        sa.Column("opener", sa.Integer, sa.ForeignKey("opener.id"), primary_key=True),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
    )
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("car", sa.Text, nullable=False),
        sa.Column("about", sa.Text, nullable=False),
    )
    sqlite = op.get_bind().dialect.name == "sqlite"
    for table in _STAY:
        if sqlite:
            for name, when in ((f"{table}_stays", "UPDATE"), (f"{table}_kept", "DELETE")):
                op.execute(
                    f"CREATE TRIGGER {name} BEFORE {when} ON {table} BEGIN SELECT RAISE(ABORT, 'history stays'); END"
                )
        else:
            op.execute(
                f"CREATE TRIGGER {table}_stays BEFORE UPDATE OR DELETE ON {table} FOR EACH ROW "
                "EXECUTE FUNCTION history_stays()"
            )
