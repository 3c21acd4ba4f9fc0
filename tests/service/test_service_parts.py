"""The record as fields by part."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service.keeping import Keeping


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def send(client: TestClient, car: str, what: str, name: str, **said: str | list[str]):  # type: ignore[no-untyped-def]
    address = f"/cars/{car}/part"
    own = {key.replace("__", "."): value for key, value in said.items()}
    data = {"token": token(client, f"{address}?name={name}"), "on": "2026-10-08", "by": "HM", "after": "1", **own}
    return client.post(f"{address}/{what}", params={"name": name}, data=data)


def text_of(keeping: Keeping, car: str) -> str:
    return keeping.text(car, "record")[1]


def test_each_part_has_its_fields_with_the_allowed_words_as_choices(client: TestClient, car: str) -> None:
    listed = client.get(f"/cars/{car}/parts").text
    assert f'href="/cars/{car}/part?name=wheel%20L3"' in listed
    shown = client.get(f"/cars/{car}/part?name=wheel%20L3").text
    assert 'name="value.flange_thickness"' in shown
    cracked = shown[shown.index('name="value.thermal_crack"') :]
    assert re.findall(r"<option[^>]*>([^<]*)", cracked[: cracked.index("</select>")]) == [
        "", "yes", "no", "could not be reached",
    ]  # fmt: skip
    assert client.get(f"/cars/{car}/part?name=wheel%20L9").status_code == 404


def test_a_reading_is_entered_by_the_functions_of_a_form(client: TestClient, keeping: Keeping, car: str) -> None:
    answer = send(client, car, "readings", "wheel L3", value__flange_thickness="1-1/8", gauge="G-2")
    assert answer.status_code == 200
    assert "1 reading entered" in answer.text
    added = text_of(keeping, car).removeprefix(keeping.text(car, "record", 1)[1])
    assert "on: 2026-10-08" in added
    assert "flange_thickness: 1-1/8 in" in added
    assert [one.kind for one in keeping.history.versions(car, most=2)] == ["form", "record"]
    shown = client.get(f"/cars/{car}/part?name=wheel%20L3").text
    assert re.search(r"<dd>1-1/8 in <span[^>]*>2026-10-08, [^<]*HM", shown)


@pytest.mark.parametrize(("typed", "words"), [("thick", "thick"), ("900 in", "1/8 in to 1-3/4 in")])
def test_a_reading_is_refused_at_its_field_and_what_was_typed_stays(
    client: TestClient, keeping: Keeping, car: str, typed: str, words: str
) -> None:
    answer = send(client, car, "readings", "wheel L3", value__flange_thickness=typed, value__rim_thickness="1-1/4")
    assert answer.status_code == 422
    said = re.search(r'id="refused-flange_thickness">([^<]*)', answer.text)
    assert said is not None
    assert words in said[1]
    assert 'id="refused-rim_thickness"' not in answer.text
    assert f'value="{typed}"' in answer.text
    assert 'value="1-1/4"' in answer.text
    assert keeping.newest(car, "record").number == 1


def test_a_figure_that_can_hardly_be_is_taken_with_how_it_was_made_sure(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    sure = {"value__flange_thickness": "2 in", "sure__flange_thickness": "read twice"}
    assert send(client, car, "readings", "wheel L3", value__flange_thickness="2 in").status_code == 422
    assert send(client, car, "readings", "wheel L3", **sure).status_code == 200
    assert "read twice" in text_of(keeping, car)


def test_no_reading_nobody_and_a_day_to_come_are_refused(client: TestClient, keeping: Keeping, car: str) -> None:
    for said in ({}, {"value__flange_thickness": "1 in", "by": "XX"},
                 {"value__flange_thickness": "1 in", "on": "2026-10-09"}):  # fmt: skip
        assert send(client, car, "readings", "wheel L3", **said).status_code == 422, said
    assert keeping.newest(car, "record").number == 1


def test_a_description_is_put_right_in_its_place_and_nothing_else_changes(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    before = text_of(keeping, car)
    line = next(one for one in before.splitlines() if one.strip().startswith("built_on:"))
    answer = send(client, car, "descriptions", "car", value__built_on="1939")
    assert answer.status_code == 200, answer.text
    assert "car.built_on: 1939" in answer.text
    after = text_of(keeping, car)
    changed = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert changed == [(line, re.sub(r"\d{4}", "1939", line, count=1))]
    again = send(client, car, "descriptions", "car", value__built_on="1939", after="2")
    assert "Nothing was changed" in again.text
    assert keeping.newest(car, "record").number == 2


def test_a_description_that_can_not_be_is_refused_at_its_field(client: TestClient, keeping: Keeping, car: str) -> None:
    answer = send(client, car, "descriptions", "car", value__built_on="soon", value__private_car="yes")
    assert answer.status_code == 422
    assert 'id="refused-built_on">Not taken: ' in answer.text
    assert keeping.newest(car, "record").number == 1


def test_the_second_of_two_who_put_something_right_is_told(client: TestClient, keeping: Keeping, car: str) -> None:
    keeping.accept(car, "record", text_of(keeping, car) + "# later\n", "other", "", 1)
    answer = send(client, car, "descriptions", "car", value__built_on="1939")
    assert answer.status_code == 412
    assert "Somebody else wrote" in answer.text
    assert 'value="1939"' in answer.text
    assert "1939" not in text_of(keeping, car)
