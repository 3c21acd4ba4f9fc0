"""Editions that are sent in: whole, with what they were made from, kept in every version, and taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from form_token import token
from httpx import Response

from carknocker.service.keeping import Keeping
from carknocker.service.sent_editions import RULESETS

SHIPPED = Path(__file__).resolve().parents[2] / "rulesets" / "marrow-creek-and-eastern" / "3"
HOST = "Larch & Alder"
ADDRESS = "/api/rulesets/larch-and-alder/1"


@pytest.fixture
def circular() -> dict[str, str]:
    """A real circular under another name, whose files name each other's rules."""
    found = {}
    for file in sorted(SHIPPED.glob("*.yaml")):
        text = file.read_text(encoding="utf-8")
        found[file.name] = (
            text.replace("marrow-creek-and-eastern", "larch-and-alder")
            .replace("Marrow Creek & Eastern", HOST)
            .replace('edition: "3"', 'edition: "1"')
        )
    assert len(found) == 4
    return found


def put(client: TestClient, files: dict[str, str], tag: str, note: str = "") -> Response:
    return client.put(ADDRESS, json={"files": files, "note": note}, headers={"If-Match": tag})


def test_an_edition_of_several_files_is_taken_whole_and_binds(
    client: TestClient, keeping: Keeping, circular: dict[str, str], record: str, move: str
) -> None:
    done = put(client, circular, '"0"', "by mail of 2026-10-01")
    assert done.status_code == 200, done.text
    assert {one["name"].rpartition("/")[2] for one in done.json()["files"]} == set(circular)
    assert "larch-and-alder/1" in client.get("/rules").text
    car = keeping.add_car(record, move.replace("Kestrel & Northern", HOST), "owner").id
    judged = client.get(f"/api/cars/{car}/answers/check").json()
    assert "larch-and-alder" in str(judged)


def test_a_part_of_it_alone_is_refused_and_binds_nobody(
    client: TestClient, keeping: Keeping, circular: dict[str, str]
) -> None:
    for left_out in ("edition.yaml", "brakes-and-body.yaml"):  # the first names a rule of the second as corrected
        some = {name: text for name, text in circular.items() if name != left_out}
        assert put(client, some, '"0"').status_code == 422, left_out
    assert keeping.sent_editions.files() == ()


def test_of_two_who_change_it_at_once_the_second_is_told(client: TestClient, circular: dict[str, str]) -> None:
    assert client.put(ADDRESS, json={"files": circular}).status_code == 428
    first = put(client, circular, '"0"').headers["etag"]
    assert client.get(ADDRESS).headers["etag"] == first
    theirs = {**circular, "edition.yaml": circular["edition.yaml"].replace("Bulletin 3", "Bulletin three")}
    second = put(client, theirs, first)
    assert second.status_code == 200, second.text
    mine = {**circular, "running-gear.yaml": circular["running-gear.yaml"] + "# mine\n"}
    refused = put(client, mine, first)
    assert (refused.status_code, refused.headers["content-type"]) == (412, "application/problem+json")
    assert put(client, circular, '"0"').status_code == 412
    assert "Bulletin three" in client.get(ADDRESS).json()["texts"]["edition.yaml"]
    assert "# mine" not in client.get(ADDRESS).json()["texts"]["running-gear.yaml"]
    assert put(client, mine, second.headers["etag"]).status_code == 200


def test_it_is_taken_back_and_every_version_stays(
    client: TestClient, keeping: Keeping, circular: dict[str, str]
) -> None:
    tag = put(client, circular, '"0"').headers["etag"]
    back = put(client, {}, tag, "it was the wrong host")
    assert back.status_code == 200, back.text
    assert keeping.sent_editions.files() == ()
    assert "larch-and-alder" not in client.get("/rules").text
    assert client.get(ADDRESS).json()["texts"] == {}
    history: list[dict[str, Any]] = client.get("/api/rulesets/history").json()["versions"]
    assert len(history) == 8
    assert {one["by"] for one in history} == {"owner"}
    assert history[0]["note"] == "it was the wrong host"
    first = next(one for one in history if one["name"].endswith("edition.yaml") and one["number"] == 1)
    for address in (f"/api/rulesets/history/{first['id']}/bytes", f"/rules/history/{first['id']}/bytes"):
        assert client.get(address).text == circular["edition.yaml"]
    again = put(client, circular, back.headers["etag"])
    assert again.status_code == 200
    assert dict(keeping.sent_editions.files())["larch-and-alder/1/edition.yaml"] == circular["edition.yaml"]


