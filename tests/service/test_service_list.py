"""The list of cars: how each is called, in which order they stand, and what was put away."""

from datetime import date
from pathlib import Path

import pytest
import sqlalchemy
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service.access.links import Links
from carknocker.service.access.roles import Role, Visitor
from carknocker.service.background import Background
from carknocker.service.keeping import Keeping
from carknocker.service.storage.accounts import AccountStore
from carknocker.service.storage.car_list import Place

CASES = Path(__file__).resolve().parents[2] / "cases"
OWNER = Visitor("owner", Role.OWNER)


def names(client: TestClient, address: str = "/api/cars") -> list[str]:
    return [one["name"] for one in client.get(address).json()["cars"]]


def test_a_mark_that_is_put_right_is_put_right_on_every_page(
    client: TestClient, keeping: Keeping, background: Background, record: str, move: str
) -> None:
    wrong = record.replace("QWHX 27", "QWHX 72").replace("Wren Hollow", "Wren Hello")
    car = keeping.add_car(wrong, move, "owner").id
    dossier = keeping.give_out(car, "markdown", keeping.today(), "owner").digest
    link = Links(AccountStore(keeping.history.engine), keeping.now).make(Role.INSPECTOR, car, dossier, "", 9, OWNER)
    pages = ("/", f"/cars/{car}", f"/cars/{car}/links", f"/cars/{car}/texts/move", f"/inspect/{link}")
    for page in pages:
        assert "QWHX 72 Wren Hello" in client.get(page).text, page
    done = client.put(f"/api/cars/{car}/texts/record", json={"text": record}, headers={"If-Match": '"1"'})
    assert done.status_code == 200
    for page in pages:
        assert "QWHX 27 Wren Hollow" in client.get(page).text, page
    line = client.get(f"/api/cars/{car}").json()
    assert (line["mark"], line["name"]) == ("QWHX 27", "Wren Hollow")
    assert "QWHX 72" in client.get(f"/api/cars/{car}/texts/record?version=1").json()["text"]


def test_a_mark_that_an_earlier_program_left_as_it_was_is_put_right_when_the_car_is_judged(
    keeping: Keeping, background: Background, record: str, move: str
) -> None:
    car = keeping.add_car(record, move, "owner").id
    with keeping.history.engine.begin() as connection:
        connection.execute(sqlalchemy.text("UPDATE car SET mark = 'QWHX 72', name = '' WHERE mark <> ''"))
    assert background.judge_waiting() == 1
    assert keeping.car(car).title == "QWHX 27 Wren Hollow"


def test_a_judgement_that_comes_late_gives_no_older_name(keeping: Keeping, record: str, move: str) -> None:
    car = keeping.add_car(record, move, "owner").id
    keeping.judge(car)
    late = keeping.history.standing(car)
    keeping.accept(car, "record", record.replace("Wren Hollow", "Wren Hill"), "owner", "", 1)
    keeping.history.set_standing(late, ("QWHX 27", "Wren Hollow"))
    assert keeping.car(car).name == "Wren Hill"


