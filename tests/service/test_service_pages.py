"""The pages, as a browser without scripts uses them."""

import re
from datetime import date
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from form_token import token

from carknocker.service import asked_plan
from carknocker.service.asked_plan import DoneJob, JobBox
from carknocker.service.asked_questions import QUESTIONS
from carknocker.service.background import Background
from carknocker.service.blanking import blank
from carknocker.service.keeping import Keeping
from carknocker.service.storage.history import NewVersion

CASES = Path(__file__).resolve().parents[2] / "cases"
CASE = CASES / "wren-hollow" / "before"


def add(client: TestClient, record: str, move: str) -> str:
    done = client.post("/new", data={"token": token(client, "/new"), "record": record, "move": move})
    assert done.status_code == 303, done.text
    return str(done.headers["location"])


def test_a_car_is_added_judged_and_listed(
    client: TestClient, background: Background, record: str, move: str
) -> None:  # fmt: skip
    assert "There is no car in the list" in client.get("/").text
    car = add(client, record, move)
    assert "BEING JUDGED" in client.get("/").text
    assert background.judge_waiting() == 1
    listed = client.get("/").text
    assert "Wren Hollow" in listed
    assert "NOT READY" in listed
    assert "for the move of 2026-11-06" in listed
    shown = client.get(car).text
    assert "The dossier" in shown
    dossier = client.get(f"{car}/check")
    assert dossier.headers["content-type"].startswith("text/html")
    assert "NOT READY" in dossier.text
    assert client.get(f"{car}/check?format=pdf").content.startswith(b"%PDF")
    for question in ("why", "due", "plan"):
        assert client.get(f"{car}/{question}").status_code == 200, question