def test_a_bad_one_is_refused_at_its_line_and_no_name_leads_elsewhere(client: TestClient) -> None:
    told = put(client, {"edition.yaml": "x: ["}, '"0"')
    assert told.status_code == 422
    assert told.json()["problems"][0]["file"].endswith("edition.yaml")
    for name in ("../1", "larch-and-alder/..%2f1", "larch-and-alder/1%2f2"):
        answer = client.put(f"/api/rulesets/{name}", json={"files": {"edition.yaml": "x: 1"}},
                            headers={"If-Match": '"0"'})  # fmt: skip
        assert answer.status_code in (404, 405), name
    for file in ("../edition.yaml", "edition.txt", ".edition.yaml"):
        assert put(client, {file: "x: 1"}, '"0"').status_code == 404, file
    assert client.get("/api/rulesets/larch-and-alder/1").status_code == 404
    assert client.get("/api/rulesets").json() == {"editions": []}


def test_no_edition_that_comes_with_the_program_is_replaced(client: TestClient) -> None:
    files = {file.name: f"{file.read_text(encoding='utf-8')}# mine\n" for file in SHIPPED.glob("*.yaml")}
    answer = client.put("/api/rulesets/marrow-creek-and-eastern/3", json={"files": files}, headers={"If-Match": '"0"'})
    assert answer.status_code == 422
    (told,) = answer.json()["problems"]
    assert told["found"] == "edition 3 of marrow-creek-and-eastern a second time"
    assert told["to_do"] == "the first is at marrow-creek-and-eastern/3/edition.yaml:1:1"


def send(client: TestClient, circular: dict[str, str]) -> Response:
    """All files, as a browser sends them."""
    files = [("files", (name, text.encode("utf-8"), "text/yaml")) for name, text in circular.items()]
    given = {"token": token(client, "/rules/sent"), "ruleset": "larch-and-alder", "edition": "1", "note": "by mail"}
    return client.post("/rules/sent", data=given, files=files)


def test_an_owner_sends_changes_and_takes_back_by_pages(
    client: TestClient, keeping: Keeping, circular: dict[str, str]
) -> None:
    bad = send(client, {**circular, "running-gear.yaml": "x: ["})
    assert bad.status_code == 422
    assert "running-gear.yaml:" in bad.text
    assert 'value="larch-and-alder"' in bad.text, "what was typed stays"
    page = "/rules/sent/larch-and-alder/1"
    assert client.get(page).status_code == 404
    done = send(client, circular)
    assert done.headers["location"] == page, done.text
    assert send(client, circular).status_code == 412
    shown = client.get(page).text
    assert "by owner: by mail" in shown
    after = keeping.sent_editions.one("larch-and-alder", "1").tag
    fields = {"token": token(client, page), "after": after, "note": "a slip"}
    fields |= {f"file.{name}": text.replace("\n", "\r\n") for name, text in circular.items()}
    wrong = client.post(page, data={**fields, "file.running-gear.yaml": "x: ["})
    assert wrong.status_code == 422
    assert "running-gear.yaml:1:" in wrong.text
    new = circular["edition.yaml"].replace("Bulletin 3", "Bulletin three")
    assert client.post(page, data={**fields, "file.edition.yaml": new}).status_code == 303
    assert keeping.sent_editions.texts_of(keeping.sent_editions.one("larch-and-alder", "1")) == {
        **circular,
        "edition.yaml": new,
    }
    told = client.post(page, data=fields)
    assert told.status_code == 412
    assert "-title: Bulletin three" in told.text
    assert "+title: Bulletin 3" in told.text
    fields["after"] = keeping.sent_editions.one("larch-and-alder", "1").tag
    emptied = {key: "" if key.startswith("file.") else value for key, value in fields.items()}
    assert client.post(page, data=emptied).status_code == 303
    assert "taken back, and binds no car" in client.get(page).text
    assert keeping.sent_editions.files() == ()
    listed = client.get("/rules/sent").text
    assert "larch-and-alder/1/edition.yaml, version 3, a slip" in listed
    assert len(keeping.history.versions(RULESETS, "edition", most=99)) == 12
