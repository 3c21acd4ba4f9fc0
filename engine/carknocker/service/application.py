"""The service as an application: pages for people, JSON for programs, one guard before both."""

from collections.abc import AsyncIterator, Collection
from contextlib import asynccontextmanager
from functools import partial
from typing import Any

from anyio.to_thread import current_default_thread_limiter
from fastapi import APIRouter, FastAPI

from carknocker.judgement.program import made_by
from carknocker.service.access.roles import Door, LoopbackDoor
from carknocker.service.api.routes import api_of
from carknocker.service.guard import Guard
from carknocker.service.keeping import Keeping
from carknocker.service.pages.routes import pages_of

LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")


_THREADS_BESIDE = 20
"""For requests that ask no worker, so that they are answered while all that may wait for one do."""


@asynccontextmanager
async def _enough_threads(asking: int, _app: FastAPI) -> AsyncIterator[None]:
    current_default_thread_limiter().total_tokens = asking + _THREADS_BESIDE
    yield


def routers_of(keeping: Keeping) -> tuple[APIRouter, ...]:
    """Every address of the service, each with the role that it needs."""
    return (api_of(keeping), pages_of(keeping))


def application(keeping: Keeping, hosts: Collection[str] = LOOPBACK_NAMES, door: Door | None = None) -> Any:
    """The application over the cars that are kept. hosts: the names under which it answers; door: who asks, whoever is
    on this machine if it is left out."""
    app = FastAPI(
        title="carknocker",
        version=made_by().version,
        summary="May this heritage passenger car travel on this move, and if not, why not yet?",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        lifespan=partial(_enough_threads, keeping.workers.most_asking),
    )
    app.state.door = door or LoopbackDoor()
    for router in routers_of(keeping):
        app.include_router(router)
    return Guard(app, hosts)
