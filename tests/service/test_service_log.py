"""The log has a line for each request, and nothing in it that somebody wrote."""

import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest
import sqlalchemy
from fastapi.testclient import TestClient

from carknocker.service.access.door import LoopbackDoor
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.application import application
from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping
from carknocker.service.log import Log, RequestLog, take_over


@pytest.fixture
def lines() -> list[str]:
    return []


@pytest.fixture
def logged(keeping: Keeping, lines: list[str]) -> TestClient:
    return TestClient(RequestLog(application(keeping), Log(lines.append, keeping.now)), base_url="http://localhost")


def only(lines: list[str]) -> dict[str, Any]:
    (line,) = lines
    assert "\n" not in line
    told: dict[str, Any] = json.loads(line)
    lines.clear()
    return told


def test_a_line_says_when_what_where_and_how_long(logged: TestClient, lines: list[str]) -> None:
    assert logged.get("/api/cars?most=7").status_code == 200
    told = only(lines)
    assert 0 < told.pop("ms") < 10_000
    assert told == {
        "at": "2026-10-08T12:00:00.000Z", "what": "request", "method": "GET", "route": "/api/cars", "status": 200,
        "who": "owner",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("method", "address", "route", "status"),
    [("GET", "/cars/a-secret-name", "/cars/{car}", 404), ("GET", "/a-secret-name", None, 404),
     ("GET", "/api/cars?after=a-secret-name", "/api/cars", 400), ("POST", "/new", "/new", 403),
     ("PUT", "/api/cars/a-secret-name/texts/record", "/api/cars/{car}/texts/{kind}", 428),
     ("DELETE", "/api/cars", "/api/cars", 405), ("A-SECRET-NAME", "/", "/", 405)],
)  # fmt: skip
def test_nothing_that_was_sent_is_in_it(
    logged: TestClient, lines: list[str], method: str, address: str, route: str | None, status: int
) -> None:
    headers = {"User-Agent": "a-secret-name {}", "Cookie": "a-secret-name=1", "Idempotency-Key": "a-secret-name"}
    body = {"text": "a-secret-name", "note": "a-secret-name"} if method == "PUT" else None
    answer = logged.request(method, address, headers=headers, json=body)
    assert answer.status_code == status
    assert "secret" not in lines[0].casefold()
    told = only(lines)
    assert told["status"] == status
    assert told["route"] == route
    assert told["method"] == (method if method != "A-SECRET-NAME" else "other")


@pytest.mark.parametrize("address", ["/cars/x%0a%7b%22what%22:1%7d", "/x%0d%0ay", "/cars/\u2028x"])
def test_an_address_can_t_write_a_line_of_its_own(logged: TestClient, lines: list[str], address: str) -> None:
    logged.get(address)
    (line,) = lines
    assert line.isprintable()
    assert line.isascii()
    assert only(lines)["status"] in (400, 404)


def test_what_is_refused_at_the_door_is_in_it(logged: TestClient, lines: list[str]) -> None:
    assert logged.get("/", headers={"Host": "evil.example"}).status_code == 421
    told = only(lines)
    assert (told["status"], told["route"], told["who"]) == (421, None, None)


def test_an_error_that_nobody_caught_is_named_by_kind_and_place_and_its_text_kept_out(
    logged: TestClient, keeping: Keeping, lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(**_: object) -> None:
        raise KeyError("a-secret-name")

    monkeypatch.setattr(keeping, "list_cars", broken)
    answer = logged.get("/api/cars")
    assert answer.status_code == 500
    assert "secret" not in answer.text + lines[0]
    told = only(lines)
    assert (told["status"], told["error"]) == (500, "KeyError")
    assert told["where"].startswith("service/api/routes.py:")


@pytest.fixture
def as_before() -> Iterator[None]:
    root = logging.getLogger()
    handlers, level = root.handlers[:], root.level
    yield
    root.handlers[:] = handlers
    root.setLevel(level)


@pytest.mark.usefixtures("as_before")
def test_what_libraries_log_is_a_line_without_its_text(lines: list[str], keeping: Keeping) -> None:
    take_over(Log(lines.append, keeping.now))
    logging.getLogger("a.library").warning("a-secret-name\n{}")
    assert only(lines) == {"at": "2026-10-08T12:00:00.000Z", "what": "warning", "by": "a.library"}
    logging.getLogger("a.library").info("a-secret-name")
    assert lines == []
    try:
        raise ValueError("a-secret-name")
    except ValueError:
        logging.getLogger("a.library").exception("a-secret-name")
    assert "secret" not in lines[0]
    assert only(lines)["error"] == "ValueError"


def test_health_is_ok_only_where_the_database_and_the_workers_answer(
    logged: TestClient, keeping: Keeping, monkeypatch: pytest.MonkeyPatch
) -> None:
    well = logged.get("/healthz")
    assert (well.status_code, well.text) == (200, "ok\n")
    monkeypatch.setattr(keeping.workers, "live", lambda: False)
    unwell = logged.get("/healthz")
    assert (unwell.status_code, unwell.text) == (503, "no worker answers\n")

    def away() -> None:
        raise sqlalchemy.exc.OperationalError("SELECT a-secret-name", {}, Exception())

    monkeypatch.setattr(keeping.history, "look", away)
    unwell = logged.get("/healthz")
    assert (unwell.status_code, unwell.text) == (503, "the database does not answer\n")


def test_refusals_are_in_it_as_what_was_answered(
    logged: TestClient, keeping: Keeping, lines: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_: object) -> None:
        raise Refused("busy", "a-secret-name")

    monkeypatch.setattr(keeping.workers, "ask", busy)
    assert logged.get("/new").status_code == 503
    assert "secret" not in lines[0]
    assert (only(lines))["status"] == 503


@pytest.mark.parametrize(
    ("visitor", "said"),
    [(Visitor("Ash Secret", Role.HELPER, 7, "0f3a"), "0f3a"), (Visitor("Ash Secret", Role.ANYONE, 12), "link 12"),
     (Visitor("Ash Secret", Role.READER), "reader")],
)  # fmt: skip
def test_who_it_was_is_an_id_and_no_name(
    logged: TestClient, lines: list[str], visitor: Visitor, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(LoopbackDoor, "visitor", lambda *_: visitor)
    logged.get("/healthz")
    assert "Secret" not in lines[0]
    assert only(lines)["who"] == said
