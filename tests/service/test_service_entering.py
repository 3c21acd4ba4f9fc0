"""A form, a car, a photograph that is sent more than once under one key is taken once."""

from __future__ import annotations

import time
from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest
from fastapi.testclient import TestClient
from photograph_samples import photograph

from carknocker.service.asked import EnteredForm, NewTexts, Refused
from carknocker.service.keeping import Keeping
from carknocker.service.not_taken import KeyUsed
from carknocker.service.storage.history import Changed, NewVersion
from carknocker.service.turns import Turns

AT = "2026-10-08T12:00:00Z"


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
    entering.turns = Turns(longest_wait=0.05)
    with pytest.raises(Changed):
        entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert len(tried) > 1
    assert None not in tried


def test_fifty_who_send_forms_to_one_car_at_once_are_all_entered(
    entering: Keeping, client: TestClient, car: str
) -> None:
    def send(number: int) -> int:
        address = f"/api/cars/{car}/forms?name=w.html"
        return client.post(address, content=f"form {number}", headers={"Idempotency-Key": f"k{number}"}).status_code

    with ThreadPoolExecutor(50) as pool:
        statuses = list(pool.map(send, range(50)))
    assert statuses == [200] * 50
    assert entering.newest(car, "record").number == 51
    assert entering.text(car, "record")[1].count("# a line\n") == 50
    forms = entering.history.versions(car, "form", most=100)
    assert {entering.history.text(one) for one in forms} == {f"form {number}" for number in range(50)}


def test_who_writes_meanwhile_on_another_host_is_written_after(entering: Keeping, car: str) -> None:
    """There its turns are others: the form is entered anew into what that one wrote."""
    enter, other = entering._enter, [True]

    def with_another_meanwhile(*given):  # type: ignore[no-untyped-def]
        if other.pop() if other else False:
            text = entering.text(car, "record")[1]
            entering.history.add([NewVersion(car, "record", "", f"{text}# theirs\n".encode(), "text/yaml", AT, "Kim")])
            raise Changed(None)
        return enter(*given)

    entering._enter = with_another_meanwhile  # type: ignore[method-assign]
    entering.enter_once(car, b"form", "w.html", "owner", "k1")
    assert entering.text(car, "record")[1].endswith("# theirs\n# a line\n")


def test_one_writes_to_a_car_at_a_time_and_another_car_does_not_wait() -> None:
    turns, within, most, at_other = Turns(), [0], [0], Event()

    def writing() -> None:
        within[0] += 1
        most[0] = max(most[0], within[0])
        time.sleep(0.005)
        within[0] -= 1

    def held() -> bool:
        turns.write("c2", at_other.set)
        return at_other.wait(5)

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: turns.write("c1", writing), range(24)))
    assert most == [1]
    assert turns.write("c1", held)


def test_who_waits_too_long_or_behind_too_many_is_told_to_come_again() -> None:
    turns, entered, go = Turns(most_waiting=1, longest_wait=0.2), Event(), Event()

    def holds() -> None:
        entered.set()
        go.wait(10)

    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(turns.write, "c1", holds)
        assert entered.wait(5)
        second = pool.submit(turns.write, "c1", lambda: None)
        while turns._waiting == 0 and not second.done():
            time.sleep(0.001)
        with pytest.raises(Refused, match="too many are writing to this car"):
            turns.write("c1", lambda: None)
        with pytest.raises(Refused, match="too many are writing to this car"):
            second.result()
        go.set()
        first.result()
    assert turns.write("c1", lambda: "again") == "again"


def test_a_turn_that_failed_is_over() -> None:
    turns = Turns()

    def fails() -> None:
        raise KeyError("x")

    with pytest.raises(KeyError):
        turns.write("c1", fails)
    assert turns.write("c1", lambda: 1) == 1


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