def test_a_text_with_problems_is_shown_with_its_lines_and_nothing_is_written(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = add(client, record, move)
    bad = record.replace("carknocker-car/1", "carknocker-cart/1", 1)
    address = f"{car}/texts/record"
    answer = client.post(address, data={"token": token(client, address), "text": bad, "after": "1"})
    assert answer.status_code == 422
    assert "car.yaml:" in answer.text
    assert "carknocker-cart/1" in answer.text
    assert keeping.newest(car.removeprefix("/cars/"), "record").number == 1


def test_a_text_is_looked_through_on_a_button_and_not_written(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = add(client, record, move)
    address = f"{car}/texts/record"
    sent = {"token": token(client, address), "after": "1"}
    bad = record.replace("carknocker-car/1", "carknocker-cart/1", 1)
    answer = client.post(f"{address}/look-through", data={**sent, "text": bad})
    assert answer.status_code == 200
    assert "car.yaml:" in answer.text
    assert "format: carknocker-cart/1" in answer.text
    good = client.post(f"{address}/look-through", data={**sent, "text": record})
    assert "Nothing is wrong with the text." in good.text
    assert keeping.newest(car.removeprefix("/cars/"), "record").number == 1


def test_the_text_asks_the_service_by_a_script_of_its_own_alone(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    policy = client.get(f"{car}/texts/record").headers["content-security-policy"]
    assert "script-src 'self'; connect-src 'self'" in policy
    assert "unsafe" not in policy
    assert "script-src" not in client.get(car).headers["content-security-policy"]
    assert client.get("/text.js").headers["content-type"].startswith("text/javascript")


def test_the_second_of_two_editors_is_told_and_keeps_what_was_typed(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = add(client, record, move)
    address = f"{car}/texts/record"
    sent = {"token": token(client, address), "after": "1"}
    assert client.post(address, data={**sent, "text": record + "# first\n"}).status_code == 303
    second = client.post(address, data={**sent, "text": record + "# second\n"})
    assert second.status_code == 412
    assert "Somebody else wrote meanwhile" in second.text
    assert "-# first" in second.text
    assert "+# second" in second.text
    assert 'name="after" value="2"' in second.text
    assert keeping.text(car.removeprefix("/cars/"), "record")[1].endswith("# first\n")


def test_a_dossier_that_was_given_out_stays_as_it_was(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    given = client.post(f"{car}/dossiers", data={"token": token(client, car), "form": "html"})
    before = client.get(given.headers["location"]).content
    address = f"{car}/texts/record"
    changed = record.replace("Wren Hollow", "Wren Hollow II", 1)
    client.post(address, data={"token": token(client, address), "text": changed, "after": "1"})
    assert b"Wren Hollow II" in client.get(f"{car}/check").content
    assert client.get(given.headers["location"]).content == before
    assert "as it was given out" in client.get(car).text
    compared = client.get(f"{car}/compare/1/2")
    assert compared.status_code == 200


def test_the_page_of_a_car_has_its_drawing_its_faults_and_its_dates(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    shown = client.get(car).text
    assert "<svg" in shown
    assert "style=" not in shown
    assert 'role="img" aria-label="The car from its R side' in shown
    faults = re.findall(r'<li value="(\d)"><strong>([^<]*)</strong>: ([^<]*)', shown)
    assert [number for number, _, _ in faults] == ["1", "2", "3", "4", "5"][: len(faults)]
    assert any(part == "Wheel R5" and says.startswith("flange 7/8 in or thinner") for _, part, says in faults)
    assert '<p class="outcome">NOT READY' in shown
    assert re.search(r"<p>\d+ items keep this car from moving\.", shown)
    assert re.search(r"<strong>2026-11-14</strong> Annual mechanical inspection", shown)


def test_why_is_a_tree_to_open_down_to_the_reading(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    whole = client.get(f"{car}/reasons").text
    assert "<details open><summary>" in whole
    assert re.search(r"<summary>[^<]*nnual mechanical inspection", whole)
    of_wheel = client.get(f"{car}/reasons?part=wheel%20R5").text
    assert re.search(r"<summary>[^<]*[Ww]heel R5: [Ff]lange", of_wheel)
    assert "car.yaml:" in of_wheel
    assert of_wheel.count("<details") == of_wheel.count("</details>") > 2
    nearest = client.get(f"{car}/reasons?part=wheel%20R5&requirement=flange-thicknes")
    assert nearest.status_code == 404
    assert "flange-thickness" in nearest.text


def test_any_two_versions_are_compared(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    address = f"{car}/texts/record"
    assert "Compare" not in client.get(car).text
    for number in (1, 2):
        changed = record.replace("Wren Hollow", f"Wren Hollow {number}")
        sent = {"token": token(client, address), "text": changed, "after": str(number)}
        assert client.post(address, data=sent).status_code == 303
    assert re.findall(r'<option value="(\d)"', client.get(car).text) == ["3", "2", "1", "1", "3", "2", "1", "1"]
    led = client.get(f"{car}/compare?before=1&after=3")
    assert led.headers["location"] == f"{car}/compare/1/3"
    assert client.get(led.headers["location"]).status_code == 200
    assert client.get(f"{car}/compare/1/9").status_code == 404


def test_a_form_is_handed_out_and_an_empty_one_refused(client: TestClient, record: str, move: str) -> None:
    car = add(client, record, move)
    form = client.get(f"{car}/worksheet.html")
    assert "attachment" in form.headers["content-disposition"]
    assert "script-src 'sha256-" in form.headers["content-security-policy"]
    answer = client.post(
        f"{car}/forms", data={"token": token(client, car)}, files={"form": ("w.html", form.content, "text/html")}
    )
    assert answer.status_code == 422
    assert "Nothing was written" in answer.text


def test_a_form_that_sends_itself_is_the_same_however_often_it_is_asked_for(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = add(client, record, move)
    led = client.get(f"{car}/form")
    assert (led.status_code, led.headers["location"]) == (303, f"{car}/form/1/1/2026-10-08")
    first = client.get(led.headers["location"])
    policy = first.headers["content-security-policy"]
    assert "connect-src 'self'" in policy
    assert "script-src 'sha256-" in policy
    assert "content-disposition" not in first.headers
    assert f"/api{car}/forms?name=form-2026-10-08.html" in first.text
    keeping.accept(car.removeprefix("/cars/"), "record", record + "# later\n", "owner", "", 1)
    assert client.get(led.headers["location"]).content == first.content
    file = client.get(f"{car}/worksheet.html")
    assert "connect-src" not in file.headers["content-security-policy"] + file.text
    assert 'id="send-form"' not in file.text


def test_a_name_with_markup_is_shown_as_text(client: TestClient, record: str, move: str) -> None:
    car = add(client, record.replace("name: Wren Hollow", 'name: "<script>alert(1)</script>"', 1), move)
    for address in ("/", car, f"{car}/check", f"{car}/texts/record"):
        assert "<script>alert" not in client.get(address).text, address


SCRIPT = "<script>alert(1)</script>"


def test_a_note_a_reason_and_remarks_with_markup_are_shown_as_text(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = add(client, record, move)
    own = car.removeprefix("/cars/")
    address = f"{car}/texts/record"
    sent = {"token": token(client, address), "text": f"{record}# more\n", "after": "1", "note": SCRIPT}
    assert client.post(address, data=sent).status_code == 303
    keeping.put_away(own, True, SCRIPT, SCRIPT)
    keeping.history.add([NewVersion(own, "form", SCRIPT, b"x", "x/y", "2026-10-08T12:00:00Z", SCRIPT, SCRIPT)])
    one = keeping.history.version(own, "record", "", 1)
    blank(keeping, own, [one.id], SCRIPT, SCRIPT)
    pages = (car, f"{car}/history", f"{car}/texts/record", "/audit", "/?away=true", f"{car}/texts/record?version=1")
    shown = {page: client.get(page).text for page in pages}
    assert [page for page, text in shown.items() if "<script>alert" in text] == []
    assert all("&lt;script&gt;alert(1)" in shown[page] for page in (car, f"{car}/history", "/audit", pages[-1]))


FIFTEEN = {
    "mark": "QTST 15", "name": "Larch Valley", "kind_of_car": "lightweight passenger car", "car_kind": "coach",
    "built_on": "1952", "truck_kind": "two-axle", "frame": "one-piece cast", "control_valve": "D-22",
    "bearing_class": "grease-lubricated roller", "host": "Kestrel & Northern", "train": "passenger",
    "out": "2026-11-06", "back": "2026-11-10", "rides": "passengers", "from": "Quillon Junction", "to": "Port Averill",
    "miles": "212 mi",
}  # fmt: skip


def test_a_car_by_its_answers_without_a_line_of_yaml(client: TestClient) -> None:
    page = client.get("/new").text
    assert all(f'name="answer.{key}"' in page for key in FIFTEEN)
    sent = {"token": token(client, "/new"), **{f"answer.{key}": said for key, said in FIFTEEN.items()}}
    wrong = client.post("/new", data={**sent, "answer.truck_kind": "four-axle"})
    assert wrong.status_code == 422
    assert "four-axle" in wrong.text
    assert 'value="Larch Valley"' in wrong.text
    lacking = client.post("/new", data={**sent, "answer.host": ""})
    assert lacking.status_code == 422
    assert "Not taken: an answer is needed" in lacking.text
    assert "the options" not in lacking.text
    done = client.post("/new", data=sent)
    assert done.status_code == 303, done.text
    shown = client.get(done.headers["location"]).text
    assert "QTST 15 Larch Valley" in shown
    assert "NOT READY" in shown or "NOT YET LOOKED AT" in shown


@pytest.mark.parametrize(("day", "said"), [(date(2026, 9, 27), "ready, law in part"),
                                           (date(2026, 9, 28), "ready, law in part, move ended")])  # fmt: skip
def test_a_car_that_is_ready_for_less_than_it_seems_says_so_in_the_list(
    keeping: Keeping, day: date, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = CASE.parents[1] / "larkspur" / "freight"
    monkeypatch.setattr(keeping, "today", lambda: day)
    texts = [(case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    made = keeping.add_car(texts[0], texts[1], "owner")
    assert keeping.standing(made.id).outcome == said
    assert keeping.list_cars()[0][1].outcome == said


def test_on_a_car_that_names_no_people_each_page_says_how_they_are_entered(
    client: TestClient, keeping: Keeping
) -> None:
    sent = {"token": token(client, "/new"), **{f"answer.{key}": said for key, said in FIFTEEN.items()}}
    car = client.post("/new", data=sent).headers["location"]
    (name, *_) = re.findall(r"/part\?name=([^\"]*wheel[^\"]*)\"", client.get(f"{car}/parts").text)
    for address in (f"{car}/part?name={name}", f"{car}/photographs"):
        page = client.get(address).text
        assert "The record names no people yet." in page, address
        assert f'<a href="{car}/form">Enter by the worksheet</a>' in page
        assert 'name="by"' not in page, "nothing that must be chosen and can't"
    assert "Who read, and with what" in client.get(f"{car}/form", follow_redirects=True).text


def test_what_is_marked_up_in_a_dossier_stands_on_no_page_as_its_marks(client: TestClient, keeping: Keeping) -> None:
    for case in ("nothing-measured", "wren-hollow/before"):
        texts = [(CASES / case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
        car = keeping.add_car(texts[0], texts[1].replace("  goes_to: home\n", ""), "owner").id
        for page in ("", "/work", "/reasons"):
            said = re.sub(r"<(svg|style|pre)\b.*?</\1>|<[^>]*>", " ", client.get(f"/cars/{car}{page}").text, flags=re.S)
            assert re.findall(r".{0,40}`.{0,40}|.{0,30}\*[A-Z].{0,30}", said) == [], (case, page)


def test_what_a_form_brought_is_told_also_where_it_is_no_reading(
    client: TestClient, keeping: Keeping, record: str, move: str
) -> None:
    car = keeping.add_car(record, move, "owner").id
    jobs = asked_plan.form_of_jobs(
        "QWHX 27", "2026-10-07", "HM",
        (DoneJob(JobBox("x", "slack adjuster repaired", "brake rigging B", ()), ()),),
    )  # fmt: skip
    done = client.post(f"/api/cars/{car}/forms?name=w.yaml", content=jobs.text)
    assert (done.status_code, done.json()["brought"], done.json()["readings"]) == (200, "1 job", 0), done.text
    assert keeping.newest(car, "record").note.startswith("entered w.yaml: 1 job")


NO_STEP_OF_A_READER = re.compile(r"carknocker (from the owner|check car\.yaml|verify dossier\.json|words )")
"""A dossier says how it is worked out again to whoever was given it and has no service; and its appendix, of the text
of a record, where all words are that may stand in it."""


@pytest.mark.parametrize(("case", "form"), [("nothing-measured", "html"), ("wren-hollow/before", "markdown")])
def test_no_page_sends_its_reader_to_a_command(keeping: Keeping, client: TestClient, case: str, form: str) -> None:
    """Both forms are written from the same words, so that one of them does for each case."""
    texts = [(CASES / case / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")]
    car = keeping.add_car(texts[0], texts[1], "owner").id
    pages = ["", "/reasons", "/work", "/parts", "/form", "/texts/record", "/compare/1/1", "/photographs", "/links"]
    pages += [f"/{question}?format={form}" for question in QUESTIONS]
    said = {}
    for page in pages:
        answer = client.get(f"/cars/{car}{page}", follow_redirects=True)
        assert answer.status_code == 200, page
        found = re.findall(r".{0,60}carknocker [a-z]+ .{0,60}|.{0,60}`--[a-z].{0,60}", answer.text)
        said[page] = [one for one in found if NO_STEP_OF_A_READER.search(one) is None]
    assert {page: found for page, found in said.items() if found} == {}
    if case == "nothing-measured":
        assert "start with this sheet, the worksheet, truck B" in client.get(f"/cars/{car}/plan").text
