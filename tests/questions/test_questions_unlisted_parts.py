"""What every question makes of parts that must be there and are not on record."""

import re
from datetime import date
from pathlib import Path

import pytest
import yaml

from carknocker.documents import InputRefused
from carknocker.dossier.missing import UnlistedKind
from carknocker.dossier.view import View, view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.index import JudgementIndex
from carknocker.questions.new.places import add_places
from carknocker.questions.plan.ask import plan
from carknocker.questions.plan.page import verdict_words
from carknocker.questions.why.findings import finding_node
from carknocker.record import read_car, read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook.library import Library, load_library, rulesets_folders
from carknocker.whatif.model import Stands
from carknocker.whatif.otherwise import sets_of

CASES = Path(__file__).parents[2] / "cases"
DAY = date(2026, 9, 1)
STRIPPED = (
    "springs", "equalizers", "air_hoses", "reservoirs", "cocks", "jumpers", "safety_appliances", "shock_absorbers",
)  # fmt: skip
NUMBERS = re.compile(
    r"^(bolster_springs|.*equalizer.*s|shock_absorbers|reservoirs|cut_out_cocks|.*_(hoses|handholds|cocks|jumpers))$"
)


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


def stripped(case: str, *, numbers: bool) -> str:
    """The record of a demo car without the parts that nobody had to mention; numbers: of them left on the sheets."""
    record = yaml.load((CASES / case / "car.yaml").read_text(), Loader=yaml.BaseLoader)
    for section in STRIPPED:
        record.pop(section, None)
    for end in record["ends"].values():
        end["end_kind"] = "narrow vestibule"
    for sheet in record["sheets"]:
        readings = sheet["readings"]
        for section in STRIPPED:
            readings.pop(section, None)
        for section, parts in list(readings.items()):
            for part in parts.values() if section in ("ends", "trucks") else (parts,):
                if not numbers:
                    for name in [one for one in part if NUMBERS.fullmatch(one)]:
                        del part[name]
        sheet["readings"] = {
            section: kept
            for section, parts in readings.items()
            if (kept := {one: told for one, told in parts.items() if told != {}})
        }
    record["sheets"] = [sheet for sheet in record["sheets"] if sheet["readings"]]
    return yaml.safe_dump(record, sort_keys=False, allow_unicode=True)


def view(case: str, library: Library, *, numbers: bool) -> tuple[CheckAnswer, View]:
    car = read_car_text(stripped(case, numbers=numbers), "car.yaml")
    answer = check(car, read_move(CASES / case / "move.yaml"), library, DAY)
    return answer, view_of(answer)


def named(found: View) -> dict[str, list[UnlistedKind]]:
    assert found.items.missing is not None
    kinds: dict[str, list[UnlistedKind]] = {}
    for one in found.items.missing.unlisted:
        kinds.setdefault(one.kind, []).append(one)
    return kinds


@pytest.mark.parametrize("numbers", [False, True])
@pytest.mark.parametrize(
    ("case", "kinds"),
    [
        ("larkspur/freight", {"spring", "equalizer", "air hose", "cock", "reservoir", "safety appliance"}),
        (
            "larkspur/passenger",
            {"spring", "equalizer", "air hose", "cock", "reservoir", "safety appliance", "jumper", "shock absorber"},
        ),
    ],
)
def test_a_car_stripped_of_its_parts_is_refused_with_each_kind_named(
    case: str, kinds: set[str], numbers: bool, library: Library
) -> None:
    answer, found = view(case, library, numbers=numbers)
    assert answer.judgement.outcome == "not ready"
    assert kinds <= named(found).keys()


def test_each_kind_in_a_container_is_one_item_with_how_many_rules_ask(library: Library) -> None:
    _, found = view("larkspur/freight", library, numbers=False)
    (springs,) = [one for one in named(found)["spring"] if one.container == "truck B"]
    assert springs.called == ("bolster springs", "equalizer springs")
    assert springs.words == (
        "bolster springs, equalizer springs not on record (7 rules ask); say how many (`bolster_springs`, "
        "`equalizer_springs` under `trucks:` on a dated sheet), and describe them under `springs:`"
    )


