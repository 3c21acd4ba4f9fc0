"""Which cause may have which consequence."""

from pathlib import Path

import pytest
from rulebook_samples import (
    CARRIES,
    alone,
    consequence_text,
    follows,
    head,
    said,
    vocabulary,
    write,
)

from carknocker.documents import InputRefused
from carknocker.documents.parse_cache import ParseCache
from carknocker.rulebook import load_library

ALLOWED = [
    ("{work: valve replaced}", "voids: {test: single-car brake test}"),
    ("{event: derailment}", "requires: {duty: look}"),
    ("{work: valve replaced}", "restricts: {speed: 40 mph}"),
    ("{event: derailment}", "relieves: {criterion: flange}"),
    ("{event: slid wheels, when: {fact.cause: hand brake left on}}", "relieves: {criterion: flange}"),
    ("{work: wheels turned, when: {plate: curved, move.train: freight}}", "relieves: {criterion: flange}"),
    ("{work: wheels turned, when: {rim_thickness: {over: 1 in}}}", "restricts: {speed: 40 mph}"),
    ("{state: {plate: curved}, of: wheel}", "relieves: {criterion: flange}"),
    ("{state: {cracked: no, move.train: freight}, of: wheel}", "relieves: {criterion: flange}"),
    ("{state: {rim_thickness: {over: 1 in}}, of: wheel}", "restricts: {speed: 40 mph}"),
    ("{state: always, of: wheel}", "requires: {duty: look}"),
    ("{state: always, of: wheel}", "restricts: {speed: 40 mph}"),
    ("{test: single-car brake test}", "relieves: {criterion: flange}"),
    ("{leave: any}", "relieves: {criterion: named}"),
    ("{finding: unmet, of: wheel, effect: refuse}", "carries_up: [car]"),
    ("{finding: [breached, lapses], of: wheel}", "restricts: {speed: 40 mph}"),
    ("{finding: unmet, criterion: flange}", "relieves: {finding: same}"),
    ("{finding: [breached, not shown, void, lapses]}", "relieves: {finding: same}"),
    ("{finding: met, criterion: flange}", "relieves: {criterion: flange}"),
    ("{seen: breached, criterion: flange}", "requires: {test: single-car brake test}"),
    ("{unfit: wheel}", "restricts: {speed: 40 mph}"),
    ("{restricted: speed}", "requires: {duty: tell the crew}"),
    ("{duty: open, consequence: follows}", "carries_up: [car]"),
]
REFUSED = [
    ("{work: valve replaced}", "carries_up: [car]", "`carries_up` from a cause on `work`"),
    ("{event: derailment}", "carries_up: [car]", "`carries_up` from a cause on `event`"),
    ("{state: {plate: curved}, of: wheel}", "carries_up: [car]", "`carries_up` from a cause on `state`"),
    ("{state: always, of: wheel}", "relieves: {criterion: flange}", "`relieves` from `state: always`"),
    ("{state: {plate: curved}, of: wheel}", "voids: {test: single-car brake test}", "`voids` from"),
    ("{state: {rim_thickness: {over: 1 in}}, of: wheel}", "relieves: {criterion: flange}", "which is measured"),
    ("{state: {each: {of: wheel, must: {tread: good}}}, of: truck}", "relieves: {criterion: flange}", "`tread`"),
    ("{state: {single_car_test: {shown: yes}}, of: brake system}", "relieves: {criterion: flange}", "measured"),
    (
        "{work: wheels turned, when: {rim_thickness: {under: 1 in}}}",
        "relieves: {criterion: flange}",
        "the `when` of a cause on `work` that relieves and looks at `rim_thickness`, which is measured",
    ),
    (
        "{event: slid wheels, when: {any: [{plate: curved}, {rim_thickness: {under: 1 in}}]}}",
        "relieves: {criterion: flange}",
        "the `when` of a cause on `event`",
    ),
    (
        "{test: single-car brake test, when: {count_of_vents: {at_least: 1}}}",
        "relieves: {criterion: flange}",
        "the `when` of a cause on `test`",
    ),
    (
        "{leave: any, when: {each: {of: wheel, must: {rim_thickness: {under: 1 in}}}}}",
        "relieves: {criterion: named}",
        "the `when` of a cause on `leave`",
    ),
    (
        "{finding: unmet, criterion: flange, when: {rim_thickness: {under: 1 in}}}",
        "relieves: {finding: same}",
        "the `when` of a cause on `finding`",
    ),
    ("{test: single-car brake test}", "restricts: {speed: 40 mph}", "`restricts` from a cause on `test`"),
    ("{leave: any}", "requires: {duty: look}", "`requires` from a cause on `leave`"),
    ("{finding: unmet, of: wheel}", "voids: {test: single-car brake test}", "`voids` from"),
    ("{finding: unmet, of: wheel}", "carries_up: [car]", "a finding without an effect"),
    ("{finding: met, criterion: flange}", "restricts: {speed: 40 mph}", "from a finding that is met"),
    ("{finding: [lapses], of: wheel}", "restricts: {speed: 40 mph}", "lapses without breached"),
    ("{finding: [borderline, not shown], of: wheel}", "requires: {duty: look}", "without breached"),
    ("{finding: unmet, of: wheel}", "relieves: {criterion: flange}", "by another that is unmet"),
    ("{finding: unmet, of: wheel}", "relieves: {consequence: wheel-carries}", "by another that is unmet"),
    ("{finding: met}", "relieves: {criterion: flange}", "whatever is met"),
    ("{finding: met, criterion: flange}", "relieves: {finding: same}", "a finding that is met"),
    ("{finding: [met, breached], criterion: flange}", "relieves: {finding: same}", "met and unmet"),
    ("{finding: [not shown], criterion: flange}", "relieves: {finding: same}", "only where it is not shown"),
    ("{seen: breached, criterion: flange}", "restricts: {speed: 40 mph}", "`restricts` from a cause on `seen`"),
    ("{unfit: wheel}", "relieves: {criterion: flange}", "`relieves` from a cause on `unfit`"),
    ("{duty: open}", "voids: {test: single-car brake test}", "`voids` from a cause on `duty`"),
]


