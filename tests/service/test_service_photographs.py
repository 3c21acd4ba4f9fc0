"""Photographs: sent in alone or with a form, shown, judged by their digests, and blanked."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from datetime import date

import pytest
from fastapi.testclient import TestClient
from form_token import token
from photograph_samples import photograph, with_position
from PIL import Image

from carknocker.record import read_car_text
from carknocker.service.keeping import Keeping
from carknocker.service.storage.contents import ContentMissing

SHOT = with_position(width=3000, height=2000)
FILE = "wheel-L3-2026-10-01.jpg"


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def send(client: TestClient, car: str, content: bytes = SHOT, **said: str) -> int:
    address = f"/cars/{car}/photographs"
    given = {"of": "wheel L3", "on": "2026-10-01", "by": "HM", "token": token(client, address), **said}
    return client.post(address, data=given, files={"photograph": ("IMG_1.jpg", content, "image/jpeg")}).status_code


def copy_of(client: TestClient, car: str, file: str = FILE) -> bytes:
    answer = client.get(f"/cars/{car}/photographs/{file}")
    assert answer.headers["content-type"] == "image/jpeg"
    return answer.content


def test_one_sent_in_alone_is_kept_small_without_its_place_and_shown(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    assert send(client, car) == 303
    copy = copy_of(client, car)
    assert b"Secret" not in copy
    assert max(Image.open(io.BytesIO(copy)).size) == 1600
    [one] = read_car_text(keeping.text(car, "record")[1], "car.yaml").photographs
    assert (one.file, one.of, one.sha256) == (FILE, ("wheel L3",), hashlib.sha256(copy).hexdigest())
    assert one.original_sha256 == hashlib.sha256(SHOT).hexdigest()
    for address in (f"/cars/{car}", f"/cars/{car}/photographs"):
        assert f'src="/cars/{car}/photographs/{FILE}"' in client.get(address).text, address
    assert "data:image/jpeg;base64," in client.get(f"/cars/{car}/check").text
    dossier = client.get(f"/cars/{car}/check?format=markdown").text
    assert FILE in dossier
    assert "not in the folder any more" not in dossier
    assert keeping.newest(car, "photograph", FILE).by == "owner"


@pytest.mark.parametrize(("said", "words"), [
    ({"on": "2026-10-09"}, "a day after today"), ({"by": "XX"}, "the person `XX`"), ({"of": "wheel L9"}, "wheel L9"),
    ({"reading": "flange_hight"}, "flange_height"),
])  # fmt: skip
def test_what_the_record_does_not_know_is_refused(
    client: TestClient, keeping: Keeping, car: str, said: dict[str, str], words: str
) -> None:
    address = f"/cars/{car}/photographs"
    given = {"of": "wheel L3", "on": "2026-10-01", "by": "HM", "token": token(client, address), **said}
    answer = client.post(address, data=given, files={"photograph": ("IMG_1.jpg", SHOT, "image/jpeg")})
    assert answer.status_code == 422
    assert "Nothing was written" in answer.text
    assert words in answer.text.replace("&#39;", "'")
    assert keeping.newest(car, "record").number == 1
    assert keeping.history.series(car, "photograph") == ()


def test_no_photograph_and_one_that_is_on_record_are_refused(client: TestClient, keeping: Keeping, car: str) -> None:
    assert send(client, car, b"<svg/>") == 422
    assert send(client, car) == 303
    assert send(client, car) == 422
    assert keeping.newest(car, "record").number == 2


def test_a_program_sends_one_in_and_reads_it(client: TestClient, car: str) -> None:
    address = f"/api/cars/{car}/photographs"
    asked = {"of": ["wheel L3", "wheel R3"], "on": "2026-10-01", "by": "HM"}
    done = client.post(address, params=asked, content=photograph(500, 400))
    assert done.status_code == 201, done.text
    assert done.json()["name"] == FILE
    assert hashlib.sha256(client.get(f"{address}/{FILE}").content).hexdigest() == done.json()["digest"]
    again = client.post(address, params=asked, content=photograph(500, 400))
    assert again.status_code == 422
    assert "on record already" in again.json()["problems"][0]["found"]
    assert client.get(f"{address}/other.jpg").status_code == 404


def test_a_photograph_in_a_form_is_kept_and_so_is_the_form(client: TestClient, keeping: Keeping, car: str) -> None:
    blank = client.get(f"/cars/{car}/worksheet.html").text
    data = f"data:image/jpeg;base64,{base64.b64encode(photograph(500, 400)).decode()}"
    one = {"sheet": "truck B", "part": "wheel L3", "name": "IMG_1.jpg", "on": "2026-10-01", "by": "HM", "data": data}
    mark = '<script type="application/json" id="answers">'
    start = blank.index(mark) + len(mark)
    answers = json.dumps({"copy": "1", "entries": {}, "photographs": [one]})
    form = blank[:start] + answers + blank[blank.index("</script>", start) :]
    done = client.post(f"/api/cars/{car}/forms", params={"name": "w.html"}, content=form.encode())
    assert done.status_code == 200, done.text
    assert done.json()["photographs_left"] == []
    digest = hashlib.sha256(copy_of(client, car)).hexdigest()
    assert read_car_text(keeping.text(car, "record")[1], "car.yaml").photographs[0].sha256 == digest
    [kept] = keeping.history.versions(car, "form")
    assert keeping.history.body(kept.digest)[1] == form.encode()


def test_the_owner_takes_one_away_for_good_with_what_holds_it(client: TestClient, keeping: Keeping, car: str) -> None:
    assert send(client, car) == 303
    client.post(f"/cars/{car}/dossiers", data={"token": token(client, f"/cars/{car}"), "form": "html"})
    [dossier] = keeping.history.versions(car, "dossier")
    kept = keeping.newest(car, "photograph", FILE)
    address = f"/cars/{car}/history/{kept.id}/blank"
    said = {"token": token(client, address), "also": str(dossier.id)}
    assert f'value="{dossier.id}" checked' in client.get(address).text
    assert client.post(address, data={**said, "why": " "}).status_code == 422
    assert client.post(address, data={**said, "why": "a face is on it"}).status_code == 303
    for version in (kept, dossier):
        with pytest.raises(ContentMissing, match="taken away on 2026-10-08 by owner: a face is on it"):
            keeping.history.body(version.digest)
    assert client.get(f"/cars/{car}/photographs/{FILE}").status_code == 410
    shown = client.get(f"/cars/{car}/photographs").text
    assert "taken away on 2026-10-08 by owner: a face is on it" in shown
    assert f'src="/cars/{car}/photographs/{FILE}"' not in shown
    assert "taken away on 2026-10-08" in client.get(f"/cars/{car}").text
    assert "not in the folder any more" in client.get(f"/cars/{car}/check?format=markdown").text
    assert client.get(address).status_code == 404
    assert send(client, car) == 422  # it is on record already


def test_a_record_can_not_be_taken_away(client: TestClient, keeping: Keeping, car: str) -> None:
    entry = keeping.newest(car, "record").id
    assert client.get(f"/cars/{car}/history/{entry}/blank").status_code == 404


def test_a_reading_is_confirmed_by_a_photograph_only_while_that_is_at_hand(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    assert send(client, car) == 303
    sources = keeping.sources(car, date(2026, 10, 8))
    kept = keeping.newest(car, "photograph", FILE)
    assert sources.photographs == ((FILE, kept.digest),)
    keeping.history.blank([kept.digest], keeping.written_now(), "owner", "a face")
    assert keeping.sources(car, date(2026, 10, 8)).photographs == ()
    assert keeping.history.waiting("2026-10-08", keeping.program, 5) == (car,)


def test_of_one_car_no_other_shows_the_photographs(client: TestClient, keeping: Keeping, record: str, move: str,
                                                   car: str) -> None:  # fmt: skip
    other = keeping.add_car(record, move, "owner").id
    assert send(client, car) == 303
    assert client.get(f"/cars/{other}/photographs/{FILE}").status_code == 404
    kept = keeping.newest(car, "photograph", FILE)
    assert client.get(f"/cars/{other}/history/{kept.id}/blank").status_code == 404