def test_where_the_number_is_on_record_the_item_says_how_many_are_missing(library: Library) -> None:
    _, found = view("larkspur/freight", library, numbers=True)
    (springs,) = [one for one in named(found)["spring"] if one.container == "truck B"]
    assert (springs.missing, springs.of) == (6, 6)
    assert springs.words == (
        "6 of 6 bolster springs, equalizer springs are not on record (7 rules ask); list and describe what is missing "
        "under `springs:`"
    )


def test_what_is_not_fitted_stands_under_the_outcome_with_who_says_so(library: Library) -> None:
    case = CASES / "wren-hollow" / "before"
    answer = check(read_car(case / "car.yaml"), read_move(case / "move.yaml"), library, date(2026, 10, 8))
    said = [one.words for one in view_of(answer).first_page if one.sort == "none fitted"]
    assert said == ["No shock absorbers fitted: truck B, A (2026-09-12, RE)"]


BARE = (CASES / "nothing-measured" / "car.yaml").read_text()


def test_the_places_that_are_missing_are_added_as_comments() -> None:
    added = add_places(BARE, "car.yaml")
    assert added.text.startswith(BARE)
    assert all(not line or line.startswith("#") for line in added.text[len(BARE) :].splitlines())
    for line in (
        "#       trucks:\n#         B:\n#           bolster_springs:\n",
        "#   truck B: equalized:\n",
        "#   1: {at: B, spring_place: bolster}\n",
        "# head_end_power:\n#   fitted:\n",
        "# hand_brakes:\n#   B: {}\n",
    ):
        assert line in added.text


def test_a_hose_of_a_truck_is_put_in_its_truck() -> None:
    """`at: B` of a hose is the end."""
    text = BARE.replace("B: {truck_kind", "B: {connections_to_body: [air hose], truck_kind")
    added = add_places(text, "car.yaml").text
    assert "#   7: {at: truck B, hose_kind: truck}\n" in added
    assert "#   1: {at: B, hose_kind: brake pipe}\n" in added


def test_places_are_added_for_what_is_missing_only() -> None:
    text = (CASES / "larkspur" / "freight" / "car.yaml").read_text()
    less = text.replace("  12: {at: A, spring_kind: coil, spring_place: equalizer, springs_in_nest: 2}\n", "")
    assert less != text
    added = add_places(less, "car.yaml")
    assert added.places == 1
    assert added.text[len(less) :].splitlines()[2:] == [
        "# The parts themselves, each in its section:",
        "# springs:",
        "#   12: {at: A, spring_place: equalizer}",
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ((CASES / "larkspur" / "freight" / "car.yaml").read_text(), "a record that lacks no part that must be there"),
        (add_places(BARE, "car.yaml").text, "a record that has the places already"),
    ],
)
def test_places_are_not_added_twice_nor_where_nothing_is_missing(text: str, found: str) -> None:
    with pytest.raises(InputRefused) as refused:
        add_places(text, "car.yaml")
    assert [one.found for one in refused.value.problems] == [found]


def test_places_are_added_with_the_line_ends_of_the_record() -> None:
    text = add_places(BARE.replace("\n", "\r\n"), "car.yaml").text
    assert text.count("\n") == text.count("\r\n")


SPRING = "  12: {at: A, spring_kind: coil, spring_place: equalizer, springs_in_nest: 2}\n"


def answered(text: str, case: str, library: Library) -> CheckAnswer:
    return check(read_car_text(text, "car.yaml"), read_move(CASES / case / "move.yaml"), library, DAY)


def freight(without: str, library: Library) -> CheckAnswer:
    text = (CASES / "larkspur" / "freight" / "car.yaml").read_text()
    less = text.replace(without, "")
    assert less != text
    return answered(less, "larkspur/freight", library)


