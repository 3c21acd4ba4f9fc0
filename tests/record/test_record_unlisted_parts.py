"""Parts that must be there: what the numbers of a record make of those it does not list, and what it refuses."""

from datetime import date

import pytest
from record_samples import CAR, car, changed, problems_of

from carknocker.record import stand
from carknocker.record.model import Part, Unlisted

SPRINGS = """springs:
  1: {at: B, spring_kind: coil, spring_place: bolster}
  2: {at: B, spring_kind: coil, spring_place: bolster}
  3: {at: B, spring_kind: coil}
"""
SHEET = """sheets:
  - {on: 2026-05-01, by: RE, readings: {trucks: {B: {bolster_springs: 3}}}}
"""
DAY = date(2026, 11, 1)


def record(number: str = "bolster_springs: 3", truck: str = "truck_kind: two-axle", springs: str = SPRINGS) -> str:
    """The record of the samples with three springs in truck B, two of them surely under the bolster."""
    text = changed("springs:\n  1: {at: B, spring_kind: coil}\n  2: {at: A, spring_kind: elliptic}\n", springs)
    text = changed("B: {truck_kind: two-axle, axles", f"B: {{{truck}, axles", text)
    return changed("sheets:\n", SHEET.replace("bolster_springs: 3", number), text) if number else text


def unlisted(text: str, day: date = DAY) -> dict[str, Part]:
    found = stand(car(text), None, day).parts.values()
    return {part.label: part for part in found if part.unlisted is not None}


def test_as_many_are_unlisted_as_are_missing_to_the_number() -> None:
    part = unlisted(record())["unlisted bolster springs of truck B"]
    assert part.unlisted == Unlisted("bolster springs", "bolster_springs", 1, 3)
    assert (part.kind, part.container, part.fitted, part.position) == ("spring", "truck B", True, "")


def test_nothing_is_unlisted_where_the_number_is_the_number_listed() -> None:
    assert "unlisted bolster springs of truck B" not in unlisted(record("bolster_springs: 2"))


def test_without_a_number_nobody_knows_how_many_are_unlisted() -> None:
    part = unlisted(record(""))["unlisted bolster springs of truck B"]
    assert part.unlisted == Unlisted("bolster springs", "bolster_springs", None)


def test_a_number_of_a_later_day_says_nothing_yet() -> None:
    label = "unlisted bolster springs of truck B"
    assert unlisted(record(), date(2026, 4, 30))[label].unlisted == Unlisted("bolster springs", "bolster_springs", None)
    assert unlisted(record(), date(2026, 5, 1))[label].unlisted == Unlisted("bolster springs", "bolster_springs", 1, 3)


def test_none_fitted_closes_a_list_that_may_be_empty() -> None:
    label = "unlisted shock absorbers of truck B"
    assert label in unlisted(record())
    assert label not in unlisted(record("bolster_springs: 3, shock_absorbers: none fitted"))
    assert label in unlisted(record("bolster_springs: 3, shock_absorbers: 1"))


@pytest.mark.parametrize(
    ("truck", "there"),
    [("equalized: yes", True), ("frame: built-up", True), ("equalized: no", False)],
)
def test_parts_stand_where_the_description_says_so_or_leaves_it_open(truck: str, there: bool) -> None:
    found = unlisted(record(truck=f"truck_kind: two-axle, {truck}"))
    assert ("unlisted equalizers of truck B" in found) is there


def test_what_leaves_it_open_is_named() -> None:
    part = unlisted(record())["unlisted equalizers of truck B"].unlisted
    assert part is not None
    assert part.undecided == (("truck B", "equalized"),)


def test_a_number_does_not_close_the_list_while_nobody_knows_whether_there_are_any() -> None:
    part = unlisted(record("bolster_springs: 3, equalizers: 2"))["unlisted equalizers of truck B"].unlisted
    assert part is not None
    assert (part.missing, part.stated) == (None, 2)


def test_a_part_of_which_there_is_one_at_most_is_known_by_its_place() -> None:
    found = unlisted(changed("hand_brakes:\n  B: {hand_brake_kind: geared wheel}\n", "", CAR))
    assert found["hand brake B"].key == "hand brake B"
    assert found["head-end power"].key == "head-end power"


def test_a_whole_list_by_its_marks_of_one_description() -> None:
    """What is not known of a listed part does not make it one of the row."""
    text = changed("3: {at: B, spring_kind: coil}", "3: {at: B, spring_kind: coil, spring_place: bolster}", record())
    assert "unlisted bolster springs of truck B" not in unlisted(text)


def test_more_listed_than_there_are_is_refused_at_the_part_with_the_line_of_the_number() -> None:
    problems = problems_of(record("bolster_springs: {reads: 1, sure: counted twice}"))
    assert [one.found for one in problems] == [
        "spring 2: the record lists 2 bolster springs of truck B, and `bolster_springs: 1` stands in line 30"
    ]
    assert problems[0].where.line == 17


@pytest.mark.parametrize(
    ("number", "sound"), [("1", False), ("{reads: 1, sure: seen from the pit}", True), ("2", True)]
)
def test_fewer_than_every_car_has_is_refused_unless_sure(number: str, sound: bool) -> None:
    problems = problems_of(record(f"bolster_springs: {number}", springs=""))
    assert (not problems) is sound
    if problems:
        assert problems[0].found == "`bolster_springs: 1` of truck B"
        assert problems[0].expected == "at least 2: every such car has them"


