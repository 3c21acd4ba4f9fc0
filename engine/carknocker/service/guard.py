"""What stands before every request: whose address it is for, how large and how slow it may be, and what the answer
allows a browser."""

import asyncio
import hashlib
import re
from base64 import b64encode
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, TypeAlias

from carknocker.service.address import Address
from carknocker.service.api.problems import UNDER_API, problem

Scope: TypeAlias = MutableMapping[str, Any]
Message: TypeAlias = MutableMapping[str, Any]
Receive: TypeAlias = Callable[[], Awaitable[Message]]
Send: TypeAlias = Callable[[Message], Awaitable[None]]
Application: TypeAlias = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BYTES_OF_BODY = 24 * 1024**2
LONGEST_BODY_SECONDS = 30.0
MOST_BYTES_AT_ONCE = 10 * MOST_BYTES_OF_BODY
"""Of all bodies that are in memory together."""
MOST_FIELDS = 1_000
"""In a form that a browser sends in one line: so many are taken apart at once, many more would take long."""

OWN_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
"""For the service's own pages: nothing from elsewhere, no script."""

_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),  # with none at all a browser sends its own forms as if of another page
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)
_HTTPS_ONLY = (b"strict-transport-security", b"max-age=31536000")
_OF_A_PROXY = frozenset(
    (b"forwarded", b"via", b"x-forwarded-for", b"x-forwarded-host", b"x-forwarded-proto", b"x-real-ip")
)
SAFE = ("GET", "HEAD", "OPTIONS")
HEALTH = "/healthz"
"""Whoever looks after the process may ask it by any name: it says nothing."""
_SCRIPT = re.compile(r"<script>(.*?)</script>", re.DOTALL)


def policy_of_file(html: str, *, sends: bool = False) -> str:
    """For a page that is one file: its own style, and of scripts exactly those that stand in it, by their digest.
    sends: they may ask this service too."""
    scripts = "".join(
        f" 'sha256-{b64encode(hashlib.sha256(script.encode('utf-8')).digest()).decode('ascii')}'"
        for script in _SCRIPT.findall(html)
    )
    allowed = scripts or " 'none'"
    asks = "connect-src 'self'; " if sends else ""
    return (
        f"default-src 'none'; style-src 'unsafe-inline'; img-src data: blob:; script-src{allowed}; {asks}"
        "form-action 'none'; base-uri 'none'; frame-ancestors 'none'"
    )


