"""A page for every request that can't be answered: what it is, and what to do; no path, version or trace."""

from collections.abc import Awaitable, Callable
from html import escape
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from carknocker.service.access.roles import ANYONE, LogInFirst, NotAllowed, Role, RouteWithRole
from carknocker.service.api.problems import RETRY_AFTER_SECONDS, UNDER_API, problem, refusal_of
from carknocker.service.asked import Refused
from carknocker.service.guard import SAFE
from carknocker.service.not_taken import NO_ROOM, why_no_answer
from carknocker.service.pages.showing import NotFromOurPage, to
from carknocker.service.storage.accounts import NotOpen
from carknocker.service.storage.contents import ContentMissing

_HOME = '<p><a href="/">All cars</a></p>'


class InWords(RouteWithRole):
    """A route whose refusals are pages."""

    def get_route_handler(self) -> Callable[[Request], Awaitable[Response]]:  # type: ignore[override]
        """The handler, with what it raises turned into a page."""
        handle = super().get_route_handler()

        async def answered(request: Request) -> Response:
            try:
                return await handle(request)
            except NotFromOurPage:
                return _page(403, "This form is not from a page that is open here. Go back, open the page again, and "
                                  "send it once more.")  # fmt: skip
            except LogInFirst:
                if request.method == "GET":
                    return to(f"/log-in?to={quote(request.url.path)}")
                return _page(401, "Nothing was written: you are no longer logged in. Log in, go back, open the page "
                                  "again, and send it once more.")  # fmt: skip
            except NotOpen:
                return _page(404, "This link opens nothing: it is not whole, its time is over, or it was taken back. "
                                  "Ask whoever sent it for another one.", home=False)  # fmt: skip
            except NotAllowed:
                return _page(403, "Your role does not allow it. Ask the owner.")
            except Refused as refused:
                if refused.reason != "busy":
                    return _page(404 if refused.reason == "not found" else 422, refused.words)
                busy = _page(503, refused.words)
                busy.headers["Retry-After"] = str(RETRY_AFTER_SECONDS)
                return busy
            except Exception as error:
                response = _refused(request, error)
                if response is None:
                    raise
                return response

        return answered


async def refused_outside(request: Request, error: Exception) -> Response:
    """The answer where no route has given one: nothing under an address, or something that went wrong here."""
    api = request.url.path.startswith(UNDER_API)
    refused = refusal_of(error) if api else _refused(request, error)
    if refused is not None:
        return refused
    said = "Something went wrong here, and it is in the log. What you sent may not have been written: look first."
    return problem(500, said) if api else _page(500, said)


def _refused(request: Request, error: Exception) -> Response | None:
    refusal = refusal_of(error)
    if refusal is None:
        return None
    said = "There is nothing under this address, or it can't be read."
    if isinstance(error, ContentMissing) and getattr(request.state, "visitor", ANYONE).may(Role.READER):
        said = f"This is no longer at hand: {error}."
    if no_answer := why_no_answer(error):
        said = f"{no_answer[0].upper()}{no_answer[1:]}."
        if request.method in SAFE and no_answer is not NO_ROOM:
            said = "The database does not answer now. Open this page again in a few seconds."
    if refusal.status_code == 405:
        said = "This can't be done with this address."
    response = _page(refusal.status_code, said)
    response.headers.update({name: refusal.headers[name] for name in ("retry-after", "allow")
                             if name in refusal.headers})  # fmt: skip
    return response


def _page(status: int, said: str, *, home: bool = True) -> HTMLResponse:
    return HTMLResponse(
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>No answer</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/style.css">'
        f"</head><body><main><h1>No answer</h1><pre>{escape(said)}</pre>{_HOME if home else ''}</main></body>"
        "</html>",
        status_code=status,
    )
