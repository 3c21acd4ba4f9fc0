"""The move as fields."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service.keeping import Keeping

KEYS = {"out": "move.out", "back": "move.back", "rides": "move.rides", "speed": "train.speed", "gate": "move.sure"}


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def send(client: TestClient, car: str, said: dict[str, str], after: str = "1", **sure: str):  # type: ignore[no-untyped-def]
    address = f"/cars/{car}/move"
    data = {f"value.{key}": value for key, value in said.items()} | {f"sure.{KEYS[k]}": v for k, v in sure.items()}
    return client.post(address, data={"token": token(client, address), "after": after, **data})


def text_of(keeping: Keeping, car: str) -> str:
    return keeping.text(car, "move")[1]


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    return [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]


def test_the_move_its_train_and_each_leg_have_fields_with_the_allowed_words_as_choices(
    client: TestClient, car: str
) -> None:
    shown = client.get(f"/cars/{car}/move").text
    assert re.findall(r"<legend>([^<]*)", shown) == [
        "The move", "The train", "Leg 1", "Leg 2", "Leg 3", "One more leg, at the end",
    ]  # fmt: skip
    rides = shown[shown.index('name="value.move.rides"') :].partition("</select>")[0]
    assert re.findall(r"<option[^>]*>([^<]*)", rides) == ["", "passengers", "crew", "nobody"]
    assert "<option selected>passengers" in rides
    assert re.search(r'name="value.move.out" type="date" value="2026-11-06"', shown)
    assert re.search(r'name="value.train.speed" value="70 mph"', shown)
    assert re.search(r'name="value.legs.2.gross_limit" value="200,000 lb"', shown)
    assert f'href="/cars/{car}/move"' in client.get(f"/cars/{car}").text


def test_what_is_put_into_fields_is_written_in_its_place_and_nothing_else_changes(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    before = text_of(keeping, car)
    answer = send(client, car, {"move.rides": "nobody", "train.speed": "60", "legs.2.track_class": "3"})
    assert answer.status_code == 200, answer.text
    assert changed_lines(before, text_of(keeping, car)) == [
        ("  rides: passengers", "  rides: nobody"), ("  speed: 70 mph", "  speed: 60 mph"),
        ('    track_class: "2"', "    track_class: 3"),
    ]  # fmt: skip
    newest = keeping.newest(car, "move")
    assert (newest.number, newest.by) == (2, "owner")
    assert newest.note == "move.rides: nobody; train.speed: 60 mph; legs.2.track_class: 3"
    again = send(client, car, {"move.rides": "nobody"}, after="2")
    assert "Nothing was changed" in again.text
    assert keeping.newest(car, "move").number == 2


def test_what_was_not_said_before_and_one_more_leg_are_added(client: TestClient, keeping: Keeping, car: str) -> None:
    leg = {"from": "Quillon Junction", "to": "Tarn Bridge", "miles": "9", "on": "2026-11-22", "until": "2026-11-22"}
    said = {"train.cars": "12", "move.reply_by": "2026-10-20", **{f"legs.4.{key}": word for key, word in leg.items()}}
    assert send(client, car, said).status_code == 200
    after = text_of(keeping, car)
    assert "  cars: 12\n" in after
    assert "  reply_by: 2026-10-20\n" in after
    assert after.rstrip("\n").endswith(
        "  - from: Quillon Junction\n    to: Tarn Bridge\n    miles: 9 miles\n    on: 2026-11-22\n    until: 2026-11-22"
    )
    assert "Leg 4" in client.get(f"/cars/{car}/move").text


@pytest.mark.parametrize(
    ("said", "key", "words"),
    [
        ({"move.back": "2026-11-01"}, "move.back", "before the day out"),
        ({"move.out": "soon"}, "move.out", "soon"),
        ({"train.speed": "fast"}, "train.speed", "fast"),
        ({"train.speed": "400 mph"}, "train.speed", "400 mph"),
        ({"legs.2.from": "Elsewhere"}, "legs.2.from", "where leg 1 ends at Port Averill"),
        ({"legs.3.miles": "0 mi", "move.rides": "crew"}, "legs.3.miles", ""),
    ],
)
def test_what_can_not_be_is_refused_at_its_field_and_what_was_typed_stays(
    client: TestClient, keeping: Keeping, car: str, said: dict[str, str], key: str, words: str
) -> None:
    answer = send(client, car, said)
    assert answer.status_code == 422, answer.text
    told = re.search(rf'id="refused-{re.escape(key)}">([^<]*)', answer.text)
    shown = re.sub(r"<[^>]*>", "", answer.text)
    assert told is not None or key == "legs.3.miles", shown
    assert words in (told[1] if told else shown)
    assert f'value="{said[key]}"' in answer.text
    assert keeping.newest(car, "move").number == 1


def test_a_figure_that_can_hardly_be_is_taken_with_how_it_was_made_sure(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    refused = send(client, car, {"train.speed": "170 mph"})
    assert refused.status_code == 422, refused.text
    assert 'name="sure.train.speed"' in refused.text
    assert send(client, car, {"train.speed": "170 mph"}, speed="a high-speed line").status_code == 200
    assert "speed: {reads: 170 mph, sure: a high-speed line}" in text_of(keeping, car)
    shown = client.get(f"/cars/{car}/move").text
    assert 'name="value.train.speed" value="170 mph"' in shown


def test_a_leg_that_lacks_its_miles_is_not_written(client: TestClient, keeping: Keeping, car: str) -> None:
    answer = send(client, car, {"legs.4.from": "Quillon Junction", "legs.4.to": "Tarn Bridge"})
    assert answer.status_code == 422
    assert "miles" in re.sub(r"<[^>]*>", "", answer.text.partition("</h2>")[2][:400])
    assert keeping.newest(car, "move").number == 1


def test_a_field_that_there_is_not_and_a_list_in_lines_are_refused(
    client: TestClient, keeping: Keeping, car: str, move: str
) -> None:
    for key in ("legs.9.from", "notes", "format", "move.days", "train.neighbors"):
        assert send(client, car, {key: "x"}).status_code == 404, key
    listed = move.replace("  requested_on: 2026-09-25\n", "  stocked_axle_classes:\n    - D\n    - E\n")
    keeping.accept(car, "move", listed, "owner", "", 1)
    answer = send(client, car, {"move.stocked_axle_classes": "F"}, after="2")
    assert answer.status_code == 422
    assert "write it in the text" in answer.text
    assert text_of(keeping, car) == listed


def test_the_second_of_two_is_told_and_shown_what_the_first_wrote(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    assert send(client, car, {"move.rides": "crew", "train.speed": "60 mph"}).status_code == 200
    answer = send(client, car, {"move.rides": "nobody"}, after="1")
    assert answer.status_code == 412
    assert "Somebody else wrote to the move meanwhile" in answer.text
    assert "The newest version says: crew" in answer.text
    assert answer.text.count("The newest version says") == 1
    chosen = answer.text[answer.text.index('name="value.move.rides"') :].partition("</select>")[0]
    assert "<option selected>nobody" in chosen
    assert "rides: crew" in text_of(keeping, car)


def test_line_ends_and_comments_stay(client: TestClient, keeping: Keeping, car: str, move: str) -> None:
    written = move.replace("  rides: passengers\n", "  rides: passengers  # as agreed\n").replace("\n", "\r\n")
    keeping.accept(car, "move", written, "owner", "", 1)
    assert send(client, car, {"move.rides": "crew"}, after="2").status_code == 200
    assert text_of(keeping, car) == written.replace("rides: passengers", "rides: crew")
