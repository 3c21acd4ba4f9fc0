"""Private addresses of a car's calendar: whoever has one reads it without logging in, until the owner takes it back."""

from collections.abc import Callable
from datetime import datetime, timedelta

from carknocker.documents.visible_text import one_line
from carknocker.service.access.roles import Visitor
from carknocker.service.access.secret import digest_of, secret
from carknocker.service.storage.accounts import AccountStore, Act, NewOpener, NotOpen, Opener
from carknocker.service.storage.history import written_time

MOST_OF_CAR = 20
_DAYS = 3_653
"""Ten years: a calendar program reads on until the address is taken back."""


class TooManyCalendars(Exception):
    """A car has as many addresses as may be open; says so."""


class Calendars:
    """The addresses of calendars. now: the clock."""

    def __init__(self, store: AccountStore, now: Callable[[], datetime]) -> None:
        self._store = store
        self._now = now

    def make(self, car: str, label: str, by: Visitor) -> str:
        """The secret of a new address. label: whom it is for. Raises TooManyCalendars."""
        if len(self.of_car(car)) >= MOST_OF_CAR:
            raise TooManyCalendars(f"{MOST_OF_CAR} addresses of this calendar are open; take some back first")
        made, at, label = secret(), self._at(), one_line(label)
        until = written_time(self._now() + timedelta(days=_DAYS))
        new = NewOpener("calendar", digest_of(made), "calendar", at, by.name, until, car=car, label=label)
        self._store.add_opener(new, Act(at, by.name, "made the address of a calendar", car, label))
        return made

    def car_of(self, said: str) -> str:
        """The id of the car whose calendar a secret opens. Raises NotOpen."""
        found = self._store.opener("calendar", digest_of(said), self._at()).car
        if not found:
            raise NotOpen
        return found

    def of_car(self, car: str) -> tuple[Opener, ...]:
        """The open addresses of a car's calendar."""
        return self._store.openers(("calendar",), self._at(), car=car)

    def take_back(self, car: str, number: int, by: Visitor) -> bool:
        """Takes an address back; whether there was one."""
        act = Act(self._at(), by.name, "took back the address of a calendar", car, f"address {number}")
        return self._store.end_opener(number, ("calendar",), act, "taken back", car=car)

    def _at(self) -> str:
        return written_time(self._now())
