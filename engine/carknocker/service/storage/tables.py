"""The tables of the service. Times are UTC, written as `2026-11-30T06:18:03Z`: both databases sort them alike."""

from sqlalchemy import (
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

metadata = MetaData()

content = Table(
    "content",
    metadata,
    Column("digest", Text, primary_key=True),
    Column("size", Integer, nullable=False),
    Column("media_type", Text, nullable=False),
    Column("body", LargeBinary),
    Column("place", Text, nullable=False),
    Column("blanked_at", Text),
    Column("blanked_by", Text),
    Column("blanked_why", Text),
    CheckConstraint("place IN ('database', 'file', 'blanked')", name="content_place"),
)
"""Bytes by their SHA-256 digest. place: in the column `body`, in a file beside the database, or blanked: then the bytes
are gone, and digest, day, name and reason stay."""

car = Table(
    "car",
    metadata,
    Column("id", Text, primary_key=True),
    Column("mark", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("made_by", Text, nullable=False),
)

entry = Table(
    "entry",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("car", Text, ForeignKey("car.id"), nullable=False),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("number", Integer, nullable=False),
    Column("digest", Text, ForeignKey("content.digest"), nullable=False),
    Column("at", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("note", Text, nullable=False),
    UniqueConstraint("car", "kind", "name", "number", name="entry_versions"),
    CheckConstraint("number >= 1", name="entry_number"),
)
"""The history. kind and name: which series of the car the entry is a version of; number: counts the versions from 1.
Two who write the same number at once collide, and the second is told."""

Index("entry_of_car", entry.c.car, entry.c.id)

standing = Table(
    "standing",
    metadata,
    Column("car", Text, ForeignKey("car.id"), primary_key=True),
    Column("out", Text, nullable=False),
    Column("as_of", Text, nullable=False),
    Column("outcome", Text, nullable=False),
    Column("first_fault", Text, nullable=False),
    Column("next_lapse", Text, nullable=False),
    Column("program", Text, nullable=False),
    Column("changes", Integer, nullable=False),
    Column("judged", Integer, nullable=False),
)
"""How a car stood when it was last judged, so that the list of cars need not judge any. Not history: it can be made
again. program: the version that judged. changes: counts what was changed of the car or of the rulesets that were sent
in; judged: how many of these the judgement knew; 0: it was not judged yet."""

Index("standing_by_move", standing.c.out, standing.c.car)

sent = Table(
    "sent",
    metadata,
    Column("key", Text, primary_key=True),
    Column("request", Text, nullable=False),
    Column("status", Integer, nullable=False),
    Column("answer", LargeBinary, nullable=False),
    Column("at", Text, nullable=False),
)
"""What was answered to a request that carried a key of its own, so that one sent twice is done once."""
