"""`check` where another edition comes into force before the return: what either edition asks counts."""

import re
from datetime import date
from pathlib import Path

import pytest

from carknocker.documents import InputRefused
from carknocker.judgement.answer import check
from carknocker.record import read_car, read_move_text
from carknocker.rulebook.library import load_library, rulesets_folders

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
LOCAL_LAW = """format: carknocker-edition/1
ruleset: us-federal
edition: local
title: The law as somebody would have it
layer: law
publisher: Somebody
in_force: 2026-02-01
checked: 2026-02-01
amends: "2020"
removed: [flange-thickness]
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
    from carknocker.dossier.json_form import json_of
    from carknocker.dossier.view import view_of
    from carknocker.page.markdown import markdown_of
    from carknocker.questions.check.page import page_of

    found = answer(tmp_path, ("no", "no"))
    page = markdown_of(page_of(view_of(found)))
    for words in ("The car: not so: Asked by rule-1", "slowly", "90 mph"):  # both rules ask it: one fault
        assert words in page
    for words in ("Asked by rule-1", "Asked by rule-2", "slowly", "90 mph"):
        assert words in json_of([found])


def told(answer):
    """What every form of an answer says, each in one line."""
    from carknocker.dossier.json_form import json_of
    from carknocker.dossier.view import view_of
    from carknocker.page.html import html_of
    from carknocker.page.markdown import markdown_of
    from carknocker.page.text import text_of
    from carknocker.questions.check.dossier_page import dossier_page
    from carknocker.questions.check.page import page_of

    short, whole = page_of(view_of(answer)), dossier_page(answer)
    forms = (text_of(short), text_of(whole), markdown_of(short), html_of([whole]), json_of([answer]))
    return [" ".join(form.replace("\\", "").split()) for form in forms]


def test_every_form_tells_of_an_edition_beside_the_car_and_of_what_it_removes(tmp_path):
    place = tmp_path / "rulesets" / "us-federal" / "local"
    place.mkdir(parents=True)
    (place / "edition.yaml").write_text(LOCAL_LAW, encoding="utf-8")
    car, move = read_car(CASE / "car.yaml"), read_move_text((CASE / "move.yaml").read_text(encoding="utf-8"), "m.yaml")
    with_it = load_library([*rulesets_folders(), tmp_path / "rulesets"])
    words = (
        "us-federal local is not installed with the program: it comes from a folder of rulesets beside the car or",
        "us-federal local removes from what an earlier edition says: flange-thickness",
    )
    for form in told(check(car, move, with_it, date(2026, 10, 24))):
        assert all(word in form for word in words)
        assert str(tmp_path / "rulesets") not in form.split("removes from")[1][:200]
    for form in told(check(car, move, load_library(rulesets_folders()), date(2026, 10, 24))):
        assert "is not installed" not in form
        assert "removes from what" not in form


def test_a_circular_of_nobody_does_not_switch_off_the_law(tmp_path):
    place = tmp_path / "toy" / "1"
    place.mkdir(parents=True)
    (place / "edition.yaml").write_text(HEAD.format(name="1", day="2026-01-01"), encoding="utf-8")
    text = (CASE / "move.yaml").read_text(encoding="utf-8").replace("Kestrel & Northern", "Toy Railroad")
    car, move = read_car(CASE / "car.yaml"), read_move_text(text, "move.yaml")
    for folders, words in (([*rulesets_folders(), tmp_path], "no law binds with it"), ([tmp_path], "no criterion")):
        with pytest.raises(InputRefused, match=words):
            check(car, move, load_library(folders), date(2026, 10, 24))
