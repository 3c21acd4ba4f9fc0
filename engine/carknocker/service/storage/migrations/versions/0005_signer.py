"""A shop's link names who signs what comes by it."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.add_column("opener", sa.Column("signer", sa.Text, nullable=False, server_default=""))
