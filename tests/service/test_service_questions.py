"""The API answers what the command line answers, byte by byte."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.service.keeping import Keeping

CASES = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow"
DAY = "2026-10-08"
ASKED: list[tuple[str, list[str], dict[str, str]]] = [
    ("check", [], {}), ("due", [], {}), ("plan", [], {}), ("figures", [], {}), ("spares", [], {}),
    ("place-wheels", [], {}), ("request", [], {}), ("setout", [], {}), ("wheel-order", [], {}),
    ("wheel-order", ["5"], {"axle": "5"}), ("why", ["wheel R5", "flange-thickness"],
                                            {"part": "wheel R5", "requirement": "flange-thickness"}),
    ("tag", ["--inspector", "Lee", "--location", "Yard", "--inspected-on", DAY, "--destination", "Shop"],
     {"inspector": "Lee", "location": "Yard", "inspected_on": DAY, "destination": "Shop"}),
    ("worksheet", [], {}), ("worksheet", ["--before-departure", "--advised"],
                            {"before_departure": "true", "advised": "true"}),
]  # fmt: skip


@pytest.fixture(autouse=True)
def _in_the_folder_of_the_car(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(CASES / "before")


@pytest.fixture
def car(keeping: Keeping, record: str, move: str) -> str:
    return f"/api/cars/{keeping.add_car(record, move, 'owner').id}"


def by_command(*arguments: str) -> bytes:
    """What the command line writes."""
    done = CliRunner().invoke(app, list(arguments), prog_name="carknocker")
    assert done.exit_code in (0, 1), done.output
    return done.stdout_bytes


@pytest.mark.parametrize(("question", "arguments", "given"), ASKED)
def test_a_question_about_a_car_is_answered_as_on_the_command_line(
    client: TestClient, car: str, question: str, arguments: list[str], given: dict[str, str]
) -> None:
    said = client.get(f"{car}/answers/{question}", params=given)
    assert said.status_code == 200, said.text
    assert said.content == by_command(question, ".", *arguments, "--as-of", DAY, "--format", "json")


@pytest.mark.parametrize("question", ["figures", "spares", "place-wheels", "request", "setout", "wheel-order", "tag"])
def test_it_is_had_as_a_page_too(client: TestClient, car: str, question: str) -> None:
    page = client.get(f"{car}/answers/{question}?format=html")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert "QWHX 27" in page.text
    assert client.get(f"{car}/answers/{question}?format=pdf").content.startswith(b"%PDF")


def test_what_a_question_is_not_told_and_what_there_is_none_of_is_refused(client: TestClient, car: str) -> None:
    assert client.get(f"{car}/answers/wheel-order?axle=9").status_code in (404, 422)
    for asked in ("wheel-order?axle=x", "tag?inspected_on=yesterday", "fleet", "worksheet?before_departure=maybe"):
        answer = client.get(f"{car}/answers/{asked}")
        assert (answer.status_code, answer.headers["content-type"]) == (400, "application/problem+json"), asked


@pytest.mark.parametrize("ending", ["html", "csv", "yaml", "xlsx"])
def test_the_worksheet_is_had_as_a_form(client: TestClient, car: str, ending: str, tmp_path: Path) -> None:
    file = tmp_path / f"form.{ending}"
    by_command("worksheet", ".", "--as-of", DAY, "--form", str(file), "--output", str(tmp_path / "said.txt"))
    said = client.get(f"{car}/worksheet.{ending}")
    assert said.headers["content-disposition"] == f'attachment; filename="worksheet.{ending}"'
    if ending == "xlsx":
        assert said.content.startswith(b"PK")
    else:
        assert said.content == file.read_bytes()
    assert client.get(f"{car}/worksheet.pdf").status_code == 400


def test_a_lift_is_worked_out_by_the_plan_that_is_sent(
    client: TestClient, keeping: Keeping, monkeypatch: pytest.MonkeyPatch
) -> None:
    texts = [(CASES / "after" / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml", "lift.yaml")]
    car = f"/api/cars/{keeping.add_car(texts[0], texts[1], 'owner').id}"
    said = client.post(f"{car}/lift?end=B&as_of=2026-10-28", content=texts[2])
    assert said.status_code == 200, said.text
    monkeypatch.chdir(CASES / "after")
    assert said.content == by_command("lift", ".", "--end", "B", "--as-of", "2026-10-28", "--format", "json")
    wrong = client.post(f"{car}/lift?end=B", content="lift: {}")
    assert (wrong.status_code, wrong.headers["content-type"]) == (422, "application/problem+json")
    assert client.post(f"{car}/lift?end=C", content=texts[2]).status_code == 400


def test_a_pack_is_had_and_verifies_elsewhere(client: TestClient, car: str, tmp_path: Path) -> None:
    file = tmp_path / "pack.zip"
    file.write_bytes(client.get(f"{car}/pack").content)
    done = CliRunner().invoke(app, ["verify", str(file)], prog_name="carknocker")
    assert done.exit_code == 0, done.output
    assert "IDENTICAL" in done.output


def test_a_dossier_is_verified_by_the_texts_that_it_was_made_from(client: TestClient, car: str, record: str) -> None:
    made = client.post(f"{car}/dossiers?format=json").json()["digest"]
    dossier = client.get(f"{car}/dossiers/{made}").content
    later = {"text": record.replace("Wren Hollow", "Wren Hill")}
    assert client.put(f"{car}/texts/record", json=later, headers={"If-Match": '"1"'}).status_code == 200
    same = client.post(f"{car}/verify", content=dossier)
    assert same.status_code == 200, same.text
    assert same.json()["identical"] is True
    changed = dossier.replace(b'"not ready"', b'"ready"', 1)
    assert changed != dossier
    assert client.post(f"{car}/verify", content=changed).json()["identical"] is False
    elsewhere = json.loads(dossier)
    elsewhere["digests"]["car"] = "0" * 64
    assert client.post(f"{car}/verify", content=json.dumps(elsewhere)).json()["identical"] is False
    nothing = client.post(f"{car}/verify", content=b"{}")
    assert (nothing.status_code, nothing.headers["content-type"]) == (422, "application/problem+json")


def test_words_and_rules_are_asked_as_on_the_command_line(client: TestClient) -> None:
    assert client.get("/api/words").content == by_command("words", "--format", "json")
    assert client.get("/api/words?name=wheel").content == by_command("words", "wheel", "--format", "json")
    assert client.get("/api/words?name=weel").status_code == 404
    differs = by_command("rules", "diff", "us-federal/2016", "us-federal/2020", "--format", "json")
    asked = {"before": "us-federal/2016", "after": "us-federal/2020"}
    assert client.get("/api/rules/compare", params=asked).content == differs
    listed = client.get("/api/rules").json()
    wanted = json.loads(by_command("rules", "list", "--format", "json"))
    assert [one["edition"] for one in listed["editions"]] == [one["edition"] for one in wanted["editions"]]
    one = client.get("/api/rules/us-federal/2020?rule=flange-thickness").json()
    assert len(one["rules"]) == 1
    assert client.get("/api/rules/us-federal/1066").status_code == 404


def test_the_papers_for_the_road_are_pages_of_the_car(client: TestClient, car: str) -> None:
    shown = client.get(car.removeprefix("/api")).text
    for question in ("request", "setout", "tag", "wheel-order", "place-wheels", "spares", "figures"):
        address = f"{car.removeprefix('/api')}/{question}"
        assert f'href="{address}"' in shown, question
        page = client.get(address)
        assert page.status_code == 200
        assert "Back to the car" in page.text
