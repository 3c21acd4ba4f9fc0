"""The pages of rules."""

from __future__ import annotations

import json

from fastapi.testclient import TestClient

from carknocker.rulebook import rulesets_folders
from carknocker.service.keeping import Keeping


def test_the_editions_at_hand_are_listed_and_each_opens(client: TestClient) -> None:
    listed = client.get("/rules").text
    assert 'href="/rules/us-federal/2015"' in listed
    assert "<option>us-federal/2020</option>" in listed
    assert 'href="/rules"' in client.get("/").text
    edition = client.get("/rules/us-federal/2015")
    assert edition.headers["content-type"].startswith("text/html")
    assert "Flange thicker than" in edition.text
    assert "238.303(e)(8)(vi)" in edition.text


def test_one_rule_says_what_it_asks_and_where_it_stands(client: TestClient) -> None:
    rule = client.get("/rules/us-federal/2015?rule=flange-thickness&format=markdown").text
    assert "1 rule of" in rule
    assert "7/8 in" in rule
    assert "238.303" in rule
    nearest = client.get("/rules/us-federal/2015?rule=flange-thicknes")
    assert nearest.status_code == 404
    assert "flange-thickness" in nearest.text
    assert client.get("/rules/us-federal/1066").status_code == 404
    assert client.get("/rules/atlantis/2015").status_code == 404


def test_two_editions_are_compared_and_no_folder_is(client: TestClient, keeping: Keeping) -> None:
    answer = client.get("/rules/compare?before=us-federal/2015&after=us-federal/2020&format=json")
    assert json.loads(answer.text)["format"].startswith("carknocker-rules-diff/")
    assert client.get("/rules/compare?before=us-federal/2015&after=us-federal/2020").status_code == 200
    for other in ("/etc", "../rulesets/us-federal/2015", str(keeping.history.data), "us-federal"):
        assert client.get("/rules/compare", params={"before": "us-federal/2015", "after": other}).status_code == 404


def test_no_page_of_rules_says_where_they_lie_on_the_machine(client: TestClient) -> None:
    (folder,) = rulesets_folders()
    assert "us-federal/2015/edition.yaml" in client.get("/rules").text
    for address in (
        "/rules",
        *(f"/rules/us-federal/2020{more}" for more in ("", "?format=json", "?format=markdown", "?rule=marker-fitted")),
        "/rules/compare?before=us-federal/2015&after=us-federal/2020&format=json",
    ):
        said = client.get(address)
        assert said.status_code == 200, address
        assert str(folder) not in said.text, address