def test_a_plan_for_a_missing_spring_is_one_look_that_takes_no_time(library: Library) -> None:
    found = plan(freight(SPRING, library))
    assert found.suffices
    assert [(one.sort, one.what, one.where, one.days) for one in found.steps] == [
        ("look", "look and write down: 1 of 4 equalizer springs", "truck A", 0)
    ]
    assert found.ready_on == DAY
    assert found.steps[0].details == ("taken to be: equalizer springs: kind of spring coil, springs in nest 2",)
    assert "if all that is found is good" in verdict_words(found)
    assert not found.jobs


def test_the_ready_day_of_a_plan_without_a_look_holds_without_condition(library: Library) -> None:
    found = plan(
        check(
            read_car(CASES / "larkspur/freight/car.yaml"), read_move(CASES / "larkspur/freight/move.yaml"), library, DAY
        )
    )
    assert found.steps == ()
    assert "if what is found is good" not in verdict_words(found)


def test_a_plan_for_a_stripped_car_looks_once_in_each_container(library: Library) -> None:
    text = stripped("larkspur/freight", numbers=False).replace("narrow vestibule", "wide vestibule")
    found = plan(answered(text, "larkspur/freight", library))
    assert found.suffices
    looks = [one for one in found.steps if one.sort == "look"]
    assert sorted(one.where for one in looks) == ["end A", "end B", "the brake system", "the car", "truck A", "truck B"]
    (springs,) = [one for one in looks if one.where == "truck B"]
    assert springs.what == (
        "look and write down: bolster springs, and how many; equalizer springs, and how many; equalizers, and how many"
        "; shock absorbers, and how many"
    )


def test_a_look_says_what_tells_whether_there_are_such_parts(library: Library) -> None:
    text = stripped("larkspur/freight", numbers=False).replace("narrow vestibule", "wide vestibule")
    less = text.replace("    equalized: 'yes'\n", "")
    assert less != text
    found = plan(answered(less, "larkspur/freight", library))
    assert found.suffices
    (truck,) = [one for one in found.steps if one.sort == "look" and one.where == "truck B"]
    assert truck.details[0] == "first: equalized"


def test_a_spring_that_is_not_on_record_is_taken_to_be_like_those_beside_it(library: Library) -> None:
    """In a passenger train a criterion asks each kind of spring; of a rubber one none says what it must have."""
    text = (CASES / "larkspur" / "passenger" / "car.yaml").read_text()
    found = plan(answered(text.replace(SPRING, ""), "larkspur/passenger", library))
    (look,) = [one for one in found.steps if one.sort == "look"]
    assert look.details == (
        "taken to be: equalizer springs: kind of spring coil, springs in nest 2",
        "equalizer springs of truck A: outer coil or saddle broken: no; compressed solid: no",
    )
    assert not any(job.work == "springs renewed" for job in found.jobs)
    assert found.suffices


def test_why_puts_a_missing_spring_on_record_before_any_work(library: Library) -> None:
    answer = freight(SPRING, library)
    sets = sets_of(answer)
    assert sets.put == (Stands("1 of 4 equalizer springs", ("truck A",)),)
    assert [one.jobs for one in sets.sets] == [()]
    assert sets.beyond == ()


def test_why_a_rule_does_not_hold_of_a_part_that_is_not_on_record(library: Library) -> None:
    """To put it on record is the nearest change, and no value of a part that nobody has seen."""
    answer = freight(SPRING, library)
    index = JudgementIndex(answer.judgement)
    findings = [one for one in answer.judgement.findings if one.part.unlisted is not None and one.unmet]
    assert findings
    for finding in findings:
        lines = [text for label, text in finding_node(finding, index).lines if label == "would pass"]
        assert lines == [
            "put on record, and good: say how many there are (`equalizer_springs`), and describe what is there"
        ]
