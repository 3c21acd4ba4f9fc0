"""Problem details (RFC 9457): every refusal of the API in one form."""

from collections.abc import Awaitable, Callable
from typing import Any

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from sqlalchemy.exc import DataError
from starlette.exceptions import HTTPException

from carknocker.documents import Problem
from carknocker.documents.visible_text import visible
from carknocker.service.access.roles import LogInFirst, NotAllowed, RouteWithRole
from carknocker.service.asked import Refused
from carknocker.service.not_taken import KeyUsed, NotThere, NotUsable, why_no_answer
from carknocker.service.storage.contents import ContentMissing
from carknocker.service.storage.history import Changed

TITLES = {
    400: "The request can't be read", 401: "Say who you are", 403: "Not allowed", 404: "Not here",
    405: "This can't be done with this address", 408: "It came too slowly", 409: "Cannot judge",
    410: "No longer at hand", 412: "Another version was written meanwhile", 413: "Too large",
    421: "Another name than this service's", 422: "The text can't be used", 428: "Say which version you changed",
    500: "Something went wrong here", 503: "No answer now",
}  # fmt: skip
"""What each status of a refusal means, in a few words."""

RETRY_AFTER_SECONDS = 5
UNDER_API = "/api/"
"""How the addresses begin that answer in problem details."""

_STATUSES = {"input": 422, "not found": 404, "cannot judge": 409, "stopped": 503, "busy": 503}


def problem(status: int, detail: str, problems: tuple[Problem, ...] = (), **more: Any) -> JSONResponse:
    """A refusal, with the places in the files where something is wrong."""
    told: dict[str, Any] = {"type": "about:blank", "title": TITLES.get(status, "Refused"), "status": status,
                            "detail": detail, **more}  # fmt: skip
    if problems:
        told["problems"] = [placed(one) for one in problems]
    return JSONResponse(told, status, media_type="application/problem+json")


def come_again(why: str) -> JSONResponse:
    """A refusal of what may be asked again."""
    busy = problem(503, why)
    busy.headers["Retry-After"] = str(RETRY_AFTER_SECONDS)
    return busy


def placed(one: Problem) -> dict[str, Any]:
    """A problem in a file."""
    return {
        "file": one.where.file, "line": one.where.line, "column": one.where.column,
        "field": one.where.field, "found": visible(one.found),
        "expected": visible(one.expected), "nearest": visible(one.nearest), "to_do": visible(one.remedy),
    }  # fmt: skip


def refusal_of(error: Exception) -> JSONResponse | None:
    """The refusal that an exception of the service stands for; None for any other."""
    if no_answer := why_no_answer(error):
        return come_again(no_answer)
    match error:
        case Refused(reason="busy"):
            return come_again(error.said)
        case Refused():
            return problem(_STATUSES[error.reason], error.said, error.problems)
        case NotUsable():
            return problem(422, "the text has problems; nothing was changed", error.problems)
        case LogInFirst():
            return problem(401, "this address is not open to everyone")
        case NotAllowed():
            return problem(403, "your role does not allow it")
        case DataError():  # a text that no database holds, with a character of the code 0
            return problem(400, "there is a character in it that nothing here can have")
        case KeyUsed():
            return problem(422, "this Idempotency-Key came with another request before")
        case NotThere():
            return problem(404, "there is nothing under this address")
        case ContentMissing():
            return problem(410, str(error))
        case Changed():
            newest = 0 if error.newest is None else error.newest.number
            return problem(412, f"version {newest} is the newest; look at it and write yours again", newest=newest)
        case RequestValidationError() if any(
            (one["type"], one["loc"]) == ("missing", ("header", "if-match")) for one in error.errors()
        ):
            return problem(428, "send If-Match with the ETag of the version that you changed")
        case RequestValidationError():
            where = "; ".join(f"{'.'.join(map(str, one['loc']))}: {one['msg']}" for one in error.errors()[:10])
            return problem(400, where)
        case HTTPException(status_code=404):
            return problem(404, "there is nothing under this address")
        case HTTPException():
            refusal = problem(error.status_code, TITLES.get(error.status_code, "refused").casefold())
            refusal.headers.update(error.headers or {})
            return refusal
    return None


class InProblemDetails(RouteWithRole):
    """A route whose refusals are problem details."""

    def get_route_handler(self) -> Callable[[Request], Awaitable[Response]]:  # type: ignore[override]
        """The handler, with what it raises turned into a refusal."""
        handle = super().get_route_handler()

        async def answered(request: Request) -> Response:
            try:
                return await handle(request)
            except Exception as error:
                refusal = refusal_of(error)
                if refusal is None:
                    raise
                return refusal

        return answered
