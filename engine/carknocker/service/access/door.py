"""Who sends a request: the owner on the service's own machine; under a public name whoever logged in, or a program with
a token."""

import re

from fastapi import Request

from carknocker.service.access.accounts import Accounts
from carknocker.service.access.links import Links
from carknocker.service.access.roles import ANYONE, BY_LINK, OWNER_OF_LOOPBACK, Role, Visitor
from carknocker.service.guard import SAFE
from carknocker.service.storage.accounts import NotOpen

_BEARER = re.compile(r"bearer ([A-Za-z0-9_-]{20,100})", re.IGNORECASE)


class LoopbackDoor:
    """The door of a service that answers on its own machine alone."""

    cookie = "carknocker"
    """To which the forms of a browser are tied."""
    is_public = False

    def __init__(self, links: Links) -> None:
        self._links = links

    def visitor(self, request: Request, needed: Role) -> Visitor:
        """The owner, or whoever holds the link that is needed. Raises NotOpen."""
        return _holder(self._links, request, needed) if needed in BY_LINK else OWNER_OF_LOOPBACK


class AccountsDoor:
    """The door of a service that answers under a public name."""

    cookie = "__Host-carknocker"
    """Of this name alone, over https alone, and not set by any other."""
    is_public = True

    def __init__(self, accounts: Accounts, links: Links) -> None:
        self._accounts = accounts
        self._links = links

    def visitor(self, request: Request, needed: Role) -> Visitor:
        """Who logged in, or whose token it is; anyone where that is not known; or whoever holds the link that is
        needed. A token opens the API alone, so that nobody makes accounts with it; and a change by a log-in has to
        come from a page of the service. Raises NotOpen for a link."""
        if needed in BY_LINK:
            return _holder(self._links, request, needed)
        is_api = request.url.path.startswith("/api/")
        said = request.headers.get("authorization")
        try:
            if said is not None:
                found = _BEARER.fullmatch(said)
                return ANYONE if found is None or not is_api else self._accounts.by_token(found[1])
            cookie = request.cookies.get(self.cookie)
            if not cookie or (is_api and request.method not in SAFE and not _says_its_page(request)):
                return ANYONE
            return self._accounts.by_session(cookie)
        except NotOpen:
            return ANYONE


def _holder(links: Links, request: Request, needed: Role) -> Visitor:
    return links.visitor(needed, str(request.path_params.get("link", "")))


def _says_its_page(request: Request) -> bool:
    """Whether the browser said from which page the request comes; the guard has looked whether it is one of ours."""
    return "origin" in request.headers or "sec-fetch-site" in request.headers
