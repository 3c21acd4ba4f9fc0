"""What is refused before anything is looked at."""

import re
from collections.abc import AsyncIterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import anyio
import httpx
import pytest
from fastapi.testclient import TestClient

from carknocker.service.address import LOOPBACK
from carknocker.service.guard import MOST_BYTES_OF_BODY, OWN_POLICY, Guard, policy_of_file


def test_every_answer_forbids_what_no_page_needs(client: TestClient) -> None:
    for address in ("/", "/new", "/style.css", "/healthz", "/api/cars", "/nothing"):
        headers = client.get(address).headers
        assert headers["content-security-policy"] == OWN_POLICY, address
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"  # a browser calls the origin of its own forms null else
        assert "server" not in headers
    assert "script" not in OWN_POLICY


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "evil.example:8215", ""])
def test_a_foreign_name_that_points_here_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8215", "127.0.0.1", "[::1]:8215"])
def test_the_own_names_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [{"Origin": "http://evil.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"},
     {"Sec-Fetch-Site": "same-site"}, {"Origin": "http://localhost:1"}],
)  # fmt: skip
def test_a_page_of_another_address_changes_nothing(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/api/cars", json={}, headers=headers).status_code == 403
    assert client.get("/api/cars", headers=headers).status_code == 200


def test_a_form_without_the_token_of_this_browser_is_refused(client: TestClient, record: str, move: str) -> None:
    sent = {"record": record, "move": move}
    assert client.post("/new", data=sent).status_code == 403
    client.get("/new")
    assert client.post("/new", data={**sent, "token": "0" * 64}).status_code == 403
    token = re.search(r'name="token" value="([0-9a-f]+)"', client.get("/new").text)
    assert token is not None
    client.cookies.clear()
    client.get("/new")
    assert client.post("/new", data={**sent, "token": token[1]}).status_code == 403
    assert client.get("/api/cars").json()["cars"] == []


def test_a_body_past_the_cap_is_refused_whether_it_says_its_length_or_not(client: TestClient) -> None:
    assert client.post("/new", headers={"Content-Length": str(MOST_BYTES_OF_BODY + 1)}).status_code == 413

    def pieces():  # type: ignore[no-untyped-def]
        for _ in range(MOST_BYTES_OF_BODY // 2**20 + 1):
            yield b"x" * 2**20

    assert client.post("/new", content=pieces()).status_code == 413


def test_a_body_that_comes_too_slowly_is_refused() -> None:
    async def nothing(*_: object) -> None:
        raise AssertionError("a slow body came through")

    async def slow() -> AsyncIterator[bytes]:
        yield b"x"
        await anyio.sleep(5)
        yield b"x"

    async def ask() -> int:
        transport = httpx.ASGITransport(app=Guard(nothing, LOOPBACK, longest=0.1))  # type: ignore[arg-type]
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
            return (await client.post("/", content=slow())).status_code

    with ThreadPoolExecutor(1) as apart:  # another test of this process may keep a loop running
        assert apart.submit(anyio.run, ask).result() == 408


def test_of_a_file_only_its_own_scripts_run() -> None:
    # the digest of `alert(1)`, worked out with `openssl dgst -sha256 -binary | base64`
    assert "script-src 'sha256-bhHHL3z2vDgxUt0W3dWQOrprscmda2Y5pLsLg4GF+pI='" in policy_of_file(
        "<script>alert(1)</script>"
    )
    assert "script-src 'none'" in policy_of_file("<p>no script</p>")


@pytest.mark.parametrize(
    "address",
    ["/cars/..%2f..%2fetc%2fpasswd", "/cars/x/texts/..%2fcar", "/cars/rulesets", "/cars/x/worksheet.exe",
     "/cars/x/dossiers/..%2f..", "/%00", "/cars/'%20OR%201=1", "/api/cars/rulesets"],
)  # fmt: skip
def test_addresses_that_lead_nowhere_say_nothing_of_the_machine(client: TestClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code in (400, 404, 422)
    assert not re.search(r"Traceback|/home|/tmp|site-packages|[0-9]+\.[0-9]+\.[0-9]+", answer.text)


@pytest.mark.parametrize(("version", "status"), [("1.0", 403), ("1.1", 204)])
def test_a_proxy_that_says_nothing_of_itself_is_known_by_its_old_http(version: str, status: int) -> None:
    """nginx without settings asks by HTTP/1.0, under the name of this machine: that would make everybody the owner."""
    told: list[int] = []

    async def app(_scope: object, _receive: object, send: Any) -> None:
        await send({"type": "http.response.start", "status": 204, "headers": []})
        await send({"type": "http.response.body", "body": b""})

    async def receive() -> dict[str, object]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        told.extend([message["status"]] if "status" in message else [])

    scope = {"type": "http", "method": "GET", "path": "/", "http_version": version,
             "headers": [(b"host", b"127.0.0.1:8215")]}  # fmt: skip
    with ThreadPoolExecutor(1) as apart:
        apart.submit(anyio.run, Guard(app, LOOPBACK), scope, receive, send).result()
    assert told == [status]
