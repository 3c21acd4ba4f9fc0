"""Links for those who have no account: the host's inspector's to one dossier, a shop's to one sheet. A link is an
address with 256 random bits; who holds it holds what it opens, until its time is over or it is taken back."""

from collections.abc import Callable
from datetime import datetime, timedelta

from carknocker.documents.visible_text import one_line
from carknocker.service.access.names import plain_name
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.access.secret import digest_of, secret
from carknocker.service.storage.accounts import AccountStore, Act, NewOpener, NotOpen, Opener, OpenerKind
from carknocker.service.storage.history import written_time

LONGEST_DAYS = 90
MOST_OF_CAR = 40
_KINDS: dict[Role, OpenerKind] = {Role.INSPECTOR: "inspector", Role.SHOP: "shop"}


class TooManyLinks(Exception):
    """A car has as many links as may be open; says so."""


class Links:
    """The links to what is kept. now: the clock."""

    def __init__(self, store: AccountStore, now: Callable[[], datetime]) -> None:
        self._store = store
        self._now = now

    def make(self, role: Role, car: str, about: str, label: str, days: int, by: Visitor, signer: str = "") -> str:
        """The secret of a new link. about: the digest of a dossier, or the name of a sheet; label: whom it is for, of a
        shop the name under which the history shows it. signer: who signs what a shop sends, by his short name.
        Raises NameRefused, ValueError, TooManyLinks."""
        if not 1 <= days <= LONGEST_DAYS:
            raise ValueError(days)
        label = plain_name(label) if role is Role.SHOP else one_line(label)
        if len(self.of_car(car)) >= MOST_OF_CAR:
            raise TooManyLinks(f"{MOST_OF_CAR} links to this car are open; take some back first")
        made, at = secret(), self._at()
        kind = _KINDS[role]
        until = written_time(self._now() + timedelta(days=days))
        new = NewOpener(kind, digest_of(made), role.value, at, by.name, until, car=car, about=about, label=label,
                        signer=signer)  # fmt: skip
        self._store.add_opener(new, Act(at, by.name, f"made the {role.value}'s link", car, label))
        return made

    def visitor(self, role: Role, said: str) -> Visitor:
        """Who holds a link. Raises NotOpen."""
        if role not in _KINDS:
            raise NotOpen
        found = self._store.opener(_KINDS[role], digest_of(said), self._at())
        name = f"{found.label + ', by ' if role is Role.SHOP else ''}{role.value}'s link {found.id}"
        return Visitor(name, role, found.id, "", found.car, found.about, found.signer)

    def of_car(self, car: str) -> tuple[Opener, ...]:
        """The links to a car that open."""
        return self._store.openers(("inspector", "shop"), self._at(), car=car)

    def take_back(self, car: str, number: int, by: Visitor) -> bool:
        """Takes back a link to a car; whether there was one."""
        act = Act(self._at(), by.name, "took back a link", car, f"link {number}")
        return self._store.end_opener(number, ("inspector", "shop"), act, "taken back", car=car)

    def _at(self) -> str:
        return written_time(self._now())