def test_what_the_list_says_is_what_the_page_of_the_car_says(
    client: TestClient, keeping: Keeping, background: Background
) -> None:
    texts = [(CASES / "nothing-measured" / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    car = keeping.add_car(texts[0], texts[1], "owner").id
    assert background.judge_waiting() == 1
    for page in ("/", f"/cars/{car}", f"/cars/{car}/check"):
        assert "NOT YET LOOKED AT" in client.get(page).text, page
    assert "NOT READY" not in client.get("/").text
    assert client.get("/api/cars").json()["cars"][0]["outcome"] == "not yet looked at"
    assert client.get(f"/api/cars/{car}/answers/check").json()["outcome"] == "not ready", "as the command line has it"


def with_move(keeping: Keeping, record: str, move: str, name: str, out: str, back: str) -> str:
    """A car whose move is on these days."""
    legs = "legs:\n- {from: Quillon Junction, to: Quillon Junction, miles: 30 mi}\n"
    later = move.partition("legs:\n")[0].replace("  requested_on: 2026-09-25\n", "") + legs
    later = later.replace("out: 2026-11-06", f"out: {out}").replace("back: 2026-11-22", f"back: {back}")
    return keeping.add_car(record.replace("Wren Hollow", name), later, "owner").id


def test_moves_to_come_stand_first_and_those_that_are_over_last(
    client: TestClient, keeping: Keeping, background: Background, record: str, move: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(keeping, "today", lambda: date(2026, 11, 22))
    days = {
        "Long over": ("2026-10-09", "2026-10-20"), "Over": ("2026-11-02", "2026-11-21"),
        "Under way": ("2026-11-06", "2026-11-22"), "Later": ("2026-12-07", "2026-12-09"),
        "To come": ("2026-11-30", "2026-12-20"),
    }  # fmt: skip
    for name, (out, back) in days.items():
        with_move(keeping, record, move, name, out, back)
    assert background.judge_waiting() == 5
    ordered = ["Under way", "To come", "Later", "Over", "Long over"]
    assert names(client) == ordered
    page, walked = client.get("/api/cars?most=2").json(), []
    while True:
        walked += [one["name"] for one in page["cars"]]
        if page["next"] is None:
            break
        page = client.get("/api/cars", params={"most": 2, "after": page["next"]}).json()
    assert walked == ordered
    shown = client.get("/").text
    assert shown.index("Moves to come") < shown.index("Later") < shown.index("Moves that are over")
    assert shown.index("Moves that are over") < shown.index("for the move of 2026-11-02, which is over")
    assert "for the move of 2026-11-06</span>" in shown
    assert shown.count("which is over") == 2


def test_a_car_that_was_put_away_leaves_the_list_and_comes_back(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    mine = with_move(keeping, record, move, "Mine", "2026-11-06", "2026-11-22")
    sold = with_move(keeping, record, move, "Sold", "2026-11-06", "2026-11-22")
    given = {"token": token(client, f"/cars/{sold}"), "away": "true"}
    refused = client.post(f"/cars/{sold}/put-away", data=given)
    assert (refused.status_code, "say why" in refused.text) == (422, True)
    assert client.post(f"/cars/{sold}/put-away", data={**given, "why": "sold to Lee"}).status_code == 303
    assert (names(client), names(client, "/api/cars?away=true")) == (["Mine"], ["Sold"])
    assert "Sold" not in client.get("/").text
    assert "Sold" in client.get("/?away=true").text
    shown = client.get(f"/cars/{sold}").text
    assert "put away 1, put away: sold to Lee" in shown
    assert "Put it back" in shown
    assert client.post(f"/api/cars/{sold}/put-away", json={"away": True, "why": "x"}).status_code == 422
    keeping.judge(sold)
    assert names(client) == ["Mine"], "judging does not bring it back"
    assert client.post(f"/api/cars/{sold}/put-away", json={"away": False}).json()["away"] is False
    assert set(names(client)) == {"Mine", "Sold"}
    assert names(client, "/api/cars?away=true") == []
    assert {mine, sold} == {one["id"] for one in client.get("/api/cars").json()["cars"]}


def test_what_was_put_away_is_away_where_the_rows_are_made_anew(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    """After a backup was restored, say."""
    cars = [with_move(keeping, record, move, name, "2026-11-06", "2026-11-22") for name in ("Here", "Away", "Again")]
    for car in cars[1:]:
        keeping.put_away(car, True, "owner", "sold")
    keeping.put_away(cars[2], False, "owner", "")
    with keeping.history.engine.begin() as connection:
        connection.execute(sqlalchemy.text("DELETE FROM standing"))
    keeping.ensure()
    assert set(names(client)) == {"Here", "Again"}
    assert names(client, "/api/cars?away=true") == ["Away"]


def test_a_place_is_read_as_it_is_written() -> None:
    for place, said in (
        (Place(1, "2026-11-06", "0a1b", 7), "1~2026-11-06~0a1b~7"), (Place(2, "9", "0a1b", 7), "2~9~0a1b~7"),
        (Place(0, "", "c1", 0), "0~~c1~0"),
    ):  # fmt: skip
        assert str(place) == said
        assert Place.read(said) == place
    wrong = (
        "", "2~2026-11-06~0a~1", "0~x~0a~1", "0~2026-11-06~~1", "0~2026-11-06~0a", "3~1~0a~1", "2~~0a~1",
        "2~9999999999~0a~1",
    )  # fmt: skip
    assert [Place.read(one) for one in wrong] == [None] * len(wrong)