@pytest.mark.parametrize(("cause", "yields"), ALLOWED)
def test_a_cause_that_the_table_allows(tmp_path: Path, cause: str, yields: str) -> None:
    text = follows(cause, yields) + CARRIES
    assert [line for line in alone(tmp_path, text).splitlines() if "no example" not in line] == []


@pytest.mark.parametrize(("cause", "yields", "words"), REFUSED)
def test_a_cause_that_the_table_does_not_allow(tmp_path: Path, cause: str, yields: str, words: str) -> None:
    text = follows(cause, yields) + CARRIES
    assert words in alone(tmp_path, text)


def test_a_when_of_its_own_or_of_its_chapter_may_not_look_at_a_measured_figure_either(tmp_path: Path) -> None:
    text = consequence_text("cause: {leave: any}\nrelieves: {criterion: named}") + CARRIES
    words = "a `when`, its own or its chapter's, that relieves and looks at `car.gross_weight`, which is measured"
    heavy, freight = "when: {car.gross_weight: {over: 100 lb}}", "when: {move.train: freight, car.platform: open}"
    for name, when, refused in (("figure", heavy, True), ("told", freight, False)):
        own = text.replace("    cause: {leave", f"    {when}\n    cause: {{leave")
        chapter = text.replace("criteria:", f"{when}\ncriteria:", 1)
        assert own != text
        assert (words in alone(tmp_path / f"{name} own", own)) is refused
        assert (words in alone(tmp_path / f"{name} chapter", chapter)) is refused


@pytest.mark.parametrize(("cause", "yields", "words"), REFUSED)
def test_nobody_judges_by_a_cause_that_the_table_does_not_allow(
    tmp_path: Path, cause: str, yields: str, words: str
) -> None:
    write(tmp_path, "law", "1", head("law", "1"), wheels=follows(cause, yields) + CARRIES)
    for _ in range(2):  # what is kept for later runs is not kept unseen
        with pytest.raises(InputRefused) as refused:
            load_library([tmp_path], vocabulary=vocabulary(), cache=ParseCache(tmp_path / "kept")).edition("law", "1")
        assert words in said(refused.value.problems)
