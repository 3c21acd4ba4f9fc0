"""Any judgement can be written out, in every form, the same way twice, with every refusal in it."""

import json

from hypothesis import given
from random_worlds import OUT, worlds

from carknocker.dossier.json_form import appendix_form, json_of
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.judge import judge
from carknocker.page.markdown import markdown_of
from carknocker.page.text import lines_of, text_of
from carknocker.questions.check.dossier_page import dossier_page
from carknocker.questions.check.page import page_of
from carknocker.rulebook import RulebookChoice


def answer_of(world):
    car, move, rulebook = world
    judgement = judge(car, move, rulebook, OUT)
    return CheckAnswer(judgement, None, RulebookChoice(rulebook, None, ()), OUT, judgement.notes)


@given(worlds())
def test_every_form_of_any_judgement(world):
    answer = answer_of(world)
    view = view_of(answer)
    page = page_of(view)
    assert markdown_of(page) == markdown_of(page_of(view_of(answer_of(world))))
    assert markdown_of(dossier_page(answer)) == markdown_of(dossier_page(answer_of(world)))
    assert json_of([answer]) == json_of([answer_of(world)])
    text = text_of(page)
    assert text == text_of(page, 20)
    assert view.outcome.upper() in text.splitlines()[1]
    titles = {blocker.criterion for blocker in (*view.items.blockers, *view.items.against_the_move)}
    for refusal in answer.judgement.refusals:
        if refusal.finding is not None and refusal.finding.verdict != "not shown":
            assert refusal.finding.criterion.id in titles
        if refusal.duty is not None:
            assert refusal.duty.consequence.id in titles
    not_shown = [r for r in answer.judgement.refusals if r.finding is not None and r.finding.verdict == "not shown"]
    assert (view.items.missing is not None) == bool(not_shown)


@given(worlds())
def test_lines_are_no_wider_than_the_terminal(world):
    answer = answer_of(world)
    for page in (page_of(view_of(answer)), dossier_page(answer)):
        for width in (80, 100, 400):
            assert max(len(line.text) for line in lines_of(page, width)) <= min(width, 120)


@given(worlds())
def test_what_is_missing_is_counted_once_for_each_part_and_attribute(world):
    answer = answer_of(world)
    missing = view_of(answer).items.missing
    if missing is None:
        return
    assert missing.findings >= 1
    assert 1 <= missing.readings <= 8 * 3 + 4 + 2
    assert sum(group.count for group in missing.groups) == missing.readings


@given(worlds())
def test_json_holds_every_finding_and_consequence(world):
    answer = answer_of(world)
    form = json.loads(json_of([answer]))
    assert form["format"] == "carknocker-dossier/3"
    assert form["outcome"] == answer.judgement.outcome
    rest = appendix_form(answer, everything=True)
    found = [(one["criterion"], part) for one in (*form["findings"], *rest["findings"]) for part in one["parts"]]
    assert len(found) == len(set(found)) == len(answer.judgement.findings)
    assert len(rest["consequences"]) == len(answer.judgement.firings)
    for finding in (*form["findings"], *rest["findings"]):
        assert set(finding["parts"]) <= {**form["parts"], **rest["parts"]}.keys()
        assert {"criterion", "parts", "verdict", "effect", "measured", "limit"} <= finding.keys()
        assert finding["criterion"] in {**form["rules"], **rest["rules"]}
    for consequence in rest["consequences"]:
        assert consequence["cause"]["fact"]
