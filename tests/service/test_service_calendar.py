"""The calendar feed at a private address."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

import pytest
from fastapi.testclient import TestClient
from form_token import token
from icalendar import Calendar

from carknocker.service.keeping import Keeping


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def made(client: TestClient, car: str, label: str = "Shop diary") -> str:
    address = f"/cars/{car}/calendar"
    answer = client.post(address, data={"token": token(client, address), "label": label})
    found = re.search(r"<pre>http://localhost(/calendars/[A-Za-z0-9_-]{43}\.ics)</pre>", answer.text)
    assert found is not None, answer.text
    return found[1]


def test_a_diary_reads_the_dates_of_the_car_by_the_address_alone(client: TestClient, car: str) -> None:
    address = made(client, car)
    client.cookies.clear()
    answer = client.get(address)
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    events = {str(one["summary"]): one["dtstart"].dt for one in Calendar.from_ical(answer.content).walk("VEVENT")}
    assert events["QWHX 27 Wren Hollow: move as planned"] == date(2026, 11, 6)
    assert date(2026, 11, 14) in events.values()  # the annual mechanical inspection's last day
    assert client.get(address).content == answer.content
    assert address not in client.get(f"/cars/{car}/calendar").text


def test_an_address_that_was_taken_back_opens_nothing_and_neither_does_a_forged_one(
    client: TestClient, car: str
) -> None:
    one, other = made(client, car), made(client, car, "another")
    page = client.get(f"/cars/{car}/calendar").text
    end = re.search(r'action="(/cars/[^"]*/calendar/\d+/end)">Shop diary', page)
    assert end is not None
    assert client.post(end[1], data={"token": token(client, f"/cars/{car}/calendar")}).status_code == 303
    assert client.get(one).status_code == 404
    assert client.get(other).status_code == 200
    assert client.get(f"/calendars/{'x' * 43}.ics").status_code == 404
    assert client.post(end[1], data={"token": token(client, f"/cars/{car}/calendar")}).status_code == 404


def test_an_address_of_one_car_is_not_taken_back_at_another(
    client: TestClient, keeping: Keeping, car: str, record: str, move: str
) -> None:
    address = made(client, car)
    other = keeping.add_car(record, move, "owner").id
    number = re.search(r"/calendar/(\d+)/end", client.get(f"/cars/{car}/calendar").text)
    assert number is not None
    data = {"token": token(client, f"/cars/{other}/calendar")}
    assert client.post(f"/cars/{other}/calendar/{number[1]}/end", data=data).status_code == 404
    assert client.get(address).status_code == 200


def test_a_diary_reads_it_under_a_public_name_without_logging_in(
    client: TestClient, public: Callable[[], TestClient], car: str
) -> None:
    address = made(client, car)
    assert public().get(address).status_code == 200
    assert public().get(f"/cars/{car}/calendar").status_code in (303, 401)


def test_so_many_addresses_are_open_at_most(client: TestClient, car: str) -> None:
    for _ in range(20):
        made(client, car, "")
    address = f"/cars/{car}/calendar"
    answer = client.post(address, data={"token": token(client, address)})
    assert answer.status_code == 422
    assert "20 addresses" in answer.text
