"""What stands before every request: whose address it is for, how large and how slow it may be, and what the answer
allows a browser."""

import asyncio
import hashlib
import re
from base64 import b64encode
from collections.abc import Awaitable, Callable, Collection, MutableMapping
from typing import Any, TypeAlias

Scope: TypeAlias = MutableMapping[str, Any]
Message: TypeAlias = MutableMapping[str, Any]
Receive: TypeAlias = Callable[[], Awaitable[Message]]
Send: TypeAlias = Callable[[Message], Awaitable[None]]
Application: TypeAlias = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_BYTES_OF_BODY = 24 * 1024**2
LONGEST_BODY_SECONDS = 30.0

OWN_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
"""For the service's own pages: nothing from elsewhere, no script."""

_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)
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
    """Refuses a request for another host's name (a foreign page that has its name point here), one from a page of
    another origin that changes something, and a body that is too large or comes too slowly."""

    def __init__(self, app: Application, hosts: Collection[str], *, most: int = MOST_BYTES_OF_BODY,
                 longest: float = LONGEST_BODY_SECONDS) -> None:  # fmt: skip
        self.app = app
        self.hosts = frozenset(hosts)
        self.most = most
        self.longest = longest

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.lower(): value for name, value in scope["headers"]}
        host = headers.get(b"host", b"").decode("latin-1")
        if _name(host) not in self.hosts:
            await _refuse(send, 421, "this service answers under its own name only")
            return
        if scope["method"] not in ("GET", "HEAD", "OPTIONS") and not _own(headers, host):
            await _refuse(send, 403, "a page of another address may change nothing here")
            return
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or int(length) > self.most:
            await _refuse(send, 413, f"more than {self.most // 1024**2} MB")
            return
        body = await self._body(receive)
        if isinstance(body, str):
            await _refuse(send, 413 if body.startswith("more") else 408, body)
            return
        await self.app(scope, _given(body, receive), _guarded(send))

    async def _body(self, receive: Receive) -> bytes | str:
        """The whole body, or why it is refused."""
        pieces: list[bytes] = []
        size = 0
        try:
            async with asyncio.timeout(self.longest):
                while True:
                    message = await receive()
                    if message["type"] == "http.disconnect":
                        return "the sender left"
                    pieces.append(message.get("body", b""))
                    size += len(pieces[-1])
                    if size > self.most:
                        return f"more than {self.most // 1024**2} MB"
                    if not message.get("more_body", False):
                        return b"".join(pieces)
        except TimeoutError:
            return f"the body took longer than {self.longest:g} seconds"


def _name(host: str) -> str:
    """The name in a Host header, without the port."""
    return (host.rpartition(":")[0] if re.search(r":[0-9]*$", host) else host).casefold()


def _own(headers: dict[bytes, bytes], host: str) -> bool:
    """Whether the request comes from a page of this service, or from no page at all."""
    if headers.get(b"sec-fetch-site", b"same-origin") not in (b"same-origin", b"none"):
        return False
    origin = headers.get(b"origin")
    return origin is None or origin.decode("latin-1").partition("://")[2] == host


def _given(body: bytes, receive: Receive) -> Receive:
    told = False

    async def give() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return give


def _guarded(send: Send) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", []))
            names = {name.lower() for name, _ in given}
            given += [(name, value) for name, value in _HEADERS if name not in names]
            if b"content-security-policy" not in names:
                given.append((b"content-security-policy", OWN_POLICY.encode("ascii")))
            message = {**message, "headers": given}
        await send(message)

    return guarded


async def _refuse(send: Send, status: int, why: str) -> None:
    body = f"{why}\n".encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"content-length", str(len(body)).encode())]
    send = _guarded(send)
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
