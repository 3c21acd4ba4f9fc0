"""A page from its template, and the token that ties its forms to the browser."""

import hmac
import re
import secrets
from datetime import datetime
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Annotated, Any, Literal

import jinja2
from fastapi import Form, Request, Response, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse
from markupsafe import Markup, escape

from carknocker.documents.visible_text import visible
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.address import Address
from carknocker.service.api.routes import response_of
from carknocker.service.asked import MEDIA_TYPES, Said

_CODE = re.compile("`([^`]+)`")
_SPREADSHEET = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

Token = Annotated[str, Form(alias="token", max_length=200)]


class NotFromOurPage(Exception):
    """A form that no page of this service gave to this browser."""


@cache
def _templates() -> jinja2.Environment:
    loader = jinja2.FunctionLoader(lambda name: text_of(name))
    made = jinja2.Environment(loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True,
                              undefined=jinja2.StrictUndefined)  # fmt: skip
    made.filters["moment"] = moment
    made.filters["marked"] = marked
    return made


def marked(text: str) -> Markup:
    """A text of the dossier's words, in which what is written in a file stands between backquotes."""
    return Markup(_CODE.sub(r"<code>\1</code>", str(escape(text))))


def moment(at: str) -> str:
    """A moment of the history as a page shows it: `2026-10-08 07:00 CDT`, by the clock of the service's machine."""
    try:
        return datetime.fromisoformat(at).astimezone().strftime("%Y-%m-%d %H:%M %Z")
    except ValueError:
        return at


def text_of(name: str) -> str:
    """The text of a file of this folder."""
    return (files("carknocker.service.pages") / name).read_text(encoding="utf-8")


def _token(browser: str) -> str:
    """What the forms of a browser carry: worked out from its secret cookie alone, so that another process of the
    service on the same database, and this one when it is started again, know it too."""
    return hmac.new(browser.encode("utf-8"), b"a form of carknocker", sha256).hexdigest()


def page(request: Request, name: str, status: int = 200, **given: Any) -> HTMLResponse:
    """A page from its template; a browser that comes for the first time gets the cookie to which its forms are tied.
    Once somebody logs in, that cookie is the secret of the log-in, and so the forms are tied to that."""
    door, who = request.app.state.door, request.state.visitor
    browser = request.cookies.get(door.cookie) or secrets.token_urlsafe(24)
    body = (
        _templates()
        .get_template(f"{name}.html.jinja")
        .render(token=_token(browser), who=who, may=_allowed(who), is_public=door.is_public, **given)
    )
    response = HTMLResponse(visible(body), status_code=status)
    if browser != request.cookies.get(door.cookie):
        tie(response, door, browser, None)
    return response


def tie(response: Any, door: Any, browser: str, seconds: int | None) -> None:
    """Gives a browser its cookie. seconds: how long it is kept; None: until the browser is closed."""
    response.set_cookie(door.cookie, browser, max_age=seconds, httponly=True, secure=door.is_public,
                        samesite="lax" if door.is_public else "strict")  # fmt: skip


def _allowed(who: Visitor) -> dict[str, bool]:
    """What a page may offer to somebody."""
    return {role.value: who.may(role) for role in Role}


def from_our_page(request: Request, token: Token = "") -> None:
    """Raises NotFromOurPage."""
    browser = request.cookies.get(request.app.state.door.cookie, "")
    if not browser or not hmac.compare_digest(token.encode("utf-8"), _token(browser).encode("utf-8")):
        raise NotFromOurPage


def file_name(upload: UploadFile, otherwise: str = "") -> str:
    """The name of a file that a browser sends, without its folders."""
    return (upload.filename or otherwise).replace("\\", "/").rpartition("/")[2][:120]


def form_file(body: bytes, name: str, ending: Literal["html", "xlsx"]) -> Response:
    """A form to fill in, as a file to be kept. name: without its ending."""
    response = response_of(body, MEDIA_TYPES["html"] if ending == "html" else _SPREADSHEET)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.{ending}"'
    return response


_BESIDE = (
    "<style>@media print {{ nav.service {{ display: none; }} }} "
    "nav.service {{ margin: 0 auto; max-width: 54rem; padding: .75rem 1rem 0; }}</style>"
    '<nav class="service" aria-label="Pages">{links}{said}</nav>'
)


def with_way_back(said: Said, back: str, name: str, about: str = "") -> Response:
    """An answer as the command line gives it, and in HTML a way back to a page above it, which is not printed. about:
    what it is about, where it does not say so itself."""
    if said.media_type != MEDIA_TYPES["html"]:
        return response_of(said.body, said.media_type)
    before, body, after = said.body.decode("utf-8").partition("<main>")
    told = f" <p>{escape(about)}</p>" if about else ""
    beside = _BESIDE.format(links=f'<a href="{escape(back)}">{escape(name)}</a>', said=told)
    return response_of(f"{before}{beside}\n{body}{after}".encode(), said.media_type)


def origin_of(request: Request) -> str:
    """How addresses of the service begin, as this request has reached it."""
    address: Address = request.app.state.address
    return address.origin_for(request.headers["host"])


def to(address: str) -> RedirectResponse:
    """Sends a browser on to a page."""
    return RedirectResponse(address, status_code=303)
