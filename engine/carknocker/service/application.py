"""The service as an application: pages for people, JSON for programs, one guard before both."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from typing import Any

from anyio.to_thread import current_default_thread_limiter
from fastapi import APIRouter, FastAPI
from starlette.exceptions import HTTPException

from carknocker.judgement.program import made_by
from carknocker.service.access.accounts import Accounts
from carknocker.service.access.calendars import Calendars
from carknocker.service.access.door import AccountsDoor, LoopbackDoor
from carknocker.service.access.links import Links
from carknocker.service.address import LOOPBACK, Address
from carknocker.service.api.questions import questions_of
from carknocker.service.api.routes import api_of
from carknocker.service.guard import Guard
from carknocker.service.keeping import Keeping
from carknocker.service.pages.calendars import calendars_of
from carknocker.service.pages.inspector import inspector_of
from carknocker.service.pages.links import links_of
from carknocker.service.pages.log_in import log_in_of
from carknocker.service.pages.move import move_of
from carknocker.service.pages.new_car import new_car_of
from carknocker.service.pages.parts import parts_of
from carknocker.service.pages.people import people_of
from carknocker.service.pages.photographs import photographs_of
from carknocker.service.pages.plan import plan_of
from carknocker.service.pages.refusals import refused_outside
from carknocker.service.pages.routes import pages_of
from carknocker.service.pages.rules import rules_of
from carknocker.service.pages.sent_editions import sent_editions_of
from carknocker.service.pages.shop import shop_of
from carknocker.service.pages.texts import texts_of
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.turns import MOST_WAITING

_THREADS_BESIDE = 20
"""For requests that ask no worker, so that they are answered while all that may wait for one, or for their turns at a
car, do."""


@asynccontextmanager
async def _enough_threads(asking: int, _app: FastAPI) -> AsyncIterator[None]:
    current_default_thread_limiter().total_tokens = asking + MOST_WAITING + _THREADS_BESIDE
    yield


def routers_of(keeping: Keeping, links: Links, accounts: Accounts | None) -> tuple[APIRouter, ...]:
    """Every address of the service, each with the role that it needs."""
    people = () if accounts is None else (log_in_of(accounts), people_of(accounts))
    calendars = calendars_of(keeping, Calendars(AccountStore(keeping.history.engine), keeping.now))
    cars = (
        photographs_of(keeping),
        texts_of(keeping),
        parts_of(keeping),
        move_of(keeping),
        plan_of(keeping),
        pages_of(keeping),
    )
    by_link = (links_of(keeping, links), inspector_of(keeping), shop_of(keeping))
    rules = (sent_editions_of(keeping), rules_of(keeping))
    api = (api_of(keeping), questions_of(keeping))
    return (*api, *people, *by_link, calendars, *rules, new_car_of(keeping), *cars)


def application(keeping: Keeping, address: Address = LOOPBACK, accounts: Accounts | None = None) -> Any:
    """The application over the cars that are kept. accounts: of those who log in, where the address is public; whoever
    is on this machine is the owner if they are left out."""
    app = FastAPI(
        title="carknocker",
        version=made_by().version,
        summary="May this heritage passenger car travel on this move, and if not, why not yet?",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        redirect_slashes=False,  # a redirect would name the secret of a link in an address without TLS
        lifespan=partial(_enough_threads, keeping.workers.most_asking),
    )
    if address.is_public != (accounts is not None):
        raise ValueError("accounts are for a public address, and a public address needs them")
    links = Links(AccountStore(keeping.history.engine), keeping.now)
    app.state.door = LoopbackDoor(links) if accounts is None else AccountsDoor(accounts, links)
    app.state.address = address
    for error in (HTTPException, Exception):
        app.add_exception_handler(error, refused_outside)
    for router in routers_of(keeping, links, accounts):
        app.include_router(router)
    return Guard(app, address)
