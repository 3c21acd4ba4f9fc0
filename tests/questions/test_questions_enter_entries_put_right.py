"""A test, a job or a paper that was written down wrongly is put right by a form, or taken out; the record says what
stood there."""

import pytest
import repair_samples as samples
from test_questions_enter_corrections import MEDIA
from test_questions_enter_parts import found, put

from carknocker.dossier.first_page import first_page_of
from carknocker.forms import form_of
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.enter.ask import enter
from carknocker.record import read_car_text
from carknocker.record.value_words import value_words

TESTS = """tests:
  - {test: axle crack test, on: 2030-04-20, by: RE, result: failed, at: [1]}   # as the shop wrote
  - test: axle crack test
    on: 2030-04-21
    by: RE
    result: passed
    at: [3]
"""
SIGNED = {"by": "RE", "on": "2030-04-25", "why": "copied from another line"}
RESULT = {"of": "test axle crack test", "reading": "result", "read_on": "2030-04-20", "said": "failed", "is": "passed"}
KNOWN = "every reading of the sheet is on record already, of the same day"


def slipped():
    return samples.car_text().replace("tests: []\n", TESTS)


def boxes(**said):
    return tuple(("correction 1", key, typed) for key, typed in {**RESULT, **SIGNED, **said}.items() if typed)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    return samples.yard_in(tmp_path_factory.mktemp("yard"))


@pytest.mark.parametrize("medium", MEDIA)
def test_a_result_is_put_right_in_its_place_by_every_medium_and_both_are_named(yard, medium):
    before = slipped()
    form = form_of(samples.answer(yard, before))
    values = {("correction 1", key): typed for key, typed in {**RESULT, **SIGNED}.items()}
    entered = enter(before, "car.yaml", *medium(form, values))
    assert "{test: axle crack test, on: 2030-04-20, by: RE, result: passed, at: [1]}   # as the shop" in entered.text
    record = read_car_text(entered.text, "car.yaml")
    results = {one.on.isoformat(): value_words(one.value) for one in record.evidence if one.attribute == "ndt"}
    assert results == {"2030-04-20": "passed", "2030-04-21": "passed"}
    [told] = [
        one.words
        for one in first_page_of(JudgementIndex(samples.answer(yard, entered.text).judgement))
        if one.sort == "correction"
    ]
    assert told == (
        "Put right: result of test axle crack test of 2030-04-20: passed, not failed, says R. Example (owner) on "
        "2030-04-25: copied from another line"
    )


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ({"reading": "done on", "said": "2030-04-20", "is": "2030-04-19"}, "on: 2030-04-19, by: RE, result: failed"),
        ({"reading": "where", "said": "1", "is": "1, 2"}, "result: failed, at: [1, 2]}"),
        ({"of": "paper liability insurance", "read_on": "", "reading": "holds until", "said": "2030-12-31",
          "is": "2031-12-31"}, "{paper: liability insurance, from: 2030-01-01, until: 2031-12-31}"),
        ({"of": "move made", "read_on": "2029-08-01", "reading": "miles", "said": "10,000", "is": "1,000"},
         "to: 2029-08-30, miles: \"1,000 mi\", host: Test Yard}"),
        ({"of": "TEST axle crack test".lower(), "read_on": "2030-04-21", "reading": "result", "said": "passed",
          "is": "failed"}, "    on: 2030-04-21\n    by: RE\n    result: failed\n"),
    ],
)  # fmt: skip
def test_what_else_an_entry_says_is_put_right_and_the_same_form_again_is_known(said, line):
    entered = put(*boxes(**said), record=slipped())
    assert line in entered.text
    assert len(read_car_text(entered.text, "car.yaml").corrections) == 1
    assert [one.rpartition(": ")[2] for one in found(*boxes(**said), record=entered.text)] == [KNOWN]


@pytest.mark.parametrize("of", ["job J-1", "job oil or grease added", "job J-1 of 2030-03-01"])
def test_a_job_is_named_by_its_id_or_by_what_it_was(of):
    said = {"of": of, "read_on": "", "reading": "where", "said": "L4", "is": "R4"}
    record = read_car_text(put(*boxes(**said), record=slipped()).text, "car.yaml")
    assert [one.at for one in record.work if one.id == "J-1"] == [("bearing W-4 right",)]
    assert [one.of for one in record.corrections] == ["job J-1 of 2030-03-01"]
    said = {"of": of, "read_on": "", "reading": "by whom", "said": "nothing", "is": "RE"}
    record = read_car_text(put(*boxes(**said), record=slipped()).text, "car.yaml")
    assert [one.by.name for one in record.work if one.id == "J-1"] == ["RE"]
    assert [(one.said, one.now) for one in record.corrections] == [("nothing", "RE")]


def test_an_entry_that_never_was_is_taken_out_and_stays_as_a_comment():
    said = {"reading": "entry", "said": "axle crack test", "is": "never was"}
    entered = put(*boxes(**said), record=slipped())
    assert "#   - {test: axle crack test, on: 2030-04-20, by: RE, result: failed, at: [1]}   # as the shop" in (
        entered.text
    )
    record = read_car_text(entered.text, "car.yaml")
    assert [one.on.isoformat() for one in record.evidence if one.attribute == "ndt"] == ["2030-04-21"]
    assert [(one.attribute, one.now) for one in record.corrections] == [("entry", "never was")]
    assert [one.rpartition(": ")[2] for one in found(*boxes(**said), record=entered.text)] == [KNOWN]


def test_the_only_entry_of_a_list_goes_with_its_list():
    said = {"of": "job J-1", "read_on": "", "reading": "entry", "said": "oil or grease added", "is": "never was"}
    entered = put(*boxes(**said), record=slipped())
    assert "# work:\n#   - {id: J-1" in entered.text
    assert [one for one in read_car_text(entered.text, "car.yaml").work if not one.event] == []


@pytest.mark.parametrize(
    ("said", "box", "words"),
    [
        ({"of": "test wheel crack test"}, "of", "`test wheel crack test`, which is not on record"),
        ({"read_on": "2030-04-19"}, "of", "`test axle crack test`, which is not on record"),
        ({"said": "passed"}, "said", "`passed`"),
        ({"read_on": "", "reading": "by whom", "said": "RE", "is": "HM"}, "of", "of which there are several"),
        ({"reading": "colour"}, "reading", "`colour` of a test"),
        ({"is": "perhaps"}, "is", "`perhaps`"),
        ({"reading": "entry", "said": "axle crack test", "is": "gone"}, "is", "`gone`"),
        ({"reading": "done on", "said": "2030-04-20", "is": "20.4.2030"}, "is", "`20.4.2030`"),
        ({"by": "XX"}, "by", "the person `XX`, which is not known"),
        ({"why": "ok"}, "why", "`why: ok`"),
    ],
)
def test_what_can_not_be_put_right_is_refused_at_its_box(said, box, words):
    told = found(*boxes(**said), record=slipped())
    assert len(told) == 1
    assert told[0].startswith(f"sheet “Sheet 1”, {box}, 1: ")
    assert words in told[0]


def test_what_somebody_signed_whom_a_host_accepts_is_put_right_by_him_alone_or_by_his_like():
    text = slipped().replace("on: 2030-04-20, by: RE, result", "on: 2030-04-20, by: HM, result")
    [told] = found(*boxes(), record=text)
    assert "what HM signed, put right by RE, whom Test Yard does not accept on that day" in told
    assert put(*boxes(by="HM"), record=text)