class Guard:
    """Refuses a request that did not come the way it should, one for another host's name (a foreign page that has its
    name point here), one from a page of another origin that changes something, and a body that is too large or comes
    too slowly."""

    def __init__(self, app: Application, address: Address, *, most: int = MOST_BYTES_OF_BODY,
                 longest: float = LONGEST_BODY_SECONDS) -> None:  # fmt: skip
        self.app = app
        self.address = address
        self.most = most
        self.longest = longest
        self._held = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        send = _guarded(send, _HEADERS if not self.address.is_public else (*_HEADERS, _HTTPS_ONLY))
        if scope["method"] != "HEAD":
            await self._answered(scope, receive, send)
            return
        scope["method"] = "GET"  # its answer without the body
        try:
            await self._answered(scope, receive, _without_body(send))
        finally:
            scope["method"] = "HEAD"

    async def _answered(self, scope: Scope, receive: Receive, send: Send) -> None:
        headers = {name.lower(): value for name, value in scope["headers"]}
        refused = None if scope["path"] == HEALTH and scope["method"] in SAFE else self._refusal(scope, headers)
        if refused is not None:
            await _refuse(scope, send, *refused)
            return
        if b"transfer-encoding" in headers and b"content-length" in headers:
            # a proxy that goes by the one, where the server goes by the other, passes on what it never looked at
            await _refuse(scope, send, 400, "the body has two lengths", (b"connection", b"close"))
            return
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or int(length) > self.most:
            await _refuse(scope, send, 413, f"more than {self.most // 1024**2} MB")
            return
        pieces: list[bytes] = []
        try:
            refused = await self._take_body(receive, pieces) or _too_many_fields(headers, pieces)
            if refused is not None:
                await _refuse(scope, send, *refused)
                return
            if self.address.is_public:
                scope["client"] = (_last(headers.get(b"x-forwarded-for", b"")), 0)
            pieces[:] = [b"".join(pieces)]
            await self.app(scope, _given(pieces[0], receive), send)
        finally:
            self._held -= sum(map(len, pieces))

    def _refusal(self, scope: Scope, headers: dict[bytes, bytes]) -> tuple[int, str] | None:
        """Status and reason, where the request is not for this service or not from its own pages."""
        if self.address.is_public:
            peer = (scope.get("client") or ("", 0))[0]
            if peer not in self.address.proxies or _last(headers.get(b"x-forwarded-proto", b"")) != "https":
                return 403, "this service is reached by its https address only"
        elif scope.get("http_version") == "1.0" or not _OF_A_PROXY.isdisjoint(headers):
            return 403, "this service is for its own machine; behind a proxy it is started with --public-name"
        host = headers.get(b"host", b"").decode("latin-1")
        if _name(host) not in self.address.names:
            return 421, "this service answers under its own name only"
        if scope["method"] not in SAFE and not _own(headers, self.address.origin_for(host)):
            return 403, "a page of another address may change nothing here"
        return None

    async def _take_body(self, receive: Receive, pieces: list[bytes]) -> tuple[int, str] | None:
        """Takes the body in pieces, which are counted among what is held. Returns status and reason where it is
        refused."""
        size = 0
        try:
            async with asyncio.timeout(self.longest):
                while True:
                    message = await receive()
                    if message["type"] == "http.disconnect":
                        return 408, "the sender left"
                    piece = message.get("body", b"")
                    pieces.append(piece)
                    size += len(piece)
                    self._held += len(piece)
                    if size > self.most:
                        return 413, f"more than {self.most // 1024**2} MB"
                    if self._held > MOST_BYTES_AT_ONCE:
                        return 503, "too much is being sent at once; send it again in a few seconds"
                    if not message.get("more_body", False):
                        return None
        except TimeoutError:
            return 408, f"the body took longer than {self.longest:g} seconds"


def _too_many_fields(headers: dict[bytes, bytes], pieces: list[bytes]) -> tuple[int, str] | None:
    if not headers.get(b"content-type", b"").strip().lower().startswith(b"application/x-www-form-urlencoded"):
        return None
    if sum(piece.count(b"&") + piece.count(b";") for piece in pieces) < MOST_FIELDS:
        return None
    return 413, f"more than {MOST_FIELDS:,} fields"


def _name(host: str) -> str:
    """The name in a Host header, without the port."""
    return (host.rpartition(":")[0] if re.search(r":[0-9]*$", host) else host).casefold()


def _own(headers: dict[bytes, bytes], origin: str) -> bool:
    """Whether the request comes from a page of this service, or from no page at all."""
    if headers.get(b"sec-fetch-site", b"same-origin") not in (b"same-origin", b"none"):
        return False
    said = headers.get(b"origin")
    return said is None or said.decode("latin-1") == origin


def _last(values: bytes) -> str:
    """The last of several values in a header: what the nearest proxy wrote."""
    return values.decode("latin-1").rpartition(",")[2].strip()


def _given(body: bytes, receive: Receive) -> Receive:
    told = False

    async def give() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return give


def _guarded(send: Send, headers: tuple[tuple[bytes, bytes], ...]) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", []))
            names = {name.lower() for name, _ in given}
            given += [(name, value) for name, value in headers if name not in names]
            if b"content-security-policy" not in names:
                given.append((b"content-security-policy", OWN_POLICY.encode("ascii")))
            message = {**message, "headers": given}
        await send(message)

    return guarded


def _without_body(send: Send) -> Send:
    async def only_head(message: Message) -> None:
        await send(message if message["type"] != "http.response.body" else {**message, "body": b""})

    return only_head


async def _refuse(scope: Scope, send: Send, status: int, why: str, *more: tuple[bytes, bytes]) -> None:
    """In plain text, which any browser shows; to a program in problem details."""
    body, kind = f"{why}\n".encode(), b"text/plain; charset=utf-8"
    if scope["path"].startswith(UNDER_API):
        told = problem(status, why)
        body, kind = bytes(told.body), str(told.media_type).encode("ascii")
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode()), *more]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
