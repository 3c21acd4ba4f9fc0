"""Roles, and which of them a route needs. Each route says it, by a line above its function; one that does not say it is
refused when the service starts."""

from collections.abc import Awaitable, Callable
from enum import Enum
from typing import Annotated, Any, Protocol, TypeVar

import msgspec
from fastapi import Depends, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.routing import APIRoute

Endpoint = TypeVar("Endpoint", bound=Callable[..., Any])


class Role(Enum):
    """What somebody is here for. Nobody's role is `anyone`: it stands for whoever asks."""

    ANYONE = "anyone"
    READER = "reader"
    HELPER = "helper"
    OWNER = "owner"
    INSPECTOR = "inspector"
    SHOP = "shop"


OF_ACCOUNTS = (Role.READER, Role.HELPER, Role.OWNER)
BY_LINK = (Role.INSPECTOR, Role.SHOP)
"""Roles of those who have no account: each is known by a link alone, and may do nothing but what its link is for."""


_MAY_ALSO = {
    Role.ANYONE: (),
    Role.READER: (Role.ANYONE,),
    Role.HELPER: (Role.READER, Role.ANYONE),
    Role.OWNER: (Role.HELPER, Role.READER, Role.ANYONE),
    Role.INSPECTOR: (),
    Role.SHOP: (),
}
"""A helper may do what a reader may, an owner what a helper may."""


class Visitor(msgspec.Struct, frozen=True):
    """Who sends a request. name: as the history keeps it. opener: the number of the log-in, token or link by which it
    is known; account: its account. car, about: of a link, to what of which car. signer: of a shop's link,
    who signs."""

    name: str
    role: Role
    opener: int = 0
    account: str = ""
    car: str = ""
    about: str = ""
    signer: str = ""

    def may(self, needed: Role) -> bool:
        """Whether a route that needs this role is open to the visitor."""
        return needed is self.role or needed in _MAY_ALSO[self.role]


OWNER_OF_LOOPBACK = Visitor("owner", Role.OWNER)
"""Whoever can open the service on its own machine, where nobody logs in."""
ANYONE = Visitor("", Role.ANYONE)


class Door(Protocol):
    """Tells who sends a request."""

    def visitor(self, request: Request, needed: Role) -> Visitor:
        """Who it is; somebody of the role `anyone` where that is not known. Where a link is needed, whoever holds the
        one in the address. Raises NotOpen for a link that opens nothing."""


class LogInFirst(Exception):
    """Nobody is known to send this request, and it is not open to anyone."""


class NotAllowed(Exception):
    """Whoever sends this request may not do it."""


_NEEDED = "carknocker_role"


def needs(role: Role) -> Callable[[Endpoint], Endpoint]:
    """Says which role the route of a function needs; stands right above the function, below its address."""

    def declared(endpoint: Endpoint) -> Endpoint:
        setattr(endpoint, _NEEDED, role)
        return endpoint

    return declared


class RouteWithRole(APIRoute):
    """A route that looks at who asks before it looks at what is asked."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **given: Any) -> None:
        role = getattr(endpoint, _NEEDED, None)
        if not isinstance(role, Role):
            raise TypeError(f"{path} does not say which role it needs: write @needs(...) above its function")
        self.needed = role
        super().__init__(path, endpoint, **given)

    def get_route_handler(self) -> Callable[[Request], Awaitable[Response]]:  # type: ignore[override]
        """The handler, behind the door. Raises LogInFirst, NotAllowed, NotOpen."""
        handle = super().get_route_handler()

        async def answered(request: Request) -> Response:
            door: Door = request.app.state.door
            visitor = await run_in_threadpool(door.visitor, request, self.needed)
            if not visitor.may(self.needed):
                raise LogInFirst if visitor.role is Role.ANYONE else NotAllowed
            request.state.visitor = visitor
            return await handle(request)

        return answered


async def _visitor(request: Request) -> Visitor:
    visitor: Visitor = request.state.visitor
    return visitor


Who = Annotated[Visitor, Depends(_visitor)]
"""A parameter of a route's function: who sends the request."""
