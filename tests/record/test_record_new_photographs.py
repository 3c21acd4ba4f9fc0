"""A photograph that comes in a form: its picture is read and made small anew, whatever the form says of it."""

import base64
import hashlib
import io

import pytest
from photograph_samples import photograph, with_position
from PIL import Image
from record_samples import CAR

from carknocker.documents import InputRefused
from carknocker.documents.list_entries import with_entries
from carknocker.record import read_car_text
from carknocker.record.new_photographs import new_photograph, photograph_in_form

PLACE = "form.html: wheels, photograph 1"


def data(content: bytes, kind: str = "jpeg") -> str:
    return f"data:image/{kind};base64,{base64.b64encode(content).decode()}"


def given(**said: object) -> dict[str, object]:
    return {
        "sheet": "wheels", "part": "wheel L1", "name": "IMG_1.jpg", "on": "2026-05-10", "by": "RE",
        "data": data(with_position()), "original": "b" * 64, **said,
    }  # fmt: skip


def test_it_becomes_an_entry_that_the_record_takes() -> None:
    new = photograph_in_form(given(), PLACE, [])
    assert b"Secret" not in new.copy
    assert new.entry == {
        "file": "wheel-L1-2026-05-10.jpg", "of": "wheel L1", "on": "2026-05-10", "by": "RE",
        "sha256": hashlib.sha256(new.copy).hexdigest(), "original_sha256": "b" * 64,
    }  # fmt: skip
    text = with_entries(CAR, "car.yaml", "photographs", [new.entry])
    assert text.startswith(CAR)
    [one] = read_car_text(text, "car.yaml").photographs
    assert (one.file, one.parts, one.sha256) == (new.file, ("wheel W-1 left",), new.entry["sha256"])
    assert new.is_among([one])
    assert not photograph_in_form(given(part="wheel L2"), PLACE, []).is_among([one])


def test_an_original_that_the_browser_could_not_number_is_left_out() -> None:
    for original in ("", None):
        assert "original_sha256" not in photograph_in_form(given(original=original), PLACE, []).entry


def test_a_picture_larger_than_a_form_makes_is_made_small() -> None:
    new = photograph_in_form(given(data=data(photograph(3000, 1000))), PLACE, [])
    assert Image.open(io.BytesIO(new.copy)).size == (1600, 533)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"data": "data:image/svg+xml;base64,PHN2Zz4="}, "does not stand in the form"),
        ({"data": "https://example.org/a.jpg"}, "does not stand in the form"),
        ({"data": "data:image/jpeg;base64,????"}, "cut off or damaged"),
        ({"data": data(photograph()[:500])}, "damaged"),
        ({"data": data(b"<svg/>")}, "no photograph"),
        ({"data": 7}, "a photograph without `data`"),
        ({"part": ""}, "a photograph without `part`"),
        ({"part": ["wheel L1"]}, "a photograph without `part`"),
        ({"on": ""}, "a photograph without `on`"),
        ({"on": "yesterday"}, "of the day `yesterday`"),
        ({"by": "x" * 201}, "a photograph without `by`"),
        ({"original": "b" * 63}, "no SHA-256"),
        ({"original": 5}, "no SHA-256"),
    ],
)
def test_what_is_wrong_in_it_is_said_with_its_place(said: dict[str, object], words: str) -> None:
    with pytest.raises(InputRefused) as caught:
        photograph_in_form(given(**said), PLACE, [])
    [problem] = caught.value.problems
    assert words in problem.found
    assert problem.where.file == PLACE


@pytest.mark.parametrize("form", [None, [], "a", 7])
def test_what_is_no_photograph_at_all_is_refused(form: object) -> None:
    with pytest.raises(InputRefused):
        photograph_in_form(form, PLACE, [])


@pytest.mark.parametrize(
    ("of", "names", "file"),
    [
        ("wheel L3", [], "wheel-L3-2026-05-10.jpg"),
        ("wheel L3", ["Wheel-l3-2026-05-10.JPG"], "wheel-L3-2026-05-10-2.jpg"),
        ("../../etc/passwd", [], "etc-passwd-2026-05-10.jpg"),
        ("\u202egpj.exe", [], "gpj-exe-2026-05-10.jpg"),
        ("x" * 200, [], f"{'x' * 80}.jpg"),
        ("", [], "2026-05-10.jpg"),
    ],
)
def test_its_name_stays_in_the_folder_and_is_not_taken(of: str, names: list[str], file: str) -> None:
    assert new_photograph(photograph(), "a.jpg", [of], "2026-05-10", "RE", names).file == file
