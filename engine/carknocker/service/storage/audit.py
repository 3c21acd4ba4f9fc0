"""The audit list: who did what and when. Versions of texts, forms, dossiers are in the history already, and are read
from there; the rest is in a table of its own. No contents: not what was written, only that it was."""

import re

import msgspec
from sqlalchemy import Connection, Engine, String, cast, insert, literal, select, tuple_, union_all

from carknocker.service.storage.accounts import Act
from carknocker.service.storage.tables import audit, entry

_PLACE = re.compile(r"([0-9TZ:-]{20})~([01])~([0-9]{1,9})")


class Line(msgspec.Struct, frozen=True):
    """A line of the list. place: by which the lines after it are asked for."""

    at: str
    who: str
    what: str
    car: str
    about: str
    place: str


class AuditList:
    """The list in one database."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def lines(self, before: str = "", most: int = 50) -> tuple[Line, ...]:
        """The newest lines first. before: the place of the last one that is known. Raises ValueError for none."""
        own = select(audit.c.at, literal(1).label("source"), audit.c.id, audit.c.who, audit.c.what, audit.c.car,
                     audit.c.about)  # fmt: skip
        versions = select(
            entry.c.at, literal(0).label("source"), entry.c.id, entry.c.by.label("who"),
            (literal("wrote: ") + entry.c.kind).label("what"), entry.c.car,
            (literal("version ") + cast(entry.c.number, String)).label("about"),
        )  # fmt: skip
        every = union_all(own, versions).subquery()
        order = tuple_(every.c.at, every.c.source, every.c.id)
        wanted = select(every)
        if before:
            found = _PLACE.fullmatch(before)
            if found is None:
                raise ValueError(before)
            wanted = wanted.where(order < (found[1], int(found[2]), int(found[3])))
        wanted = wanted.order_by(every.c.at.desc(), every.c.source.desc(), every.c.id.desc()).limit(most)
        with self._reading() as connection:
            return tuple(
                Line(row.at, row.who, row.what, row.car, row.about, f"{row.at}~{row.source}~{row.id}")
                for row in connection.execute(wanted)
            )

    def note_once(self, act: Act) -> None:
        """Writes a line, unless the same was written of the same before."""
        known = select(audit.c.id).where(
            audit.c.who == act.who, audit.c.what == act.what, audit.c.car == act.car, audit.c.about == act.about
        )
        with self._reading() as connection:
            if connection.execute(known.limit(1)).first() is not None:
                return
        with self._engine.begin() as connection:
            connection.execute(insert(audit), msgspec.to_builtins(act))

    def _reading(self) -> Connection:
        return self._engine.connect().execution_options(reading=True)
