"""The list of cars begins with the moves that are to come, and leaves out what was put away."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.drop_table("standing")  # no history: the rows are made again when the service starts
    op.create_table(
        "standing",
        sa.Column("car", sa.Text, sa.ForeignKey("car.id"), primary_key=True),
        sa.Column("away", sa.Integer, nullable=False),
        sa.Column("ended", sa.Integer, nullable=False),
        sa.Column("out", sa.Text, nullable=False),
        sa.Column("as_of", sa.Text, nullable=False),
        sa.Column("outcome", sa.Text, nullable=False),
        sa.Column("first_fault", sa.Text, nullable=False),
        sa.Column("next_lapse", sa.Text, nullable=False),
        sa.Column("program", sa.Text, nullable=False),
        sa.Column("changes", sa.Integer, nullable=False),
        sa.Column("judged", sa.Integer, nullable=False),
    )
    op.create_index("standing_by_move", "standing", ["away", "ended", "out", "car"])
