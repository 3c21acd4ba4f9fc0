"""The API: the questions of the command line in JSON, refusals as problem details."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from carknocker.service import asked
from carknocker.service.asked import Refused
from carknocker.service.keeping import Keeping


@pytest.fixture
def car(client: TestClient, record: str, move: str) -> str:
    made = client.post("/api/cars", json={"record": record, "move": move})
    assert made.status_code == 201, made.text
    return f"/api/cars/{made.json()['id']}"


def refused(answer: Any, status: int) -> dict[str, Any]:
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    told: dict[str, Any] = answer.json()
    assert told["status"] == status
    return told


def test_a_car_and_how_it_stands(client: TestClient, car: str) -> None:
    told = client.get(car).json()
    assert (told["mark"], told["outcome"], told["out"], told["as_of"]) == (
        "QWHX 27", "not ready", "2026-11-06", "2026-10-08",
    )  # fmt: skip
    assert told["first_fault"]
    assert client.get("/api/cars").json() == {"cars": [told], "next": None, "moved": []}


def test_what_was_written_is_told_also_where_no_worker_is_free_to_judge_it(
    client: TestClient, keeping: Keeping, record: str, move: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask = keeping.workers.ask

    def busy(function: Any, *given: Any) -> Any:
        if function is asked.summed_up:
            raise Refused("busy", "too much at once")
        return ask(function, *given)

    with monkeypatch.context() as patched:
        patched.setattr(keeping.workers, "ask", busy)
        made = client.post("/api/cars", json={"record": record, "move": move})
        away = client.post(f"/api/cars/{made.json()['id']}/put-away", json={"away": True, "why": "sold"})
    assert (made.status_code, made.json()["outcome"], made.json()["first_fault"]) == (201, "being judged", "")
    assert (away.status_code, away.json()["outcome"]) == (200, "being judged")
    assert client.get(f"/api/cars/{made.json()['id']}").json()["outcome"] == "not ready"


def test_the_same_answer_as_the_command_line(client: TestClient, car: str, record: str, move: str) -> None:
    from datetime import date

    from carknocker.service.asked import Sources
    from carknocker.service.asked_questions import answered

    said = client.get(f"{car}/answers/check?as_of=2026-10-08")
    assert said.content == answered("check", Sources(record, move, date(2026, 10, 8)), "json").body
    assert said.json()["format"].startswith("carknocker-")
    for question in ("why", "due", "plan"):
        assert client.get(f"{car}/answers/{question}").json()["format"].startswith("carknocker-"), question


def test_cars_come_by_their_move_page_by_page(client: TestClient, record: str, move: str) -> None:
    days = ["2026-11-06", "2026-11-04", "2026-11-05"]
    for day in days:
        earlier = move.replace("out: 2026-11-06", f"out: {day}", 1).replace("on: 2026-11-06", f"on: {day}")
        assert client.post("/api/cars", json={"record": record, "move": earlier}).status_code == 201
    seen: list[str] = []
    after: str | None = ""
    while after is not None:
        page = client.get("/api/cars", params={"after": after, "most": 1}).json()
        seen += [one["out"] for one in page["cars"]]
        after = page["next"]
    assert seen == sorted(days)


def test_a_version_is_written_only_over_the_one_that_was_changed(client: TestClient, car: str, record: str) -> None:
    first = client.get(f"{car}/texts/record")
    assert first.headers["etag"] == '"1"'
    body = {"text": record + "# more\n", "note": "a line more"}
    refused(client.put(f"{car}/texts/record", json=body), 428)
    done = client.put(f"{car}/texts/record", json=body, headers={"If-Match": '"1"'})
    assert (done.status_code, done.headers["etag"]) == (200, '"2"')
    again = refused(client.put(f"{car}/texts/record", json=body, headers={"If-Match": '"1"'}), 412)
    assert again["newest"] == 2
    assert client.get(f"{car}/texts/record?version=1").json()["text"] == record
    history = client.get(f"{car}/history").json()
    assert [(one["kind"], one["number"], one["note"]) for one in history["versions"]] == [
        ("record", 2, "a line more"), ("move", 1, "first record"), ("record", 1, "first record"),
    ]  # fmt: skip
    assert [one["number"] for one in client.get(f"{car}/history?most=1").json()["versions"]] == [2]


def test_problems_come_with_their_places(client: TestClient, keeping: Keeping, car: str, record: str) -> None:
    bad = record.replace("mark: QWHX 27", "mork: QWHX 27", 1)
    line = bad.splitlines().index("  mork: QWHX 27") + 1
    told = refused(client.put(f"{car}/texts/record", json={"text": bad}, headers={"If-Match": '"1"'}), 422)
    looked = client.post(f"{car}/texts/record/look-through", json={"text": bad}).json()
    assert looked["problems"] == told["problems"]
    assert (told["problems"][0]["file"], told["problems"][0]["nearest"]) == ("car.yaml", "mark")
    assert line in {one["line"] for one in told["problems"]}
    assert client.post(f"{car}/texts/record/look-through", json={"text": record}).json() == {"problems": []}
    assert keeping.newest(car.removeprefix("/api/cars/"), "record").number == 1


@pytest.mark.parametrize(
    "body",
    [{}, {"record": "x"}, {"answers": "a: b", "record": "x", "move": "y"}, {"record": "x", "move": "y", "more": 1}],
)
def test_a_car_takes_answers_or_both_texts(client: TestClient, body: dict[str, str]) -> None:
    refused(client.post("/api/cars", json=body), 400)


@pytest.mark.parametrize(
    ("address", "status"),
    [("/api/cars/none", 404), ("/api/cars/none/texts/record", 404), ("/api/cars/none/answers/check", 404),
     ("/api/cars/none/history", 404), ("/api/cars?after=x", 400), ("/api/cars?most=0", 400),
     ("/api/cars/rulesets/history", 404)],
)  # fmt: skip
def test_what_is_not_here(client: TestClient, address: str, status: int) -> None:
    refused(client.get(address), status)


def test_a_record_that_would_stop_a_reader_is_refused_at_once(client: TestClient, car: str) -> None:
    bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
        f"{new}: &{new} [{','.join([f'*{old}'] * 9)}]\n" for old, new in zip("abcdefgh", "bcdefghi", strict=True)
    )
    deep = "[" * 100_000
    for text in (bomb, deep, "x" * 1_900_000):
        told = client.put(f"{car}/texts/record", json={"text": text}, headers={"If-Match": '"1"'})
        refused(told, 422)
    refused(client.put(f"{car}/texts/record", json={"text": "x" * 2_000_001}, headers={"If-Match": '"1"'}), 400)


def test_a_dossier_given_out_is_known_by_its_digest_and_only_under_its_car(
    client: TestClient, car: str, record: str, move: str
) -> None:
    from hashlib import sha256

    given = client.post(f"{car}/dossiers?format=markdown").json()
    kept = client.get(f"{car}/dossiers/{given['digest']}")
    assert sha256(kept.content).hexdigest() == given["digest"]
    assert given["note"] == "not ready, as of 2026-10-08"
    other = client.post("/api/cars", json={"record": record, "move": move}).json()["id"]
    refused(client.get(f"/api/cars/{other}/dossiers/{given['digest']}"), 404)
