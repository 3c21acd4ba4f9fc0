"""The history of each car: every version that was accepted, with who and when. Nothing in it is changed; a mistake is
corrected by a later version."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Literal, TypeAlias

import msgspec
from msgspec.structs import replace
from sqlalchemy import Connection, Engine, Text, cast, func, insert, select, text, update
from sqlalchemy.exc import IntegrityError

from carknocker.documents.visible_text import one_line
from carknocker.service.storage import car_list, contents
from carknocker.service.storage.car_list import Car, ListedCar, Place, Standing
from carknocker.service.storage.database import DatabaseRefused
from carknocker.service.storage.tables import audit, car, content, entry, sent, standing, word

_CLAIMS = 215239
"""By which its locks on PostgreSQL are known from those of other programs."""
_LOOKED_FOR = 20
Kind: TypeAlias = Literal[
    "record", "move", "edition", "form", "photograph", "dossier", "remark", "sent form", "decision", "put away"
]
PUT_AWAY, BACK_IN_LIST = b"put away\n", b"back in the list\n"
"""What a version of the kind `put away` says of its car."""


class Version(msgspec.Struct, frozen=True):
    """One entry of the history: the bytes of `digest` are version `number` of the series `kind`, `name` of a car."""

    id: int
    car: str
    kind: Kind
    name: str
    number: int
    digest: str
    at: str
    by: str
    note: str


def not_judged(car_id: str, out: str, away: int = 0) -> Standing:
    """A car that waits for its first judgement. out: the day of its move, if that is known."""
    return Standing(car_id, away, 0, out, "", "", "", "", "", 1, 0)


class Changed(Exception):
    """Another version was written meanwhile. newest: that version; None where the series has none."""

    def __init__(self, newest: Version | None) -> None:
        super().__init__("another version was written meanwhile")
        self.newest = newest


class StillNeeded(Exception):
    """Bytes that a car is judged by today; says which."""


def written_time(moment: datetime) -> str:
    """A moment as the tables hold it."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


