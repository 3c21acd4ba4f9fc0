"""The list of cars: in which order they stand, how it is walked page by page while cars change places in it, and how
one is found by its mark, its number or its name. No history: all of it can be made again."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Any

import msgspec
from sqlalchemy import Connection, Select, delete, insert, select, tuple_, update

from carknocker.service.storage.tables import car, list_order, standing, word

PLACE = r"(?:[01]~[0-9-]{0,10}|2~[0-9]{1,9})~[0-9a-z]{1,40}~[0-9]{1,9}"
"""A place as it is written: a pattern."""
_PLACE = re.compile("([012])~([0-9-]{0,10})~([0-9a-z]{1,40})~([0-9]{1,9})")
_TO_COME, _OVER, _MOVED = 0, 1, 2
_WORD = re.compile(r"[^\W\d_]+|\d+")
_LONGEST_WORD, _MOST_WORDS = 40, 40
_AT_ONCE = 500
_LAST_SIGN = "\U0010ffff"
"""Sorts behind every letter and figure."""


class Car(msgspec.Struct, frozen=True):
    """A car that the service knows. id: in addresses; mark, name: as its newest record has them."""

    id: str
    mark: str
    name: str
    made_at: str
    made_by: str

    @property
    def title(self) -> str:
        """Reporting mark and name, where it has one."""
        return " ".join(filter(None, (self.mark, self.name)))


class Standing(msgspec.Struct, frozen=True):
    """How a car stood on the day `as_of`, for the list of cars; not history. away, ended, program, changes, judged,
    placed: as in the table of that name."""

    car: str
    away: int
    ended: int
    out: str
    as_of: str
    outcome: str
    first_fault: str
    next_lapse: str
    program: str
    changes: int
    judged: int
    placed: int = 0

    def is_of(self, today: str, program: str) -> bool:
        """Whether it is what this version of the program would say today."""
        return self.judged == self.changes and self.as_of == today and self.program == program


class Place(msgspec.Struct, frozen=True):
    """How far the list was walked. section: 0: the moves to come, by the day out; 1: those that are over, the last one
    first; 2: the cars that changed places since the walk began, in the order in which they did. of: the day out, or in
    section 2 which change of places it was. car: the last car shown. since: which change of places was the newest when
    the walk began."""

    section: int
    of: str
    car: str
    since: int

    def __str__(self) -> str:
        return f"{self.section}~{self.of}~{self.car}~{self.since}"

    @classmethod
    def read(cls, said: str) -> "Place | None":
        """The place that is written so; None for anything else."""
        found = _PLACE.fullmatch(said) if re.fullmatch(PLACE, said) else None
        return None if found is None else cls(int(found[1]), found[2], found[3], int(found[4]))


class ListedCar(msgspec.Struct, frozen=True):
    """A car in the list. place: where the list goes on behind it. moved: it changed places while the list was walked,
    and may have been shown before."""

    car: Car
    standing: Standing
    place: Place

    @property
    def moved(self) -> bool:
        return self.place.section == _MOVED


def walked(
    connection: Connection, after: Place | None, most: int, *, away: bool, search: str | None = None
) -> tuple[ListedCar, ...]:
    """Cars with how they stood, in the order of the list. after: the place of the last one known; away: those that were
    put away, and no others; search: those whose mark or name has words that begin so, and no others.

    Of the cars whose place is the same all the while each is met once. One that comes, or changes places, after the
    walk began is met at its end, so that none is missed; it may have been met before."""
    since = after.since if after is not None else _newest_change(connection)
    of_sort = select(car, standing).join(standing, standing.c.car == car.c.id).where(standing.c.away == int(away))
    if search is not None:
        of_sort = _named(of_sort, search)
    found: list[ListedCar] = []
    for section in range(_TO_COME if after is None else after.section, _MOVED + 1):
        begun = after if after is not None and after.section == section else None
        rows = connection.execute(_of_section(of_sort, section, begun, since).limit(most - len(found))).mappings()
        found += [_listed(row, section, since) for row in rows]
        if len(found) == most:
            break
    return tuple(found)


def _of_section(of_sort: "Select[Any]", section: int, begun: Place | None, since: int) -> "Select[Any]":
    if section == _MOVED:
        order = tuple_(standing.c.placed, standing.c.car)
        met = standing.c.placed > since if begun is None else order > (int(begun.of), begun.car)
        return of_sort.where(met).order_by(standing.c.placed, standing.c.car)
    # not by the index of changes: `+ 0` hides the column from SQLite's choice
    unmoved = of_sort.where(standing.c.ended == section, standing.c.placed + 0 <= since)
    order = tuple_(standing.c.out, standing.c.car)
    if section == _TO_COME:
        rest = unmoved if begun is None else unmoved.where(order > (begun.of, begun.car))
        return rest.order_by(standing.c.out, standing.c.car)
    rest = unmoved if begun is None else unmoved.where(order < (begun.of, begun.car))
    return rest.order_by(standing.c.out.desc(), standing.c.car.desc())


def _listed(row: Any, section: int, since: int) -> ListedCar:
    known = Car(**{column.name: row[column] for column in car.c})
    stood = Standing(**{column.name: row[column] for column in standing.c})
    of = str(stood.placed) if section == _MOVED else stood.out
    return ListedCar(known, stood, Place(section, of, known.id, since))


def _named(wanted: "Select[Any]", search: str) -> "Select[Any]":
    """Those of which each word of the search begins one; none where it has no word. A number, or else the longest word,
    finds few: the others are looked for among those."""
    words = sorted(words_of(search), key=lambda one: (one.isdigit(), len(one)), reverse=True)
    if not words:
        return wanted.where(standing.c.car == "")
    first, *others = (select(word.c.car).where(word.c.word >= one, word.c.word < f"{one}{_LAST_SIGN}") for one in words)
    for other in others:
        wanted = wanted.where(other.where(word.c.car == standing.c.car).exists())
    return wanted.where(standing.c.car.in_(first))


def words_of(text: str) -> tuple[str, ...]:
    """The words by which a car is found, each once: letters and figures apart, without regard to case and accents, so
    that `QWHX 27`, `qwhx-27` and `QWHX27` are alike."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return tuple(dict.fromkeys(one[:_LONGEST_WORD] for one in _WORD.findall(plain)))[:_MOST_WORDS]


def add_words(connection: Connection, cars: Iterable[Car]) -> None:
    """Has cars be found that no word leads to yet."""
    rows = [{"word": own, "car": one.id} for one in cars for own in words_of(one.title)]
    if rows:
        connection.execute(insert(word), rows)


def call(connection: Connection, car_id: str, mark: str, name: str) -> None:
    """Gives a car the mark and the name of its newest record, by which it is found from now on, and by no others."""
    known = Car(car_id, mark, name, "", "")
    connection.execute(update(car).where(car.c.id == car_id).values(mark=mark, name=name))
    connection.execute(delete(word).where(word.c.car == car_id))
    add_words(connection, [known])


def change_places(connection: Connection, cars: Sequence[str]) -> None:
    """Notes that cars have come into the list, or stand elsewhere in it from now on. The last that a transaction does:
    those that change places do it one after the other, so that whoever sees a change sees all that came before it."""
    newest = update(list_order).values(changes=list_order.c.changes + 1).returning(list_order.c.changes)
    changes = connection.execute(newest).scalar_one()
    for start in range(0, len(cars), _AT_ONCE):
        some = standing.c.car.in_(cars[start : start + _AT_ONCE])
        connection.execute(update(standing).where(some).values(placed=changes))


def _newest_change(connection: Connection) -> int:
    return int(connection.execute(select(list_order.c.changes)).scalar_one())
