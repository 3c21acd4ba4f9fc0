"""The history on its pages: all of it, each version as it was, what was taken away for good, and any two compared."""

from __future__ import annotations

import hashlib

import pytest
from fastapi.testclient import TestClient
from form_token import token
from httpx import Response

from carknocker.service.blanking import blank
from carknocker.service.keeping import Keeping
from carknocker.service.storage.history import NewVersion

AT = "2026-10-08T12:00:00Z"


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def write(client: TestClient, car: str, kind: str, text: str, after: int) -> Response:
    address = f"/cars/{car}/texts/{kind}"
    return client.post(address, data={"token": token(client, address), "text": text, "after": str(after)})


def test_all_of_the_history_is_reached_page_by_page(client: TestClient, keeping: Keeping, car: str) -> None:
    keeping.history.add([NewVersion(car, "form", "", f"form {one}".encode(), "x/y", AT, "Kim") for one in range(120)])
    shown = client.get(f"/cars/{car}").text
    assert shown.count("<li>2026-10-08") == 20
    address, seen = f"/cars/{car}/history", []
    assert f'href="{address}"' in shown
    while True:
        page = client.get(address).text
        seen += [line for line in page.splitlines() if line.startswith("<li>2026-10-08")]
        older = page.partition('">Older</a>')[0].rpartition('href="')[2]
        if not older.startswith(f"/cars/{car}/history?before="):
            break
        address = older
    assert len(seen) == len(set(seen)) == 122
    assert "record 1, first record" in seen[-1] or "record 1, first record" in seen[-2]


def test_an_older_version_is_read_as_it_was_and_is_not_written_on(
    client: TestClient, keeping: Keeping, car: str, record: str, move: str
) -> None:
    assert write(client, car, "record", f"{record}# later\n", 1).status_code == 303
    assert write(client, car, "move", f"{move}# later\n", 1).status_code == 303
    for kind, text in (("record", record), ("move", move)):
        old = client.get(f"/cars/{car}/texts/{kind}?version=1").text
        assert "It is not the newest" in old
        assert "# later" not in old
        assert "<button" not in old
        assert text.splitlines()[3].strip() in old
        assert "Write it as a new version" in client.get(f"/cars/{car}/texts/{kind}?version=2").text
        assert f'href="/cars/{car}/texts/{kind}?version=1"' in client.get(f"/cars/{car}").text
    assert client.get(f"/cars/{car}/texts/record?version=9").status_code == 404


def test_a_form_is_had_back_byte_by_byte(client: TestClient, keeping: Keeping, car: str) -> None:
    body = b"<script>alert(1)</script>\x00\xff"
    (form,) = keeping.history.add([NewVersion(car, "form", "", body, "application/octet-stream", AT, "Kim", "w.html")])
    assert f'href="/cars/{car}/history/{form.id}/bytes"' in client.get(f"/cars/{car}").text
    for address in (f"/cars/{car}/history/{form.id}/bytes", f"/api/cars/{car}/history/{form.id}/bytes"):
        answer = client.get(address)
        assert answer.content == body
        assert answer.headers["content-type"] == "application/octet-stream"
        assert answer.headers["content-disposition"] == f'attachment; filename="form-1-{form.digest[:8]}"'


def test_the_entries_of_one_car_are_not_had_through_another(
    client: TestClient, keeping: Keeping, car: str, record: str, move: str
) -> None:
    other = keeping.add_car(record, move, "owner").id
    entry = keeping.newest(car, "record").id
    assert client.get(f"/api/cars/{car}/history/{entry}/bytes").status_code == 200
    assert client.get(f"/api/cars/{other}/history/{entry}/bytes").status_code == 404
    assert client.get(f"/api/cars/rulesets/history/{entry}/bytes").status_code == 404