class History:
    """The history in one database, with the files beside it."""

    def __init__(self, engine: Engine, data: Path) -> None:
        self.engine = engine
        self.data = data

    def add_car(
        self, made: Car, versions: Sequence["NewVersion"] = (), out: str | None = None, once: "Once | None" = None
    ) -> None:
        """A new car with its first versions, all or nothing. out: the day of its move, under which it is listed; None:
        it is not. once: what to answer if the same is sent again. Raises ValueError if there is one of that id, or an
        answer under that key."""
        try:
            with self.engine.begin() as connection:
                connection.execute(insert(car), msgspec.to_builtins(made))
                car_list.add_words(connection, [made])
                if out is not None:
                    connection.execute(insert(standing), msgspec.to_builtins(not_judged(made.id, out)))
                for one in versions:
                    self._add(connection, one)
                if once is not None:
                    _keep_answer(connection, once)
                if out is not None:
                    car_list.change_places(connection, [made.id])
        except IntegrityError:
            raise ValueError(made.id) from None

    def list_all(self, but: str) -> None:
        """Has every car wait for its judgement that is not listed, and be found by its mark and name: of an earlier
        version, or restored. but: the id of what is no car."""
        listed = select(standing.c.car)
        missing = select(car.c.id).where(car.c.id.not_in(listed), car.c.id != but)
        with suppress(IntegrityError), self.engine.begin() as connection:  # another process may list them just now
            found = connection.execute(missing).scalars().all()
            rows = [msgspec.to_builtins(not_judged(one, "", _is_away(connection, one))) for one in found]
            if rows:
                connection.execute(insert(standing), rows)
                car_list.change_places(connection, found)
        without = select(car).where(car.c.id.not_in(select(word.c.car)), car.c.id != but)
        with suppress(IntegrityError), self.engine.begin() as connection:
            car_list.add_words(connection, [_car(row) for row in connection.execute(without)])

    def waiting(self, today: str, program: str, most: int) -> tuple[str, ...]:
        """The ids of cars whose row no longer says how they stand, by the day of their move."""
        changed = (standing.c.judged != standing.c.changes) | (standing.c.as_of != today)
        wanted = select(standing.c.car).where(changed | (standing.c.program != program))
        with self._reading() as connection:
            found = connection.execute(wanted.order_by(standing.c.ended, standing.c.out, standing.c.car).limit(most))
            return tuple(found.scalars())

    @contextmanager
    def claimed(self, car_id: str) -> Iterator[bool]:
        """Whether this process may judge a car for the list, for as long as it does: another one on the same PostgreSQL
        may not then, and may again where this one is lost. On SQLite there is no other."""
        if self.engine.dialect.name != "postgresql":
            yield True
            return
        lock = text("SELECT pg_try_advisory_xact_lock(:program, hashtext(:car))")
        with self.engine.connect() as connection:
            yield bool(connection.execute(lock, {"program": _CLAIMS, "car": car_id}).scalar_one())

    def look_at_folder(self) -> None:
        """Raises DatabaseRefused where none of the newest large files is in the folder: it is another one."""
        newest = select(content.c.digest).join(entry, entry.c.digest == content.c.digest)
        wanted = newest.where(content.c.place == "file").order_by(entry.c.id.desc()).limit(_LOOKED_FOR)
        with self._reading() as connection:
            found = connection.execute(wanted).scalars().all()
        if found and not any(contents.file_of(self.data, digest).exists() for digest in found):
            raise DatabaseRefused(
                "the large files of this database lie in another folder: name that one with --data; services that "
                "share a database share the folder too"
            )

    def look(self) -> None:
        """Asks the database for one row. Raises SQLAlchemyError if it does not answer."""
        with self._reading() as connection:
            connection.execute(select(car.c.id).limit(1)).first()

    def walked(
        self, after: Place | None, most: int, *, away: bool = False, search: str | None = None
    ) -> tuple[ListedCar, ...]:
        """Cars in the order of the list, as `car_list.walked` gives them."""
        with self._reading() as connection:
            return car_list.walked(connection, after, most, away=away, search=search)

    def standing(self, car_id: str) -> "Standing":
        """Raises KeyError if the car was not judged yet."""
        with self._reading() as connection:
            row = connection.execute(select(standing).where(standing.c.car == car_id)).mappings().one_or_none()
        if row is None:
            raise KeyError(car_id)
        return Standing(**row)

    def kept(self, car_id: str, kind: Kind, digest: str) -> Version:
        """The version of a car with these bytes. Raises KeyError if there is none."""
        wanted = select(entry).where(entry.c.car == car_id, entry.c.kind == kind, entry.c.digest == digest)
        with self._reading() as connection:
            row = connection.execute(wanted.order_by(entry.c.id).limit(1)).one_or_none()
        if row is None:
            raise KeyError(digest)
        return _version(row)

    def answered_before(self, key: str) -> tuple[str, bytes] | None:
        """The request and the answer that were kept under a key of the sender; no answer where something was blanked
        since, which it may have held."""
        with self._reading() as connection:
            row = connection.execute(select(sent).where(sent.c.key == key)).one_or_none()
        return None if row is None else (row.request, bytes(row.answer))

    def set_standing(self, new: "Standing", called: tuple[str, str] | None = None) -> None:
        """How a car stands now, unless something newer was judged meanwhile. What was changed meanwhile stays
        counted. called: mark and name of the record that was judged; taken if that is the newest."""
        values = msgspec.to_builtins(new)
        del values["car"], values["changes"], values["away"], values["placed"]
        own = standing.c.car == new.car
        with self.engine.begin() as connection:
            self._hold(connection, new.car)
            before = connection.execute(select(standing).where(own)).one()
            connection.execute(update(standing).where(own & (standing.c.judged <= new.judged)).values(values))
            after = connection.execute(select(standing).where(own)).one()
            if called is not None and after.changes == new.judged:
                car_list.call(connection, new.car, *called)
            if (before.ended, before.out) != (after.ended, after.out):
                car_list.change_places(connection, [new.car])

    def car(self, car_id: str) -> Car:
        """Raises KeyError if there is none."""
        with self._reading() as connection:
            row = connection.execute(select(car).where(car.c.id == car_id)).one_or_none()
        if row is None:
            raise KeyError(car_id)
        return _car(row)

    def add(
        self, versions: Sequence["NewVersion"], once: "Once | None" = None, called: tuple[str, str] | None = None
    ) -> tuple[Version, ...]:
        """Adds versions, all or none. once: what to answer if the same is sent again; kept with them. called: mark and
        name of their car from now on. Raises Changed where one does not follow the newest of its series, KeyError for a
        car that is not there."""
        try:
            with self.engine.begin() as connection:
                added = tuple(self._add(connection, one) for one in versions)
                if called is not None:
                    car_list.call(connection, versions[0].car, *called)
                for one in versions:
                    if one.kind == "put away":
                        away = update(standing).where(standing.c.car == one.car)
                        connection.execute(away.values(away=int(one.body == PUT_AWAY)))
                _count_changes(connection, versions)
                if once is not None:
                    _keep_answer(connection, once)
                moved = [one.car for one in versions if one.kind == "put away"]
                if moved:
                    car_list.change_places(connection, moved)
                return added
        except IntegrityError:
            first = versions[0]
            raise Changed(self.newest(first.car, first.kind, first.name)) from None

    def _add(self, connection: Connection, new: "NewVersion") -> Version:
        self._hold(connection, new.car)
        newest = _newest(connection, new.car, new.kind, new.name)
        if new.after is not None and new.after != (0 if newest is None else newest.number):
            raise Changed(newest)
        digest = contents.put(connection, self.data, new.body, new.media_type)
        number = 1 if newest is None else newest.number + 1
        made = Version(0, new.car, new.kind, new.name, number, digest, new.at, new.by, one_line(new.note))
        values = {key: value for key, value in msgspec.to_builtins(made).items() if key != "id"}
        return replace(made, id=connection.execute(insert(entry).returning(entry.c.id), values).scalar_one())

    @staticmethod
    def _hold(connection: Connection, car_id: str) -> None:
        """Has one write to a car at a time: SQLite has one writer anyway, PostgreSQL holds the car's row, before any
        other of the car. Raises KeyError for a car that is not there."""
        held = select(car.c.id).where(car.c.id == car_id).with_for_update()
        if connection.execute(held).one_or_none() is None:
            raise KeyError(car_id)

    def newest(self, car_id: str, kind: Kind, name: str) -> Version | None:
        """The newest version of a series."""
        with self._reading() as connection:
            return _newest(connection, car_id, kind, name)

    def version(self, car_id: str, kind: Kind, name: str, number: int) -> Version:
        """Raises KeyError if there is none."""
        wanted = (entry.c.car == car_id, entry.c.kind == kind, entry.c.name == name, entry.c.number == number)
        with self._reading() as connection:
            row = connection.execute(select(entry).where(*wanted)).one_or_none()
        if row is None:
            raise KeyError(number)
        return _version(row)

    def entry(self, car_id: str, number: int) -> Version:
        """The entry of a car by its number in the history. Raises KeyError if there is none."""
        with self._reading() as connection:
            wanted = select(entry).where(entry.c.car == car_id, entry.c.id == number)
            row = connection.execute(wanted).one_or_none()
        if row is None:
            raise KeyError(number)
        return _version(row)

    def versions(
        self, car_id: str, kind: Kind | None = None, *, name: str | None = None, before: int | None = None,
        most: int = 50,
    ) -> tuple[Version, ...]:  # fmt: skip
        """The entries of a car, the newest first. name: of that series alone. before: only those older than the entry
        of that id."""
        wanted = select(entry).where(entry.c.car == car_id)
        if kind is not None:
            wanted = wanted.where(entry.c.kind == kind)
        if name is not None:
            wanted = wanted.where(entry.c.name == name)
        if before is not None:
            wanted = wanted.where(entry.c.id < before)
        with self._reading() as connection:
            return tuple(_version(row) for row in connection.execute(wanted.order_by(entry.c.id.desc()).limit(most)))

    def undecided(self, car_id: str, name: str | None = None, *, most: int) -> tuple[Version, ...]:
        """The forms that were sent for a car and wait for a decision, the one that waits longest first. name: of that
        series alone."""
        decision = entry.alias("decision")
        about = (decision.c.car == entry.c.car) & (decision.c.name == cast(entry.c.id, Text))
        decided = select(decision.c.id).where(about & (decision.c.kind == "decision")).exists()
        wanted = select(entry).where((entry.c.car == car_id) & (entry.c.kind == "sent form") & ~decided)
        if name is not None:
            wanted = wanted.where(entry.c.name == name)
        with self._reading() as connection:
            return tuple(_version(row) for row in connection.execute(wanted.order_by(entry.c.id).limit(most)))

    def decisions(self, car_id: str, forms: Sequence[int]) -> dict[int, Version]:
        """By the id of each of these forms that is decided: its decision."""
        names = [str(one) for one in forms]
        wanted = select(entry).where(entry.c.car == car_id, entry.c.kind == "decision", entry.c.name.in_(names))
        with self._reading() as connection:
            return {int(row.name): _version(row) for row in connection.execute(wanted)}

    def series(self, car_id: str, kind: Kind) -> tuple[Version, ...]:
        """The newest version of each series of a kind, by name."""
        newest = (
            select(entry.c.name, func.max(entry.c.number).label("number"))
            .where(entry.c.car == car_id, entry.c.kind == kind)
            .group_by(entry.c.name)
            .subquery()
        )
        wanted = (
            select(entry)
            .join(newest, (entry.c.name == newest.c.name) & (entry.c.number == newest.c.number))
            .where(entry.c.car == car_id, entry.c.kind == kind)
            .order_by(entry.c.name)
        )
        with self._reading() as connection:
            return tuple(_version(row) for row in connection.execute(wanted))

    def at_hand(self, car_id: str, kind: Kind) -> tuple[tuple[str, str], ...]:
        """Name and digest of the newest version of each series of a kind, of those whose bytes were not blanked."""
        found = {one.name: one.digest for one in self.series(car_id, kind)}
        wanted = select(content.c.digest).where(content.c.digest.in_(found.values()), content.c.place != "blanked")
        with self._reading() as connection:
            there = set(connection.execute(wanted).scalars())
        return tuple((name, digest) for name, digest in found.items() if digest in there)

    def blanked(self, car_id: str) -> dict[str, str]:
        """Digest → day, name and reason of what was blanked of a car's history."""
        wanted = (
            select(content.c.digest, content.c.blanked_at, content.c.blanked_by, content.c.blanked_why)
            .join(entry, entry.c.digest == content.c.digest)
            .where(entry.c.car == car_id, content.c.place == "blanked")
        )
        with self._reading() as connection:
            return {row.digest: contents.blanked_words(row) for row in connection.execute(wanted)}

    def body(self, digest: str) -> tuple[contents.Content, bytes]:
        """Raises KeyError for bytes that were never kept, ContentMissing where they are not at hand."""
        with self._reading() as connection:
            return contents.get(connection, self.data, digest)

    def text(self, version: Version) -> str:
        """The text of a version. Raises ContentMissing."""
        return self.body(version.digest)[1].decode("utf-8")

    def blank(self, digests: Sequence[str], at: str, by: str, why: str) -> None:
        """Takes bytes away for good, all or none, and keeps when, by whom and why; has the cars that had them wait for
        their judgement. Raises KeyError where there are none, StillNeeded where a car is judged by them."""
        with self.engine.begin() as connection:
            for digest in digests:
                if _is_newest(connection, digest):
                    raise StillNeeded(digest)
                contents.blank(connection, digest, at, by, why)
                line = {"at": at, "who": by, "what": "took something away for good", "car": "", "about": digest[:8]}
                connection.execute(insert(audit), line)
                cars = select(entry.c.car).where(entry.c.digest == digest)
                more = update(standing).where(standing.c.car.in_(cars)).values(changes=standing.c.changes + 1)
                connection.execute(more)
            connection.execute(update(sent).values(answer=b""))  # it may hold what a form brought
        self._wipe(digests)

    def wipe_blanked(self) -> None:
        """Takes away what a process may have left of blanked bytes that was killed on the way."""
        with self._reading() as connection:
            gone = connection.execute(select(content.c.digest).where(content.c.place == "blanked")).scalars().all()
        if gone:
            self._wipe(gone)

    def _wipe(self, digests: Sequence[str]) -> None:
        contents.unlink(self.data, digests)
        if self.engine.dialect.name == "sqlite":  # the log that was written ahead has the bytes until it is cut
            with self.engine.connect() as connection:
                connection.connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def _reading(self) -> "Connection":
        return self.engine.connect().execution_options(reading=True)


