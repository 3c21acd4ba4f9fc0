"""The service as an application: pages for people, JSON for programs, one guard before both."""

from collections.abc import Collection
from typing import Any

from fastapi import FastAPI

from carknocker.judgement.program import made_by
from carknocker.service.api.routes import api_of
from carknocker.service.guard import Guard
from carknocker.service.keeping import Keeping
from carknocker.service.pages.routes import pages_of

LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")


def application(keeping: Keeping, hosts: Collection[str] = LOOPBACK_NAMES) -> Any:
    """The application over the cars that are kept. hosts: the names under which it answers."""
    app = FastAPI(
        title="carknocker",
        version=made_by().version,
        summary="May this heritage passenger car travel on this move, and if not, why not yet?",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.include_router(api_of(keeping))
    app.include_router(pages_of(keeping))
    return Guard(app, hosts)
