"""`check` where another edition comes into force before the return: what either edition asks counts."""

import re
from datetime import date
from pathlib import Path

import pytest

from carknocker.questions.check import check
from carknocker.record import read_car, read_move_text
from carknocker.rulebook.library import load_library

CASE = Path(__file__).resolve().parents[2] / "cases" / "wren-hollow" / "after"
HEAD = """format: carknocker-edition/1
ruleset: toy
edition: "{name}"
title: Toy circular {name}
layer: host
publisher: Toy
host: Toy Railroad
in_force: {day}
checked: {day}
builds_on: []
"""
CHAPTER = """chapter: all
source: {{document: Toy circular, section: "1", kind: host, status: invented, words: words}}
criteria:
  - {{id: {name}, title: Asked by {name}, of: car, must: {{private_car: {private}}}, effect: refuse,
      shown_by: owner before the move, remedies: [], examples: []}}
consequences:
  - {{id: r-{name}, title: Restricts, cause: {{state: {{private_car: yes}}, of: car}}, restricts: {restricts}}}
"""


def library(folder: Path, privates: tuple[str, str]):
    given = (("1", "2026-01-01", "{speed: 90 mph}"), ("2", "2026-11-10", "{tag: slowly}"))
    for (name, day, restricts), private in zip(given, privates, strict=True):
        place = folder / "toy" / name
        place.mkdir(parents=True)
        (place / "edition.yaml").write_text(HEAD.format(name=name, day=day), encoding="utf-8")
        words = CHAPTER.format(name=f"rule-{name}", private=private, restricts=restricts)
        (place / "all.yaml").write_text(words, encoding="utf-8")
    return load_library([folder])


def answer(tmp_path: Path, privates: tuple[str, str], back: str = "2026-11-22"):
    text = (CASE / "move.yaml").read_text(encoding="utf-8").replace("Kestrel & Northern", "Toy Railroad")
    text = re.sub(r"\n    (on|until): .*", "", text)  # the days of the legs would not fit another return
    move = read_move_text(text.replace("back: 2026-11-22", f"back: {back}"), "move.yaml")
    assert str(move.back) == back
    return check(read_car(CASE / "car.yaml"), move, library(tmp_path, privates), date(2026, 10, 24))


@pytest.mark.parametrize(
    ("privates", "refused"),
    [
        (("yes", "yes"), []),
        (("no", "yes"), ["rule-1"]),
        (("yes", "no"), ["rule-2"]),
        (("no", "no"), ["rule-1", "rule-2"]),
    ],
)
def test_what_either_edition_refuses_or_restricts_counts(tmp_path, privates, refused):
    found = answer(tmp_path, privates)
    judgement = found.judgement
    assert [one.finding.criterion.name for one in judgement.refusals] == refused
    assert judgement.outcome == ("not ready" if refused else "ready with restrictions")
    assert {one.said_by for one in judgement.restrictions} == {"toy/r-rule-1", "toy/r-rule-2"}
    assert sorted(edition.name for edition in judgement.rulebook.editions) == ["1", "2"]
    assert any("what either asks counts" in note for note in found.notes)


def test_a_move_that_ends_before_the_change_is_judged_by_one_edition(tmp_path):
    found = answer(tmp_path, ("yes", "no"), back="2026-11-09")
    assert found.other is None
    assert found.outcome == "ready with restrictions"
    assert [one.said_by for one in found.judgement.restrictions] == ["toy/r-rule-1"]


def test_every_form_of_the_answer_can_be_written(tmp_path):
    from carknocker.dossier.check.layout import page_of
    from carknocker.dossier.check.view import view_of
    from carknocker.dossier.forms.json_form import json_of
    from carknocker.dossier.writing.markdown import markdown_of

    found = answer(tmp_path, ("no", "no"))
    page = markdown_of(page_of(view_of(found)))
    for words in ("Asked by rule-1", "Asked by rule-2", "slowly", "90 mph"):
        assert words in page
        assert words in json_of([found])
