"""How cars stand is judged in the background: what each row was judged by is counted, so that it shows which wait."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.drop_table("standing")  # no history: the rows are made again when the service starts
    op.create_table(
        "standing",
        sa.Column("car", sa.Text, sa.ForeignKey("car.id"), primary_key=True),
        sa.Column("out", sa.Text, nullable=False),
        sa.Column("as_of", sa.Text, nullable=False),
        sa.Column("outcome", sa.Text, nullable=False),
        sa.Column("first_fault", sa.Text, nullable=False),
        sa.Column("next_lapse", sa.Text, nullable=False),
        sa.Column("program", sa.Text, nullable=False),
        sa.Column("changes", sa.Integer, nullable=False),
        sa.Column("judged", sa.Integer, nullable=False),
    )
    op.create_index("standing_by_move", "standing", ["out", "car"])