class NewVersion(msgspec.Struct, frozen=True):
    """A version to be added. after: the number of the version that it was made from, 0 for none; None: whatever is
    newest."""

    car: str
    kind: Kind
    name: str
    body: bytes
    media_type: str
    at: str
    by: str
    note: str = ""
    after: int | None = None


class Once(msgspec.Struct, frozen=True):
    """What was answered to a request with a key of the sender. request: the digest of what was sent."""

    key: str
    request: str
    answer: bytes
    at: str


def _is_away(connection: Connection, car_id: str) -> int:
    newest = _newest(connection, car_id, "put away", "")
    return int(newest is not None and newest.digest == sha256(PUT_AWAY).hexdigest())


def _keep_answer(connection: Connection, once: Once) -> None:
    connection.execute(insert(sent), {**msgspec.structs.asdict(once), "status": 200})


def _count_changes(connection: Connection, versions: Sequence[NewVersion]) -> None:
    """Has the cars wait for their judgement that the versions are about: an edition binds all of them."""
    one_more = update(standing).values(changes=standing.c.changes + 1)
    if any(one.kind == "edition" for one in versions):
        connection.execute(one_more)
        return
    cars = {one.car for one in versions if one.kind in ("record", "move")}
    if cars:
        connection.execute(one_more.where(standing.c.car.in_(cars)))


def _newest(connection: Connection, car_id: str, kind: Kind, name: str) -> Version | None:
    wanted = select(entry).where(entry.c.car == car_id, entry.c.kind == kind, entry.c.name == name)
    row = connection.execute(wanted.order_by(entry.c.number.desc()).limit(1)).one_or_none()
    return None if row is None else _version(row)


def _is_newest(connection: Connection, digest: str) -> bool:
    """Whether some car is judged by these bytes as its newest record or move."""
    later = entry.alias("later")
    newer = (later.c.car == entry.c.car) & (later.c.kind == entry.c.kind) & (later.c.name == entry.c.name)
    followed = select(later.c.id).where(newer & (later.c.number > entry.c.number)).exists()
    judged_by = entry.c.kind.in_(("record", "move", "edition"))
    wanted = select(entry.c.id).where((entry.c.digest == digest) & judged_by & ~followed)
    return connection.execute(wanted.limit(1)).first() is not None


def _car(row: "object") -> Car:
    return msgspec.convert(row, Car, from_attributes=True)


def _version(row: "object") -> Version:
    return msgspec.convert(row, Version, from_attributes=True)
