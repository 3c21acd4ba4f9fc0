"""A form, a car, a photograph that is sent more than once under one key is taken once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi.testclient import TestClient
from photograph_samples import photograph

from carknocker.service.asked import EnteredForm, NewTexts
from carknocker.service.keeping import Changed, Keeping, KeyUsed


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


@pytest.fixture
def entering(keeping: Keeping, record: str, monkeypatch: pytest.MonkeyPatch) -> Keeping:
    """Where the form itself brings a line: what is looked at here is how often it is entered."""
    ask = keeping.workers.ask

    def asked(function, *given):  # type: ignore[no-untyped-def]
        if function.__name__ != "entered":
            return ask(function, *given)
        return NewTexts(given[0].record + "# a line\n", None, (), EnteredForm(1, "a line", (), (), ()))

    monkeypatch.setattr(keeping.workers, "ask", asked)
    return keeping


def test_sent_twice_it_is_entered_once_and_answered_alike(entering: Keeping, car: str) -> None:
    first = entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert entering.enter_once(car, b"form", "w.html", "owner", "k1") == first
    assert entering.newest(car, "record").number == 2
    with pytest.raises(KeyUsed):
        entering.enter_once(car, b"another", "w.html", "owner", "k1")
    entering.enter_once(car, b"form", "w.html", "owner", None)
    assert entering.newest(car, "record").number == 3


def test_where_others_write_all_the_time_it_is_refused_and_not_entered_without_its_key(
    entering: Keeping, car: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried: list[object] = []

    def changed(*given: object) -> EnteredForm:
        tried.append(given[-1])
        raise Changed(None)

    monkeypatch.setattr(entering, "_enter", changed)
    with pytest.raises(Changed):
        entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert len(tried) == 2
    assert None not in tried


def test_a_car_sent_twice_under_a_key_is_one_car(client: TestClient, keeping: Keeping, record: str, move: str) -> None:
    sent, key = {"record": record, "move": move}, {"Idempotency-Key": "k1"}
    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(lambda _: client.post("/api/cars", json=sent, headers=key), range(4)))
    assert {one.status_code for one in made} == {201}
    assert len({one.json()["id"] for one in made}) == 1
    assert client.post("/api/cars", json={**sent, "move": move + "# x\n"}, headers=key).status_code == 422
    assert len(keeping.list_cars()) == 1
    assert client.post("/api/cars", json=sent).json()["id"] != made[0].json()["id"]
    assert client.post("/api/cars", json=sent, headers={"Idempotency-Key": "k2"}).status_code == 201
    assert len(keeping.list_cars()) == 3


def test_a_photograph_sent_twice_under_a_key_is_put_on_record_once(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    address, asked = f"/api/cars/{car}/photographs", {"of": "wheel L3", "on": "2026-10-01", "by": "HM"}
    key = {"Idempotency-Key": "k1"}
    first = client.post(address, params=asked, content=photograph(500, 400), headers=key)
    assert first.status_code == 201, first.text
    again = client.post(address, params=asked, content=photograph(500, 400), headers=key)
    assert (again.status_code, again.json()) == (201, first.json())
    assert client.post(address, params=asked, content=photograph(500, 401), headers=key).status_code == 422
    assert (
        client.post(address, params={**asked, "by": "RE"}, content=photograph(500, 400), headers=key).status_code == 422
    )
    assert [one.number for one in keeping.history.versions(car, "record")] == [2, 1]
