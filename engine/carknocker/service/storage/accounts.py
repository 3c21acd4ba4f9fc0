"""Accounts, what opens the service to somebody, and the audit list, as the database holds them. A change of them and
its line in the audit list are written together or not at all."""

from collections.abc import Sequence
from typing import Any, Literal, TypeAlias

import msgspec
from sqlalchemy import ColumnElement, Connection, Engine, Select, and_, insert, select, update
from sqlalchemy.exc import IntegrityError

from carknocker.service.storage.tables import account, account_end, audit, opener, opener_end, password

OpenerKind: TypeAlias = Literal["set-up", "invitation", "session", "token", "inspector", "shop", "calendar"]


class Account(msgspec.Struct, frozen=True):
    """Who may log in. closed_at: when the account was closed; "" while it is open."""

    id: str
    name: str
    role: str
    made_at: str
    made_by: str
    closed_at: str = ""


class Opener(msgspec.Struct, frozen=True):
    """What opens the service to somebody. account: whose it is, by id and name, "" for nobody's. car, about: of a link,
    to what of which car. ended_at: when it was used or taken back; "" if it was not. signer: as in the table."""

    id: int
    kind: OpenerKind
    account: str
    name: str
    role: str
    car: str
    about: str
    label: str
    made_at: str
    made_by: str
    until: str
    ended_at: str = ""
    signer: str = ""


class NewOpener(msgspec.Struct, frozen=True):
    """An opener to be kept, by the digest of its secret."""

    kind: OpenerKind
    digest: str
    role: str
    made_at: str
    made_by: str
    until: str
    account: str | None = None
    car: str | None = None
    about: str = ""
    label: str = ""
    signer: str = ""


class Act(msgspec.Struct, frozen=True):
    """A line of the audit list: who did what, and when."""

    at: str
    who: str
    what: str
    car: str = ""
    about: str = ""


class NameTaken(Exception):
    """There is or was an account of that name."""


class NotOpen(Exception):
    """An opener that opens nothing: there is none, or its time is over, or it was used or taken back. Which of these is
    not said."""


