"""Every refusal under /api/ is a problem detail, whoever refuses, and every other one a page or a plain line."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import sqlalchemy
from fastapi.testclient import TestClient
from httpx import Response

from carknocker.service.application import application
from carknocker.service.guard import MOST_BYTES_OF_BODY
from carknocker.service.keeping import Keeping

Ask = Callable[[TestClient], Response]
FOREIGN = {"Host": "evil.example"}
BY_HAND: list[tuple[int, Ask]] = [
    (404, lambda client: client.get("/api/nix")),
    (404, lambda client: client.post("/api/cars/x/y/z")),
    (405, lambda client: client.delete("/api/cars")),
    (421, lambda client: client.get("/api/cars", headers=FOREIGN)),
    (403, lambda client: client.post("/api/cars", json={}, headers={"Origin": "http://evil.example"})),
    (413, lambda client: client.post("/api/cars", headers={"Content-Length": str(MOST_BYTES_OF_BODY + 1)})),
]


@pytest.mark.parametrize(("status", "ask"), BY_HAND)
def test_a_program_is_told_in_problem_details(client: TestClient, status: int, ask: Ask) -> None:
    answer = ask(client)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    told = answer.json()
    assert (told["status"], told["type"]) == (status, "about:blank")
    assert told["title"] not in ("", "Refused")
    assert told["detail"]
    described = client.get("/api/openapi.json").json()["paths"]["/api/cars"]["post"]["responses"]
    assert str(status) in described


def test_a_browser_is_told_on_a_page(client: TestClient) -> None:
    nothing = client.get("/nix")
    assert (nothing.status_code, nothing.headers["content-type"]) == (404, "text/html; charset=utf-8")
    assert "There is nothing under this address" in nothing.text
    wrong = client.post("/style.css")
    assert (wrong.status_code, wrong.headers["allow"]) == (405, "GET")
    assert "can&#x27;t be done with this address" in wrong.text


def test_a_database_that_does_not_answer_is_said_to_be_busy(
    client: TestClient, keeping: Keeping, record: str, move: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    car = keeping.add_car(record, move, "owner").id

    def locked(*_: object, **__: object) -> None:
        raise sqlalchemy.exc.OperationalError("INSERT a secret", {}, Exception("database is locked"))

    monkeypatch.setattr(keeping.history, "add", locked)
    written = {"text": f"{record}# more\n"}
    answer = client.put(f"/api/cars/{car}/texts/record", json=written, headers={"If-Match": '"1"'})
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")
    assert answer.json()["detail"].startswith("the database does not answer now; nothing was written")
    assert "secret" not in answer.text
    monkeypatch.setattr(keeping.history, "versions", locked)
    page = client.get(f"/cars/{car}/history")
    assert (page.status_code, page.headers["retry-after"]) == (503, "5")
    assert "The database does not answer now" in page.text


def test_what_went_wrong_inside_says_nothing_of_the_inside(keeping: Keeping, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise KeyError("/home/kim/a-secret")

    monkeypatch.setattr(keeping, "list_cars", broken)
    client = TestClient(application(keeping), base_url="http://localhost", raise_server_exceptions=False)
    told = client.get("/api/cars")
    assert (told.status_code, told.headers["content-type"]) == (500, "application/problem+json")
    assert told.json()["title"] == "Something went wrong here"
    page = client.get("/")
    assert (page.status_code, page.headers["content-type"]) == (500, "text/html; charset=utf-8")
    for answer in (told, page):
        assert "secret" not in answer.text
        assert "Traceback" not in answer.text
        assert answer.headers["content-security-policy"].startswith("default-src 'none'")


@pytest.mark.parametrize("address", ["/", "/healthz", "/api/cars", "/nix", "/style.css"])
def test_head_is_answered_as_get_without_the_body(client: TestClient, address: str) -> None:
    got, head = client.get(address), client.head(address)
    assert (head.status_code, head.content) == (got.status_code, b"")
    for name in ("content-type", "content-length", "content-security-policy"):
        assert head.headers[name] == got.headers[name], name


def test_head_changes_nothing_and_is_let_in_as_get_is(client: TestClient) -> None:
    assert client.head("/", headers=FOREIGN).status_code == 421
    assert client.head("/log-out").status_code in (404, 405)
