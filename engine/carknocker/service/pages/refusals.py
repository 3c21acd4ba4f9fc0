"""A page for every request that can't be answered: what it is, and what to do; no path, version or trace."""

from collections.abc import Awaitable, Callable
from html import escape
from urllib.parse import quote

from fastapi import Request, Response
from fastapi.responses import HTMLResponse

from carknocker.service.access.roles import LogInFirst, NotAllowed, RouteWithRole
from carknocker.service.api.problems import RETRY_AFTER_SECONDS, refusal_of
from carknocker.service.asked import Refused
from carknocker.service.pages.showing import NotFromOurPage, to
from carknocker.service.storage.accounts import NotOpen

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
                return _page(401, "Nothing was written: nobody is logged in any more. Log in, go back, open the page "
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
                refusal = refusal_of(error)
                if refusal is None:
                    raise
                return _page(refusal.status_code, "There is nothing under this address, or it can't be read.")

        return answered


def _page(status: int, said: str, *, home: bool = True) -> HTMLResponse:
    return HTMLResponse(
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>No answer</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="/style.css">'
        f"</head><body><main><h1>No answer</h1><pre>{escape(said)}</pre>{_HOME if home else ''}</main></body>"
        "</html>",
        status_code=status,
    )
