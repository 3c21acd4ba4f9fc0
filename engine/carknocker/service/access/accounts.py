"""Accounts: set up, invited, logged in, closed; and the tokens of programs."""

import secrets
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Literal

from carknocker.service.access.names import known_as, plain_name
from carknocker.service.access.passwords import PasswordRefused, Passwords
from carknocker.service.access.roles import OF_ACCOUNTS, Role, Visitor
from carknocker.service.access.secret import digest_of, secret
from carknocker.service.access.tries import MOST_OF_ADDRESS, MOST_OF_NAME, Tries, network_of
from carknocker.service.storage.accounts import Account, AccountStore, Act, NewOpener, Opener
from carknocker.service.storage.history import written_time

SET_UP_FOR = timedelta(hours=24)
INVITED_FOR = timedelta(days=7)
LOGGED_IN_FOR = timedelta(days=7)
LONGEST_TOKEN_DAYS = 366
MOST_INVITATIONS = 50
MOST_TOKENS = 20


class WrongNameOrPassword(Exception):
    """One or the other; which is not said."""


class Enough(Exception):
    """There are as many as there may be; says of what."""


class Accounts:
    """The accounts of a service that answers under a public name. now: the clock."""

    def __init__(self, store: AccountStore, passwords: Passwords, now: Callable[[], datetime]) -> None:
        self.store = store
        self.now = now
        self._passwords = passwords
        self._of_name = Tries(MOST_OF_NAME)
        self._of_address = Tries(MOST_OF_ADDRESS)

    # ---------------------------------------------------------------- coming in

    def set_up_token(self) -> str:
        """A new token by which the first owner, or another one, makes an account. Those before it open nothing."""
        made = secret()
        act = Act(self.at(), "carknocker", "made a set-up token")
        self.store.end_openers("set-up", None, Act(act.at, "carknocker", "took back set-up tokens"), "replaced")
        self.store.add_opener(
            NewOpener("set-up", digest_of(made), "owner", act.at, "carknocker", self._after(SET_UP_FOR)), act
        )
        return made

    def invite(self, role: Role, label: str, by: Visitor) -> str:
        """An invitation, for one use. label: whom it is for. Raises Enough."""
        at = self.at()
        if len(self.store.openers(["invitation"], at)) >= MOST_INVITATIONS:
            raise Enough(f"{MOST_INVITATIONS} invitations are open; take some back first")
        made = secret()
        self.store.add_opener(
            NewOpener("invitation", digest_of(made), role.value, at, by.name, self._after(INVITED_FOR), label=label),
            Act(at, by.name, f"invited somebody, as {role.value}", about=label),
        )
        return made

    def invited(self, said: str) -> Opener:
        """The open invitation of a secret, which is not used up by looking. Raises NotOpen."""
        return self.store.opener("invitation", digest_of(said), self.at())

    def make_account(self, kind: Literal["set-up", "invitation"], said: str, name: str, password: str) -> str:
        """An account by a set-up token or an invitation, which is used up; returns the secret of its first log-in.
        Raises NotOpen, NameRefused, PasswordRefused, NameTaken, Busy."""
        at = self.at()
        opened_by = self.store.opener(kind, digest_of(said), at)
        name = plain_name(name)
        if known_as(password) == known_as(name):
            raise PasswordRefused("a password is not the name")
        new = Account(secrets.token_hex(8), name, opened_by.role, at, opened_by.made_by)
        self.store.add_account(
            new, known_as(name), self._passwords.hash(password), opened_by.id,
            Act(at, name, f"made an account, as {opened_by.role}"),
        )  # fmt: skip
        return self._session(new)

    def log_in(self, name: str, password: str, address: str) -> str:
        """The secret of a new log-in. Raises WrongNameOrPassword, TooManyTries, Busy."""
        wanted = known_as(" ".join(name.split()))
        self._of_address.count(network_of(address))
        self._of_name.count(digest_of(wanted))
        found = self.store.account_known_as(wanted)
        if not self._passwords.is_right(None if found is None else found[1], password) or found is None:
            raise WrongNameOrPassword  # and nothing is written: its time would tell that there is the name
        refused = self._of_name.forget(digest_of(wanted)) - 1
        return self._session(found[0], f"after {refused} refused" if refused else "")

    def _session(self, account: Account, about: str = "") -> str:
        made, at = secret(), self.at()
        self.store.add_opener(
            NewOpener("session", digest_of(made), account.role, at, account.name, self._after(LOGGED_IN_FOR),
                      account.id),
            Act(at, account.name, "logged in", about=about),
        )  # fmt: skip
        return made

    # ---------------------------------------------------------------- who it is

    def by_session(self, said: str) -> Visitor:
        """Who is logged in. Raises NotOpen."""
        return _visitor(self.store.opener("session", digest_of(said), self.at()))

    def by_token(self, said: str) -> Visitor:
        """Whose program it is. Raises NotOpen."""
        return _visitor(self.store.opener("token", digest_of(said), self.at()))

    # ---------------------------------------------------------------- what is one's own

    def log_out(self, who: Visitor) -> None:
        """Ends this log-in."""
        self.store.end_opener(who.opener, ["session"], Act(self.at(), who.name, "logged out"), "logged out")

    def change_password(self, who: Visitor, before: str, after: str, address: str) -> None:
        """A new password; other log-ins are ended. Raises WrongNameOrPassword, PasswordRefused, TooManyTries, Busy."""
        self._of_address.count(network_of(address))
        self._of_name.count(digest_of(known_as(who.name)))
        found = self.store.account_known_as(known_as(who.name))
        if found is None or not self._passwords.is_right(found[1], before):
            raise WrongNameOrPassword
        self._of_name.forget(digest_of(known_as(who.name)))
        if known_as(after) == known_as(who.name):
            raise PasswordRefused("a password is not the name")
        hash = self._passwords.hash(after)
        self.store.set_password(who.account, hash, Act(self.at(), who.name, "changed the password"), who.opener)

    def tokens(self, who: Visitor) -> tuple[Opener, ...]:
        """The tokens of an account that open."""
        return self.store.openers(["token"], self.at(), account_id=who.account)

    def make_token(self, who: Visitor, role: Role, label: str, days: int) -> str:
        """A token for a program, with no more than the role of its account. Raises Enough, ValueError for more."""
        if not who.may(role) or role not in OF_ACCOUNTS or not 1 <= days <= LONGEST_TOKEN_DAYS:
            raise ValueError(role)
        if len(self.tokens(who)) >= MOST_TOKENS:
            raise Enough(f"{MOST_TOKENS} tokens are open; take some back first")
        made, at = secret(), self.at()
        until = self._after(timedelta(days=days))
        self.store.add_opener(
            NewOpener("token", digest_of(made), role.value, at, who.name, until, who.account, label=label),
            Act(at, who.name, f"made a token, as {role.value}", about=label),
        )
        return made

    def end_token(self, who: Visitor, number: int) -> bool:
        """Takes back a token of one's own; whether there was one."""
        act = Act(self.at(), who.name, "took back a token")
        return self.store.end_opener(number, ["token"], act, "taken back", account_id=who.account)

    # ---------------------------------------------------------------- what the owner does

    def people(self) -> tuple[Account, ...]:
        """All accounts."""
        return self.store.accounts()

    def invitations(self) -> tuple[Opener, ...]:
        """The invitations that are open."""
        return self.store.openers(["invitation"], self.at())

    def end_invitation(self, who: Visitor, number: int) -> bool:
        """Takes back an invitation; whether there was one."""
        return self.store.end_opener(
            number, ["invitation"], Act(self.at(), who.name, "took back an invitation"), "taken back"
        )

    def close(self, who: Visitor, account_id: str) -> bool:
        """Closes an account for good; whether it was an open one, and not the last owner's."""
        name = self._name_of(account_id)
        return self.store.close_account(account_id, Act(self.at(), who.name, "closed an account", about=name))

    def end_sessions(self, who: Visitor, account_id: str) -> None:
        """Ends every log-in of an account."""
        act = Act(self.at(), who.name, "ended all log-ins", about=self._name_of(account_id))
        self.store.end_openers("session", account_id, act, "ended by the owner")

    def _name_of(self, account_id: str) -> str:
        return next((one.name for one in self.store.accounts() if one.id == account_id), "")

    # ---------------------------------------------------------------- time

    def at(self) -> str:
        """The moment, as the tables hold it."""
        return written_time(self.now())

    def _after(self, time: timedelta) -> str:
        return written_time(self.now() + time)


def _visitor(found: Opener) -> Visitor:
    return Visitor(found.name, Role(found.role), found.id, found.account)