@pytest.mark.parametrize(("kind", "sound"), [("two-axle", True), ("three-axle", False)])
def test_the_fewest_follow_the_kind_of_truck(kind: str, sound: bool) -> None:
    assert (not problems_of(record(truck=f"truck_kind: {kind}"))) is sound


def test_none_fitted_is_refused_where_every_car_has_some_however_sure() -> None:
    text = record("bolster_springs: {reads: none fitted, sure: I looked}", springs="")
    assert [one.found for one in problems_of(text)] == ["`bolster_springs: none fitted` of truck B"]


def test_nought_has_one_spelling() -> None:
    (problem,) = problems_of(record("shock_absorbers: 0"))
    assert (problem.found, problem.nearest) == ("`0` for `shock_absorbers`", "none fitted")


def test_parts_are_refused_where_there_can_be_none() -> None:
    listed = changed(
        "brake_system: {",
        "equalizers: {1: {at: B}}\nbrake_system: {",
        record(truck="truck_kind: two-axle, equalized: no"),
    )
    (problem,) = problems_of(listed)
    assert problem.found.startswith("equalizer 1 at truck B, where `equalized: no` (line ")
    (problem,) = problems_of(record("equalizers: 2", truck="truck_kind: two-axle, equalized: no"))
    assert problem.found.startswith("`equalizers: 2` of truck B, where `equalized: no` (line ")


def test_fewer_appliances_than_the_law_asks_for_are_bad_news_and_no_slip() -> None:
    text = changed(
        "sheets:\n", "sheets:\n  - {on: 2026-05-01, by: RE, readings: {ends: {B: {end_handholds: none fitted}}}}\n", CAR
    )
    assert not problems_of(text)
    assert "unlisted end handholds of end B" not in unlisted(text)
    assert "unlisted end handholds of end A" in unlisted(text)


LEAVE = """leaves:
  - {id: V-7, host: Acme & Inland, criterion: c, of: OF, at: AT, from: 2026-10-01, until: 2026-12-01, for: move,
     signed_by: M. Ouzel, signed_on: 2026-09-30, paper: letter 8}
"""


def leave(of: str, at: str) -> str:
    text = record("")
    begin = text.index("leaves:\n")
    end = next((i for i in range(begin + 8, len(text)) if text[i - 1] == "\n" and text[i] not in " -"), len(text))
    return text[:begin] + LEAVE.replace("OF", of).replace("AT", at) + text[end:]


@pytest.mark.parametrize("at", ["B", "truck B"])
def test_a_leave_names_parts_that_are_not_on_record_by_their_container(at: str) -> None:
    told = leave("spring", at)
    (found,) = car(told).leaves
    own = {part.key for part in unlisted(told).values() if part.kind == "spring" and part.container == "truck B"}
    assert own
    assert own <= set(found.at)
    assert all(key.endswith(" of truck B") for key in found.at)


def test_a_leave_names_a_part_that_is_listed_by_its_own_name() -> None:
    (found,) = car(leave("spring", "1")).leaves
    assert found.at == ("spring 1",)


def test_a_leave_for_springs_of_something_else_is_refused() -> None:
    (problem,) = problems_of(leave("spring", "BX"))
    assert problem.found == "the spring `BX`, which the car has not got"


def test_where_the_main_reservoir_line_is_fitted_each_end_has_its_hose() -> None:
    text = changed(
        "sheets:\n",
        "sheets:\n  - {on: 2026-05-01, by: RE, readings: {ends: {B: {main_reservoir_hoses: none fitted}}}}\n",
    )
    assert problems_of(text) == ()  # nothing says whether there is such a line: the hose stays asked for
    line = changed("brake_system: {", "brake_system: {main_reservoir_line: yes, ", text)
    (problem,) = problems_of(line)
    assert problem.expected == "at least 1: every such car has them"
    assert problems_of(line.replace("main_reservoir_line: yes", "main_reservoir_line: no")) == ()


def cylinders(braked: str) -> str:
    """A record that says that it has no brake cylinders. braked: what it says of its axles."""
    text = changed(
        "sheets:\n", "sheets:\n  - {on: 2026-05-01, by: RE, readings: {car: {brake_cylinders: none fitted}}}\n"
    )
    return changed("couplers:\n", f"axle_positions: {{{braked}}}\ncouplers:\n", text) if braked else text


def test_a_car_without_a_braked_axle_may_say_that_it_has_no_brake_cylinders() -> None:
    assert "unlisted brake cylinders" not in unlisted(cylinders("all: {braked: no}"))


@pytest.mark.parametrize("braked", ["all: {braked: yes}", "1: {braked: no}, 2: {braked: yes}"])
def test_a_braked_car_has_brake_cylinders(braked: str) -> None:
    (problem,) = problems_of(cylinders(braked))
    assert problem.found == "`brake_cylinders: none fitted` of the car"


@pytest.mark.parametrize("braked", ["", "1: {braked: no}"])
def test_where_nobody_says_which_axles_are_braked_brake_cylinders_stand(braked: str) -> None:
    """Else leaving that out would take the cylinders away."""
    part = unlisted(cylinders(braked))["unlisted brake cylinders"]
    assert part.unlisted is not None
    assert ("axle position 4", "braked") in part.unlisted.undecided
