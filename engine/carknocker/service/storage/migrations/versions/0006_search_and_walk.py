"""A car is found by the words of its mark and name, and the list can be walked while cars change places in it."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    op.create_table(  # filled when the service starts
        "word",
        sa.Column("word", sa.Text().with_variant(sa.Text(collation="C"), "postgresql"), primary_key=True),
        sa.Column("car", sa.Text, sa.ForeignKey("car.id"), primary_key=True),
    )
    op.create_index("word_of_car", "word", ["car"])
    order = op.create_table(
        "list_order",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("changes", sa.Integer, nullable=False),
    )
    op.bulk_insert(order, [{"id": 1, "changes": 0}])
    op.add_column("standing", sa.Column("placed", sa.Integer, nullable=False, server_default="0"))
    op.create_index("standing_by_change", "standing", ["away", "placed", "car"])