def test_two_moves_are_compared_and_the_page_says_which(
    client: TestClient, keeping: Keeping, car: str, record: str, move: str
) -> None:
    empty = move.replace("rides: passengers", "rides: nobody")
    assert write(client, car, "move", empty, 1).status_code == 303
    asked = {"before": 1, "after": 1, "move_before": 1, "move_after": 2}
    led = client.get(f"/cars/{car}/compare", params=asked)
    assert led.headers["location"] == f"/cars/{car}/compare/1/1?move_before=1&move_after=2"
    page = client.get(led.headers["location"]).text
    assert "QWHX 27 Wren Hollow: record 1 of 2026-10-08" in page
    assert "by owner, for move 1 → record 1 of" in page
    assert "two moves: " in page
    assert "(move-1.yaml:" in page
    assert "(move-2.yaml:" in page
    assert f'<a href="/cars/{car}">Back to the car</a>' in page
    assert write(client, car, "record", f"{record}# later\n", 1).status_code == 303
    two = client.get(f"/api/cars/{car}/compare?before=1&after=2&format=text").text
    assert "two records: record-1.yaml → record-2.yaml" in two
    asked["format"] = "markdown"  # type: ignore[assignment]
    assert "two moves" in client.get(f"/api/cars/{car}/compare", params=asked).text
    assert "two moves" not in client.get(f"/api/cars/{car}/compare", params={**asked, "move_before": 2}).text


@pytest.mark.parametrize("page", ["check", "appendix", "why", "due", "plan"])
def test_an_answer_leads_back_to_its_car_and_a_file_is_as_the_command_line_writes_it(
    client: TestClient, car: str, page: str
) -> None:
    back = f'<a href="/cars/{car}">Back to the car</a>'
    shown = client.get(f"/cars/{car}/{page}").text
    assert shown.count(back) == 1
    assert shown.index('class="skip"') < shown.index(back) < shown.index("<main>")
    assert back not in client.get(f"/api/cars/{car}/answers/{page}?format=html").text
    assert back not in client.get(f"/cars/{car}/{page}?format=markdown").text


def test_a_dossier_that_is_given_out_has_no_way_back_in_it_and_its_whole_digest_on_the_page(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    given = {"token": token(client, f"/cars/{car}")}
    for form in ("json", "html"):
        led = client.post(f"/cars/{car}/dossiers", data={**given, "form": form}).headers["location"]
        body = client.get(led).content
        digest = hashlib.sha256(body).hexdigest()
        assert led.endswith(digest)
        assert b"Back to the car" not in body
        assert f"SHA-256 {digest}" in client.get(f"/cars/{car}").text


def test_a_dossier_that_was_blanked_is_said_to_be_gone_and_what_can_be_given_out(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    given = {"token": token(client, f"/cars/{car}"), "form": "html"}
    led = client.post(f"/cars/{car}/dossiers", data=given).headers["location"]
    assert led.rpartition("/")[2] in client.get(f"/cars/{car}/links").text
    blank(keeping, car, [keeping.history.versions(car, "dossier")[0].id], "Ash", "the wrong host")
    gone = client.get(led)
    assert gone.status_code == 410
    assert "taken away on 2026-10-08 by Ash: the wrong host" in gone.text
    again = client.post(f"/cars/{car}/dossiers", data=given)
    assert again.status_code == 422
    assert "taken away for good, and is not taken again: taken away on 2026-10-08 by Ash" in again.text
    assert "a dossier is given out in another form" in again.text
    assert led.rpartition("/")[2] not in client.get(f"/cars/{car}/links").text
    told = client.post(f"/api/cars/{car}/dossiers?format=html")
    assert (told.status_code, told.headers["content-type"]) == (422, "application/problem+json")
    assert client.post(f"/cars/{car}/dossiers", data={**given, "form": "json"}).status_code == 303


def test_a_text_that_was_blanked_is_refused_with_what_was_typed(
    client: TestClient, keeping: Keeping, car: str, record: str
) -> None:
    for number in (1, 2):
        assert write(client, car, "record", f"{record}# person {number}\n", number).status_code == 303
    one = keeping.history.version(car, "record", "", 2)
    blank(keeping, car, [one.id], "Ash", "named a person")
    refused = write(client, car, "record", f"{record}# person 1\n", 3)
    assert refused.status_code == 422
    assert "taken away for good" in refused.text
    assert "# person 1\n</textarea>" in refused.text
    shown = client.get(f"/cars/{car}").text
    assert "compare/1/2" not in shown
    assert "compare/2/3" not in shown
    assert '<option value="2"' not in shown
    assert client.get(f"/cars/{car}/texts/record?version=2").status_code == 410