class AccountStore:
    """The accounts in one database."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    # ---------------------------------------------------------------- accounts

    def add_account(self, new: Account, known_as: str, hash: str, opened_by: int, act: Act) -> None:
        """A new account with its password, by an opener that is used up. Raises NameTaken, NotOpen."""
        with self.engine.begin() as connection:
            if not _end(connection, opened_by, act.at, new.name, "used"):
                raise NotOpen
            taken = select(account.c.id).where(account.c.known_as == known_as)
            if connection.execute(taken).one_or_none() is not None:
                raise NameTaken
            values = {key: value for key, value in msgspec.to_builtins(new).items() if key != "closed_at"}
            try:
                connection.execute(insert(account), {**values, "known_as": known_as})
            except IntegrityError:
                raise NameTaken from None
            connection.execute(insert(password), {"account": new.id, "hash": hash, "at": act.at})
            _note(connection, act)

    def account_known_as(self, known_as: str) -> tuple[Account, str] | None:
        """The open account of a name, and its password as argon2 wrote it."""
        wanted = _accounts(password.c.hash).join(password, password.c.account == account.c.id)
        with self._reading() as connection:
            row = connection.execute(
                wanted.where(account.c.known_as == known_as, account_end.c.at.is_(None))
            ).one_or_none()
        return None if row is None else (_account(row), row.hash)

    def accounts(self) -> tuple[Account, ...]:
        """All accounts, the open ones first, by name."""
        order = (account_end.c.at.is_not(None), account.c.known_as)
        with self._reading() as connection:
            return tuple(_account(row) for row in connection.execute(_accounts().order_by(*order)))

    def has_open_owner(self) -> bool:
        """Whether somebody can log in who may do everything."""
        wanted = _accounts().where(account.c.role == "owner", account_end.c.at.is_(None)).limit(1)
        with self._reading() as connection:
            return connection.execute(wanted).first() is not None

    def close_account(self, account_id: str, act: Act) -> bool:
        """Closes an account and ends what opens the service to it; whether it was an open one. The last open owner's is
        not closed."""
        with self.engine.begin() as connection:
            found = connection.execute(_accounts().where(account_end.c.at.is_(None), account.c.role == "owner")).all()
            if [row.id for row in found] == [account_id]:
                return False
            one = connection.execute(_accounts().where(account.c.id == account_id)).one_or_none()
            if one is None or one.closed_at is not None:
                return False
            connection.execute(insert(account_end), {"account": account_id, "at": act.at, "by": act.who})
            self._end_all(connection, opener.c.account == account_id, act, "account closed")
            _note(connection, act)
            return True

    def set_password(self, account_id: str, hash: str, act: Act, keep: int) -> None:
        """A new password; other log-ins of the account than the one that is kept are ended."""
        with self.engine.begin() as connection:
            connection.execute(update(password).where(password.c.account == account_id).values(hash=hash, at=act.at))
            others = and_(opener.c.account == account_id, opener.c.kind == "session", opener.c.id != keep)
            self._end_all(connection, others, act, "password changed")
            _note(connection, act)

    # ---------------------------------------------------------------- openers

    def add_opener(self, new: NewOpener, act: Act | None) -> int:
        """A new opener; its number."""
        with self.engine.begin() as connection:
            number = connection.execute(insert(opener).returning(opener.c.id), msgspec.to_builtins(new)).scalar_one()
            if act is not None:
                _note(connection, act)
            return int(number)

    def opener(self, kind: OpenerKind, digest: str, at: str) -> Opener:
        """The opener of a secret, if it opens at that moment. Raises NotOpen."""
        wanted = _openers().where(opener.c.digest == digest, opener.c.kind == kind, _is_open(at))
        with self._reading() as connection:
            row = connection.execute(wanted).one_or_none()
        if row is None:
            raise NotOpen
        return _opener(row)

    def signer_of(self, number: int) -> str:
        """Who signs what comes by an opener, also by one that opens no longer; "" for whoever is on record."""
        with self.engine.connect() as connection:
            said: str = connection.execute(select(opener.c.signer).where(opener.c.id == number)).scalar_one()
            return said

    def openers(
        self, kinds: Sequence[OpenerKind], at: str, *, account_id: str | None = None, car: str | None = None
    ) -> tuple[Opener, ...]:
        """The openers of some kinds that open at that moment, the newest first."""
        wanted = _openers().where(opener.c.kind.in_(kinds), _is_open(at))
        if account_id is not None:
            wanted = wanted.where(opener.c.account == account_id)
        if car is not None:
            wanted = wanted.where(opener.c.car == car)
        with self._reading() as connection:
            return tuple(_opener(row) for row in connection.execute(wanted.order_by(opener.c.id.desc())))

    def end_opener(
        self, number: int, kinds: Sequence[OpenerKind], act: Act, why: str, *, account_id: str | None = None,
        car: str | None = None,
    ) -> bool:  # fmt: skip
        """Ends an opener of one of the kinds, of the account or the car where one is named; whether there was one."""
        wanted = _openers().where(opener.c.id == number, opener.c.kind.in_(kinds), _not_ended())
        if account_id is not None:
            wanted = wanted.where(opener.c.account == account_id)
        if car is not None:
            wanted = wanted.where(opener.c.car == car)
        with self.engine.begin() as connection:
            if connection.execute(wanted).one_or_none() is None or not _end(connection, number, act.at, act.who, why):
                return False
            _note(connection, act)
            return True

    def end_openers(self, kind: OpenerKind, account_id: str | None, act: Act, why: str) -> None:
        """Ends every opener of a kind, of one account or of all."""
        whose = opener.c.kind == kind
        with self.engine.begin() as connection:
            self._end_all(connection, whose if account_id is None else whose & (opener.c.account == account_id), act,
                          why)  # fmt: skip
            _note(connection, act)

    def _end_all(self, connection: Connection, which: ColumnElement[bool], act: Act, why: str) -> None:
        """Ends also those whose time is over: by a clock that was wrong they are, and would open again once it is put
        right."""
        for row in connection.execute(_openers().where(which, _not_ended())).all():
            _end(connection, row.id, act.at, act.who, why)

    def _reading(self) -> Connection:
        return self.engine.connect().execution_options(reading=True)


def _accounts(*more: Any) -> Select[Any]:
    return select(account, account_end.c.at.label("closed_at"), *more).outerjoin(
        account_end, account_end.c.account == account.c.id
    )


def _openers() -> Select[Any]:
    return (
        select(opener, account.c.name.label("name"), opener_end.c.at.label("ended_at"))
        .outerjoin(account, account.c.id == opener.c.account)
        .outerjoin(account_end, account_end.c.account == opener.c.account)
        .outerjoin(opener_end, opener_end.c.opener == opener.c.id)
    )


def _is_open(at: str) -> ColumnElement[bool]:
    return and_(opener.c.until >= at, _not_ended())


def _not_ended() -> ColumnElement[bool]:
    return and_(opener_end.c.at.is_(None), account_end.c.at.is_(None))


def _end(connection: Connection, number: int, at: str, by: str, why: str) -> bool:
    """Ends an opener; whether nobody did before."""
    try:
        with connection.begin_nested():
            connection.execute(insert(opener_end), {"opener": number, "at": at, "by": by, "why": why})
    except IntegrityError:
        return False
    return True


def _note(connection: Connection, act: Act) -> None:
    connection.execute(insert(audit), msgspec.to_builtins(act))


def _account(row: Any) -> Account:
    return Account(row.id, row.name, row.role, row.made_at, row.made_by, row.closed_at or "")


def _opener(row: Any) -> Opener:
    return Opener(
        row.id, row.kind, row.account or "", row.name or "", row.role, row.car or "", row.about, row.label,
        row.made_at, row.made_by, row.until, row.ended_at or "", row.signer,
    )  # fmt: skip
