"""The service behind a real proxy that ends TLS: cookies, origins, names, and whom it believes."""

from __future__ import annotations

import os
import re
import signal
import socket
import ssl
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from test_service_process import WITHIN_SECONDS, free_port, serving
from tls_proxy import tls_in_front, told

WORD = "seven brass lanterns"


@dataclass
class Behind:
    """The service, its address by https, what knows its certificate, and its set-up token."""

    inside: httpx.Client
    https: str
    trusts: ssl.SSLContext
    set_up: str

    def browser(self) -> httpx.Client:
        return httpx.Client(base_url=self.https, verify=self.trusts, trust_env=False, timeout=WITHIN_SECONDS)


@pytest.fixture(scope="module")
def behind(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Behind]:
    at = free_port()
    https = f"https://localhost:{at}"
    with serving(tmp_path_factory.mktemp("data"), "--public-name", https, "--processes", "1") as (process, inside):
        assert process.stderr is not None
        said = process.stderr.readline() + process.stderr.readline()
        token = re.search(r"Set-up token, .*: ([\w-]{43})\n", said)
        assert token is not None, said
        with tls_in_front(at, int(inside.base_url.port or 0)) as trusts:
            yield Behind(inside, https, trusts, token[1])
        os.kill(process.pid, signal.SIGTERM)
        process.communicate(timeout=WITHIN_SECONDS)


def token_on(answer: httpx.Response) -> str:
    found = re.search(r'name="token" value="([0-9a-f]{64})"', answer.text)
    assert found is not None, answer.text
    return found[1]


def flags(answer: httpx.Response) -> tuple[str, set[str]]:
    """Name of the one cookie that an answer gives, and how it is given."""
    (given,) = answer.headers.get_list("set-cookie")
    pair, *how = given.split("; ")
    return pair.partition("=")[0], {one.lower() for one in how if not one.lower().startswith("max-age")}


OWN_ALONE = {"httponly", "path=/", "samesite=lax", "secure"}
"""And no domain: so the name `__Host-` wants it."""


def test_from_the_set_up_to_a_page_by_https(behind: Behind) -> None:
    with behind.browser() as browser:
        first = browser.get("/")
        assert (first.status_code, first.headers["location"]) == (303, "/log-in?to=/")
        shown = browser.get("/set-up")
        assert shown.headers["strict-transport-security"] == "max-age=31536000"
        assert flags(shown) == ("__Host-carknocker", OWN_ALONE)
        before = browser.cookies["__Host-carknocker"]
        sent = {"token": token_on(shown), "secret": behind.set_up, "name": "Ash", "password": WORD}
        for origin in ("https://evil.example", behind.https.replace("https", "http"), "https://localhost", "null"):
            assert browser.post("/set-up", data=sent, headers={"Origin": origin}).status_code == 403, origin
        made = browser.post("/set-up", data=sent, headers={"Origin": behind.https})
        assert (made.status_code, made.headers["location"]) == (303, "/")
        assert flags(made) == ("__Host-carknocker", OWN_ALONE)
        assert browser.cookies["__Host-carknocker"] != before, "whoever knew it before the log-in knows nothing now"
        assert browser.get("/").status_code == 200
        with behind.browser() as fixed:
            fixed.cookies.set("__Host-carknocker", before)
            assert fixed.get("/").status_code == 303
        invited = browser.post(
            "/people/invitations", data={"token": token_on(browser.get("/people")), "role": "reader", "label": "Kim"}
        )
        assert f"{behind.https}/invited/" in invited.text, "the public name, not the one inside"
        assert "127.0.0.1" not in invited.text


def test_it_believes_its_proxy_and_nobody_else(behind: Behind) -> None:
    """Whoever asks it past the proxy has no way in, and what a browser says of itself is not what the proxy saw."""
    port = behind.https.rpartition(":")[2]
    name = {"Host": f"localhost:{port}"}
    assert behind.inside.get("/log-in", headers=name).status_code == 403
    assert behind.inside.get("/log-in", headers={**name, "X-Forwarded-Proto": "http"}).status_code == 403
    assert behind.inside.get("/log-in", headers={**name, "Forwarded": "proto=https"}).status_code == 403
    with behind.browser() as browser:
        said = {"X-Forwarded-Proto": "http", "X-Forwarded-Host": "evil.example", "X-Forwarded-For": "203.0.113.9"}
        answer = browser.get("/log-in", headers=said)
        assert answer.status_code == 200
        assert "evil.example" not in answer.text
        assert browser.get("/log-in", headers={"Host": "evil.example"}).status_code == 421


def test_a_proxy_that_is_not_named_is_not_believed(tmp_path: Path) -> None:
    at = free_port()
    more = ("--public-name", f"https://localhost:{at}", "--proxy", "192.0.2.1", "--processes", "1")
    with (
        serving(tmp_path, *more) as (_, inside),
        tls_in_front(at, int(inside.base_url.port or 0)) as trusts,
        httpx.Client(verify=trusts, trust_env=False) as browser,
    ):
        assert browser.get(f"https://localhost:{at}/log-in").status_code == 403
        assert browser.get(f"https://localhost:{at}/healthz").text == "ok\n"


def test_what_the_proxy_hands_on() -> None:
    head = b"GET / HTTP/1.1\r\nHost: a\r\nX-Forwarded-For: 203.0.113.9\r\nX-Forwarded-Proto: http\r\n\r\n"
    assert told(head, "127.0.0.1") == (
        b"GET / HTTP/1.1\r\nHost: a\r\nX-Forwarded-For: 203.0.113.9, 127.0.0.1\r\nX-Forwarded-Proto: https\r\n"
        b"Connection: close\r\n\r\n"
    )


@pytest.mark.parametrize(
    "head",
    [
        b"Content-Length: 40\r\nTransfer-Encoding: chunked",
        b"Content-Length: 5\r\nContent-Length: 6",
        b"Content-Length: +5",
        b"Content-Length: 5, 6",
        b"Content-Length: 0x5",
        b"Transfer-Encoding: chunked, identity",
        b"Transfer-Encoding: xchunked",
        b"Transfer-Encoding : chunked",
        b"Transfer-Encoding:\x0bchunked",
        b"Transfer-Encoding: chunked\r\nTransfer-Encoding: identity",
        b"Host: evil.example",
        b"X: a\r\n Transfer-Encoding: chunked\r\nContent-Length: 4\r\nContent-Length: 5",
    ],
)
def test_a_request_that_two_could_read_differently_is_refused_and_nothing_behind_it_is_answered(
    behind: Behind, head: bytes
) -> None:
    """What stands behind it is a second request, smuggled past a proxy that reads the lengths in another way."""
    host, port = b"localhost:%d" % int(behind.https.rpartition(":")[2]), int(behind.inside.base_url.port or 0)
    common = b" HTTP/1.1\r\nHost: " + host + b"\r\nX-Forwarded-Proto: https\r\n"
    smuggled = b"GET /style.css" + common + b"\r\n"
    with socket.create_connection(("127.0.0.1", port)) as opened:
        opened.settimeout(WITHIN_SECONDS)
        opened.sendall(b"POST /log-in" + common + head + b"\r\n\r\n0\r\n\r\n" + smuggled)
        said = b""
        while piece := opened.recv(65_536):
            said += piece
    assert said.startswith((b"HTTP/1.1 400", b"HTTP/1.1 501")), said[:80]
    assert said.count(b"HTTP/1.1 ") == 1
