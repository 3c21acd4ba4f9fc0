"""Pages by which people come in and go out, and what is one's own: the password, and the tokens of programs."""

import re
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Query, Request, Response

from carknocker.documents.visible_text import one_line
from carknocker.service.access.accounts import LOGGED_IN_FOR, Accounts, Enough, WrongNameOrPassword
from carknocker.service.access.names import NameRefused
from carknocker.service.access.passwords import MOST_CHARACTERS, Busy, PasswordRefused
from carknocker.service.access.roles import Role, Who, needs
from carknocker.service.access.tries import TooManyTries
from carknocker.service.bounds import Number
from carknocker.service.not_taken import NotThere
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, page, tie, to
from carknocker.service.storage.accounts import NameTaken, NotOpen

Name = Annotated[str, Form(max_length=200)]
Password = Annotated[str, Form(max_length=MOST_CHARACTERS)]
Secret = Annotated[str, Form(max_length=100)]
_WITHIN = re.compile(r"/(?!/)[A-Za-z0-9/._~?=&-]*")

NOT_OPEN = "It does not open anything: it was used or taken back, or its time is over. Ask for another one."
_WRONG = "Name and password don't go together."


def log_in_of(accounts: Accounts) -> APIRouter:
    """The pages over these accounts."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    def shown(request: Request, back: str, status: int = 200, said: str = "", called: str = "") -> Response:
        return page(request, "log_in", status, to=_within(back), said=said, called=called,
                    no_owner=not accounts.store.has_open_owner())  # fmt: skip

    @router.get("/log-in")
    @needs(Role.ANYONE)
    def log_in_page(request: Request, back: Annotated[str, Query(alias="to", max_length=300)] = "/") -> Response:
        return shown(request, back)

    @router.post("/log-in", dependencies=ours)
    @needs(Role.ANYONE)
    def log_in(
        request: Request, name: Name = "", password: Password = "",
        back: Annotated[str, Form(alias="to", max_length=300)] = "/",
    ) -> Response:  # fmt: skip
        try:
            made = accounts.log_in(name, password, _address(request))
        except (WrongNameOrPassword, TooManyTries, Busy) as refused:
            status, said = _said(refused)
            return shown(request, back, status, said, name)
        return _logged_in(request, made, _within(back))

    @router.post("/log-out", dependencies=ours)
    @needs(Role.READER)
    def log_out(request: Request, who: Who) -> Response:
        accounts.log_out(who)
        answer = to("/log-in")
        answer.delete_cookie(request.app.state.door.cookie, secure=True, httponly=True, samesite="lax")
        return answer

    @router.get("/set-up")
    @needs(Role.ANYONE)
    def set_up_page(request: Request) -> Response:
        return page(request, "first_account", said="", called="")

    @router.post("/set-up", dependencies=ours)
    @needs(Role.ANYONE)
    def set_up(request: Request, secret: Secret = "", name: Name = "", password: Password = "") -> Response:
        try:
            made = accounts.make_account("set-up", secret.strip(), name, password)
        except _CAUSES as refused:
            status, said = _said(refused)
            return page(request, "first_account", status, said=said, called=name)
        return _logged_in(request, made, "/")

    @router.get("/invited/{secret}")
    @needs(Role.ANYONE)
    def invited_page(request: Request, secret: str) -> Response:
        try:
            return page(request, "invited", invitation=accounts.invited(secret), said="", called="")
        except NotOpen:
            return page(request, "invited", 404, invitation=None, said=NOT_OPEN, called="")

    @router.post("/invited/{secret}", dependencies=ours)
    @needs(Role.ANYONE)
    def invited(request: Request, secret: str, name: Name = "", password: Password = "") -> Response:
        try:
            invitation = accounts.invited(secret)
        except NotOpen:
            return page(request, "invited", 404, invitation=None, said=NOT_OPEN, called="")
        try:
            made = accounts.make_account("invitation", secret, name, password)
        except _CAUSES as refused:
            status, said = _said(refused)
            return page(request, "invited", status, invitation=invitation, said=said, called=name)
        return _logged_in(request, made, "/")

    @router.get("/me")
    @needs(Role.READER)
    def me(request: Request, who: Who) -> Response:
        return _me(request, accounts, who)

    @router.post("/me/password", dependencies=ours)
    @needs(Role.READER)
    def change_password(request: Request, who: Who, before: Password = "", password: Password = "") -> Response:
        try:
            accounts.change_password(who, before, password, _address(request))
        except (WrongNameOrPassword, PasswordRefused, TooManyTries, Busy) as refused:
            status, said = _said(refused)
            return _me(request, accounts, who, status, said)
        return _me(request, accounts, who, said="The password is changed, and every other log-in of yours is ended.")

    @router.post("/me/tokens", dependencies=ours)
    @needs(Role.READER)
    def make_token(
        request: Request, who: Who, role: Annotated[Role, Form()], label: Annotated[str, Form(max_length=80)] = "",
        days: Annotated[int, Form(ge=1, le=366)] = 90,
    ) -> Response:  # fmt: skip
        try:
            made = accounts.make_token(who, role, one_line(label), days)
        except Enough as refused:
            return _me(request, accounts, who, 422, str(refused))
        except ValueError:
            raise NotThere(role) from None
        return _me(request, accounts, who, made=made)

    @router.post("/me/tokens/{number}/end", dependencies=ours)
    @needs(Role.READER)
    def end_token(who: Who, number: Number) -> Response:
        if not accounts.end_token(who, number):
            raise NotThere(number)
        return to("/me")

    def _logged_in(request: Request, made: str, back: str) -> Response:
        answer = to(back)
        tie(answer, request.app.state.door, made, int(LOGGED_IN_FOR.total_seconds()))
        return answer

    return router


_CAUSES = (NotOpen, NameRefused, PasswordRefused, NameTaken, Busy)


def _said(refused: Exception) -> tuple[int, str]:
    """Status and words of a refusal."""
    match refused:
        case TooManyTries(minutes=minutes):
            return 429, f"Tried too often. Try again in {minutes} minute{'' if minutes == 1 else 's'}."
        case Busy():
            return 503, "Too many come in just now. Try again in a minute."
        case WrongNameOrPassword():
            return 403, _WRONG
        case NotOpen():
            return 422, NOT_OPEN
        case NameTaken():
            return 422, "Somebody has or had this name; take another one."
    text = str(refused)
    return 422, f"{text[:1].upper()}{text[1:]}."


def _me(request: Request, accounts: Accounts, who: Who, status: int = 200, said: str = "", made: str = "") -> Response:
    return page(request, "me", status, tokens=accounts.tokens(who), said=said, made=made)


def _address(request: Request) -> str:
    return "" if request.client is None else request.client.host


def _within(address: str) -> str:
    """An address of this service; the first page for any other."""
    return address if _WITHIN.fullmatch(address) else "/"
