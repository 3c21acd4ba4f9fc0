"""Photographs in a form that is entered: each is taken by itself, made small anew, and known again."""

import base64
from datetime import date

from photograph_samples import photograph, with_position

from carknocker.questions.enter.photographs import with_photographs
from carknocker.record import read_car_text

CAR = """\
format: carknocker-car/1
car: {mark: QWHX 3, name: Tern, built_on: 1927}   # kept as it is
people:
  RE: {role: owner}
trucks:
  B: {truck_kind: two-axle, axles: {1: W-1, 2: W-2}}
  A: {truck_kind: two-axle, axles: {3: W-3, 4: W-4}}
wheelsets: {W-1: {axle_class: D}, W-2: {axle_class: D}, W-3: {axle_class: D}, W-4: {axle_class: D}}
"""
DAY = date(2026, 5, 10)


def given(part: str = "wheel L3", content: bytes = b"", **said: str) -> dict[str, str]:
    data = f"data:image/jpeg;base64,{base64.b64encode(content or with_position()).decode()}"
    return {"sheet": "wheels", "part": part, "name": "IMG_1.jpg", "on": "2026-05-10", "by": "RE (owner)", "data": data,
            "original": "b" * 64, **said}  # fmt: skip


def taken(*photographs: dict[str, str], text: str = CAR):
    return with_photographs(text, "car.yaml", "form.html", photographs, DAY)


def test_each_is_put_on_record_and_handed_out_small() -> None:
    answer = taken(given(), given("car", photograph(3000, 1000)), given(content=photograph(500, 500)))
    assert answer.notes == ()
    assert answer.text.startswith(CAR)
    assert answer.text == CAR + answer.added
    car = read_car_text(answer.text, "car.yaml")
    assert [(one.file, one.of, one.by.name) for one in car.photographs if one.by] == [
        ("wheel-L3-2026-05-10.jpg", ("wheel L3",), "RE"), ("car-2026-05-10.jpg", ("car",), "RE"),
        ("wheel-L3-2026-05-10-2.jpg", ("wheel L3",), "RE"),
    ]  # fmt: skip
    assert [one.file for one in answer.new] == [one.file for one in car.photographs]
    assert not [one for one in answer.new if b"Secret" in one.copy]


def test_what_is_wrong_with_one_is_said_and_the_others_are_taken() -> None:
    answer = taken(
        given("wheel L9"), given(content=b"<svg/>"), given(on="2026-05-11"), given(by="XX"), given(on="soon"), given()
    )
    assert [one.file for one in answer.new] == ["wheel-L3-2026-05-10.jpg"]
    assert len(answer.notes) == 5
    assert all(one.startswith("Not taken: form.html, sheet wheels, photograph ") for one in answer.notes)
    for words, note in zip(
        ("which the car has not got", "no photograph", "after 2026-05-10", "the person `XX`", "of the day `soon`"),
        answer.notes, strict=True,
    ):  # fmt: skip
        assert words in note


def test_one_that_is_on_record_is_not_taken_again() -> None:
    first = taken(given())
    again = taken(given(), given(), text=first.text)
    assert (again.text, again.new, again.added) == (first.text, (), "")
    assert again.notes == (
        "form.html, sheet wheels, photograph 1 (IMG_1.jpg): on record already",
        "form.html, sheet wheels, photograph 2 (IMG_1.jpg): on record already",
    )


def test_a_form_without_photographs_changes_nothing() -> None:
    answer = taken()
    assert (answer.text, answer.new, answer.added, answer.notes) == (CAR, (), "", ())
