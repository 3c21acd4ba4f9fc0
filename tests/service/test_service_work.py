"""The plan with boxes to tick, which writes the work log."""

from __future__ import annotations

import re
from html import unescape

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.record import read_car_text
from carknocker.service.keeping import Keeping

TURNED, RENEWED = "wheels turned at L5, R5", "wheelset renewed at 1"


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return keeping.add_car(record, move, "owner").id


def send(client: TestClient, car: str, *ticked: str, **said: str):  # type: ignore[no-untyped-def]
    address = f"/cars/{car}/work"
    data = {"token": token(client, address), "on": "2026-10-07", "by": "HM", "done": list(ticked), **said}
    return client.post(address, data=data)


def boxes(page: str) -> list[str]:
    return [unescape(one) for one in re.findall(r'name="done" value="([^"]*)"', page)]


def test_each_job_of_the_plan_has_a_box(client: TestClient, car: str) -> None:
    page = client.get(f"/cars/{car}/work").text
    assert TURNED in boxes(page)
    assert RENEWED in boxes(page)
    assert len(boxes(page)) == 6
    assert f'name="{TURNED}.cut"' in page
    assert re.search(rf'name="{RENEWED}.off" value="W-31"', page)
    assert "PLAN: the car is NOT READY" in page


def test_what_is_ticked_is_written_into_the_work_log_by_the_functions_of_a_form(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    before = keeping.text(car, "record")[1]
    answer = send(client, car, TURNED, **{f"{TURNED}.cut": "1/8", f"{RENEWED}.off": "W-31"})
    assert answer.status_code == 200, answer.text
    assert f"In the work log:</strong> {TURNED}" in answer.text
    text = keeping.text(car, "record")[1]
    [job] = [one for one in read_car_text(text, "c").work if one not in read_car_text(before, "c").work]
    assert (job.name, job.on.isoformat(), len(job.at)) == ("wheels turned", "2026-10-07", 2)
    assert job.by is not None
    assert job.by.name == "HM"
    assert "cut: 1/8 in" in text
    assert [one.kind for one in keeping.history.versions(car, most=2)] == ["form", "record"]
    assert TURNED not in boxes(answer.text)
    assert re.search(r"<li>[^<]* wheels turned, 2026-10-07", answer.text)


def test_what_is_wrong_with_one_job_is_said_there_and_holds_no_other(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    given = {f"{TURNED}.cut": "1/8", f"{RENEWED}.off": "W-99", f"{RENEWED}.fitted": "W-41"}
    answer = send(client, car, TURNED, RENEWED, **given)
    assert answer.status_code == 422
    assert "Not all of it was written" in answer.text
    assert re.search(r'class="refused"[^>]*>Not written: [^<]*W-', answer.text)
    assert f'value="{RENEWED}" checked' in answer.text
    written = read_car_text(keeping.text(car, "record")[1], "c").work
    assert [one.name for one in written if one.on.isoformat() == "2026-10-07"] == ["wheels turned"]
    assert keeping.newest(car, "record").number == 2


@pytest.mark.parametrize(("said", "words"), [({"by": "XX"}, "XX"), ({"on": "2026-10-09"}, "2026-10-08"),
                                             ({f"{TURNED}.cut": "deep"}, "deep")])  # fmt: skip
def test_a_job_of_nobody_known_of_a_day_to_come_or_with_a_wrong_figure_is_refused(
    client: TestClient, keeping: Keeping, car: str, said: dict[str, str], words: str
) -> None:
    answer = send(client, car, TURNED, **said)
    assert answer.status_code == 422
    refused = re.search(r'class="refused"[^>]*>(Not written: [^<]*)', answer.text)
    assert refused is not None
    assert words in refused[1]
    assert keeping.newest(car, "record").number == 1


def test_no_box_and_a_box_that_is_no_longer_in_the_plan_write_nothing(
    client: TestClient, keeping: Keeping, car: str
) -> None:
    assert send(client, car).status_code == 422
    answer = send(client, car, "wheels turned at L1, R1")
    assert answer.status_code == 412
    assert "No longer in the plan" in answer.text
    assert keeping.newest(car, "record").number == 1
