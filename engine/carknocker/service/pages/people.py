"""Pages of the owner: who may come in."""

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request, Response

from carknocker.documents.visible_text import one_line
from carknocker.service.access.accounts import Accounts, Enough
from carknocker.service.access.roles import OF_ACCOUNTS, Role, Who, needs
from carknocker.service.bounds import Number
from carknocker.service.not_taken import NotThere
from carknocker.service.pages.refusals import InWords
from carknocker.service.pages.showing import from_our_page, origin_of, page, to

_LAST_OWNER = "Nothing was closed: the last owner stays, so that somebody can let others in."


def people_of(accounts: Accounts) -> APIRouter:
    """The pages over these accounts."""
    router = APIRouter(route_class=InWords, include_in_schema=False)
    ours = [Depends(from_our_page)]

    @router.get("/people")
    @needs(Role.OWNER)
    def people(request: Request) -> Response:
        return _people(request, accounts)

    @router.post("/people/invitations", dependencies=ours)
    @needs(Role.OWNER)
    def invite(
        request: Request, who: Who, role: Annotated[Role, Form()], label: Annotated[str, Form(max_length=80)] = ""
    ) -> Response:
        if role not in OF_ACCOUNTS:
            raise NotThere(role)
        try:
            made = accounts.invite(role, one_line(label), who)
        except Enough as refused:
            return _people(request, accounts, 422, said=str(refused))
        return _people(request, accounts, made=f"{origin_of(request)}/invited/{made}")

    @router.post("/people/invitations/{number}/end", dependencies=ours)
    @needs(Role.OWNER)
    def end_invitation(who: Who, number: Number) -> Response:
        if not accounts.end_invitation(who, number):
            raise NotThere(number)
        return to("/people")

    @router.post("/people/{account}/log-out", dependencies=ours)
    @needs(Role.OWNER)
    def end_sessions(who: Who, account: str) -> Response:
        accounts.end_sessions(who, account)
        return to("/people")

    @router.post("/people/{account}/close", dependencies=ours)
    @needs(Role.OWNER)
    def close(request: Request, who: Who, account: str) -> Response:
        if not accounts.close(who, account):
            return _people(request, accounts, 422, said=_LAST_OWNER)
        return to("/people")

    return router


def _people(request: Request, accounts: Accounts, status: int = 200, said: str = "", made: str = "") -> Response:
    return page(request, "people", status, people=accounts.people(), invitations=accounts.invitations(), said=said,
                made=made)  # fmt: skip
