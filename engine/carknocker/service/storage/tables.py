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
"""Cars. mark, name: as the newest record has them; what they were is in the older ones."""

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

word = Table(
    "word",
    metadata,
    Column("word", Text().with_variant(Text(collation="C"), "postgresql"), primary_key=True),
    Column("car", Text, ForeignKey("car.id"), primary_key=True),
)
"""The words of the marks and names of the cars, by which one is looked for. They sort by their signs alone, on both
databases. Not history: it can be made again."""

Index("word_of_car", word.c.car)

list_order = Table(
    "list_order",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("changes", Integer, nullable=False),
)
"""One row: counts how often cars came into the list or changed places in it."""

standing = Table(
    "standing",
    metadata,
    Column("car", Text, ForeignKey("car.id"), primary_key=True),
    Column("away", Integer, nullable=False),
    Column("ended", Integer, nullable=False),
    Column("out", Text, nullable=False),
    Column("as_of", Text, nullable=False),
    Column("outcome", Text, nullable=False),
    Column("first_fault", Text, nullable=False),
    Column("next_lapse", Text, nullable=False),
    Column("program", Text, nullable=False),
    Column("changes", Integer, nullable=False),
    Column("judged", Integer, nullable=False),
    Column("placed", Integer, nullable=False, server_default="0"),
)
"""How a car stood when it was last judged, so that the list of cars need not judge any. Not history: it can be made
again. away: 1 where the car was put away; ended: 1 where its move was over on that day. program: the version that
judged. changes: counts what was changed of the car or of the rulesets that were sent
in; judged: how many of these the judgement knew; 0: it was not judged yet. placed: by which
change of places (`list_order`) it came to stand where it does in the list."""

Index("standing_by_move", standing.c.away, standing.c.ended, standing.c.out, standing.c.car)
Index("standing_by_change", standing.c.away, standing.c.placed, standing.c.car)

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

account = Table(
    "account",
    metadata,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("known_as", Text, nullable=False, unique=True),
    Column("role", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("made_by", Text, nullable=False),
    CheckConstraint("role IN ('owner', 'helper', 'reader')", name="account_role"),
)
"""Who may log in. known_as: the name without regard to case; a name is given once and for all, so that the history says
who it was. An account is never changed: it is closed, and another one made."""

account_end = Table(
    "account_end",
    metadata,
    Column("account", Text, ForeignKey("account.id"), primary_key=True),
    Column("at", Text, nullable=False),
    Column("by", Text, nullable=False),
)
"""Accounts that are closed."""

password = Table(
    "password",
    metadata,
    Column("account", Text, ForeignKey("account.id"), primary_key=True),
    Column("hash", Text, nullable=False),
    Column("at", Text, nullable=False),
)
"""The password of an account, as argon2 writes it. Not history: of a password that was changed nothing is kept."""

opener = Table(
    "opener",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("kind", Text, nullable=False),
    Column("digest", Text, nullable=False, unique=True),
    Column("account", Text, ForeignKey("account.id")),
    Column("role", Text, nullable=False),
    Column("car", Text, ForeignKey("car.id")),
    Column("about", Text, nullable=False),
    Column("label", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("made_by", Text, nullable=False),
    Column("until", Text, nullable=False),
    Column("signer", Text, nullable=False, server_default=""),
    CheckConstraint(
        "kind IN ('set-up', 'invitation', 'session', 'token', 'inspector', 'shop', 'calendar')", name="opener_kind"
    ),
)
"""What opens the service to somebody: 256 random bits, of which the digest alone is kept. role: that it gives; about:
of a link, the dossier or the sheet; label: what its maker calls it; until: the last moment at which it opens; signer:
of a shop's link, the short name of the one person who signs; "" for whoever is on record."""

Index("opener_of_account", opener.c.account)
Index("opener_of_car", opener.c.car)

opener_end = Table(
    "opener_end",
    metadata,
    Column("opener", Integer, ForeignKey("opener.id"), primary_key=True),
    Column("at", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("why", Text, nullable=False),
)
"""Openers that open no longer though their time is not over: used, taken back, logged out."""

audit = Table(
    "audit",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("at", Text, nullable=False),
    Column("who", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("car", Text, nullable=False),
    Column("about", Text, nullable=False),
)
"""Who did what and when, of all that is no version of a text. No contents."""
