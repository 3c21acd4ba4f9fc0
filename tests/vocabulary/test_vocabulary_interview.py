"""What `new` asks: the installed interview, and that a slip in its file is refused at its place."""

from collections import Counter

import pytest

from carknocker.documents import InputRefused
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import Interview, load_interview
from carknocker.vocabulary.interview_reader import read_interview
from carknocker.vocabulary.load import INTERVIEW_FILE, vocabulary_texts
from carknocker.vocabulary.reader import read_vocabulary

TEXT = INTERVIEW_FILE.read_text(encoding="utf-8")


def read(text: str) -> Interview:
    return read_interview(text, "interview.yaml", load_vocabulary())


def test_each_key_is_of_one_question_alone() -> None:
    found = load_interview()
    assert max(Counter(one.key for one in found.questions).values()) == 1
    assert len(found.screens) == 15
    assert [one.key for one in found.questions if one.must] == [
        "mark", "truck_kind", "host", "train", "out", "back", "rides", "from", "to", "miles",
    ]  # fmt: skip


def test_every_description_that_decides_whether_parts_stand_is_asked() -> None:
    vocabulary = load_vocabulary()
    asked = {one.about for one in load_interview().questions}
    for kind in vocabulary.kinds.values():
        for row in kind.stands:
            for conditions in row.only_if:
                assert {(one.kind, one.attribute) for one in conditions} <= asked


def test_one_that_no_screen_names_is_asked_before_the_numbers() -> None:
    text = TEXT.replace("        - {about: truck.equalized, question: equalizers between the axles}\n", "")
    assert text != TEXT
    found = read(text)
    assert len(found.screens) == 16
    (question,) = found.screens[11].asks
    assert (question.about, question.key) == (("truck", "equalized"), "equalized")
    assert found.screens[12].asks[0].entry == "numbers"


def test_a_part_that_nobody_has_heard_of_is_asked_for_without_code() -> None:
    more = """
kinds:
  box warmer:
    section: box_warmers
    positions: listed
    tag_group: running gear
    inside: [truck]
    stands: {in: truck, number: box_warmers, at_least: 1, usually: 4, only_if: {warmed: yes}}
further_attributes:
  truck:
    warmed: {is: yes or no, description: yes}
"""
    vocabulary = read_vocabulary({**vocabulary_texts(), "more.yaml": more})
    found = read_interview(TEXT, "interview.yaml", vocabulary)
    assert ("truck", "warmed") in {one.about for one in found.questions}
    (row,) = vocabulary.kinds["box warmer"].stands
    assert (row.at_least, row.usually) == (1, 4)


@pytest.mark.parametrize(
    ("old", "new", "found", "near"),
    [
        ("about: truck.frame,", "about: truck.fram,", "`truck` has no attribute `fram`", "frame"),
        ("about: truck.frame,", "about: truk.frame,", "the kind `truk`, which there is not", "truck"),
        ("entry: spares,", "entry: spare,", "the entry `spare`", "spares"),
        ("      signed: weighed\n", "", "`gross_weight`, a reading, on a screen that nobody signs", ""),
        ("when: {end_kind: open platform}", "when: {end_kind: open}", "the word for `end_kind` `open`", ""),
        ("when: {end_kind: open platform}", "when: {end: open platform}", "the key of another question `end`", ""),
        ("puts_in: {truck: truck}", "puts_in: {truck: trucks}", "the kind `trucks`, which there is not", "truck"),
        ("key: hand_brake,", "key: water,", "the key `water` a second time", ""),
        (
            "frame: cast side frames\n",
            "frame: cast side frame\n",
            "the word for `frame` `cast side frame`",
            "cast side frames",
        ),
        ("      frame: cast side frames\n", "      frames: arch bar\n", "the key `frames`", "frame"),
        ("entry: mark, question", "question", "a question about nothing, or about two things", ""),
        ("two-axle: 2, three-axle", "two-axle: two, three-axle", "`two`", ""),
    ],
)
def test_a_slip_is_refused_at_its_place(old: str, new: str, found: str, near: str) -> None:
    assert TEXT.count(old) == 1
    with pytest.raises(InputRefused) as refused:
        read(TEXT.replace(old, new))
    assert any((one.found, one.nearest) == (found, near) for one in refused.value.problems), refused.value.problems
    assert all(one.where.file == "interview.yaml" for one in refused.value.problems)
