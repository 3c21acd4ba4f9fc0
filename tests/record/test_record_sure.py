"""`sure: WHY` beside a value, or on an entry: read, kept with who signs it, and refused without a reason."""

import pytest
from record_samples import CAR, MOVE, changed, move, problems_of

from carknocker.record import read_car_text
from carknocker.record.values import Bound, Figure, Word


def sure_of(old: str, new: str) -> list[tuple[str, str, str, str]]:
    """Of what, attribute, why and by whom: all that the changed record says with `sure`."""
    car = read_car_text(changed(old, new), "car.yaml")
    return [(one.of, one.attribute, one.why, one.by) for one in car.sure]


def test_a_reading_that_is_sure_stands_behind_the_signer_of_its_sheet() -> None:
    text = changed("flange_thickness: 15/16 in,", "flange_thickness: {reads: 15/16 in, sure: read twice},")
    car = read_car_text(text, "car.yaml")
    [one] = car.sure
    assert (one.of, one.attribute, one.why, one.by) == ("wheel W-1 left", "flange_thickness", "read twice", "RE")
    assert isinstance(one.value, Figure)
    [evidence] = [e for e in car.evidence if e.attribute == "flange_thickness" and e.part == "wheel W-1 left"]
    assert evidence.sure == "read twice"
    assert text.splitlines()[one.where.line - 1].strip().startswith("L1: {flange_thickness:")


def test_one_value_of_two_wheels_is_sure_once() -> None:
    text = changed("flange_thickness: 1 in}", "flange_thickness: {at_least: 1 in, sure: read twice}}")
    car = read_car_text(text, "car.yaml")
    assert [isinstance(one.value, Bound) for one in car.sure] == [True]
    assert sum(e.sure == "read twice" for e in car.evidence) == 2


def test_descriptions_and_facts_may_be_sure_too() -> None:
    assert sure_of("built_on: 1927", "built_on: {reads: 1927, sure: plate seen}") == [
        ("car", "built_on", "plate seen", "")
    ]
    assert sure_of("device: D-7", "device: {reads: D-7, sure: tag read twice}") == [
        ("the test `single-car brake test`", "device", "tag read twice", "HM")
    ]


def test_an_entry_is_sure_as_a_whole() -> None:
    assert sure_of("reads_to: 1 psi}", "reads_to: 1 psi, sure: asked the maker}") == [
        ("the gauge P-1", "", "asked the maker", "")
    ]
    [one] = move(MOVE.replace("rides: passengers}", "rides: passengers, sure: a tour of a year}")).sure
    assert (one.of, one.attribute, one.value, one.why) == ("the move", "", None, "a tour of a year")


def test_what_is_sure_changes_no_value() -> None:
    plain = read_car_text(CAR, "car.yaml")
    said = read_car_text(changed("access: walking round\n    readings:\n      wheels:\n        L1: {flange_thickness: "
                                 "15/16 in", "access: walking round\n    readings:\n      wheels:\n        L1: "
                                 "{flange_thickness: {reads: 15/16 in, sure: read twice}"), "car.yaml")  # fmt: skip
    assert [(e.id, e.value) for e in plain.evidence] == [(e.id, e.value) for e in said.evidence]
    assert plain.sure == ()


@pytest.mark.parametrize("why", ["", "yes", "ok", "[a, b]"])
def test_a_reason_is_a_few_words(why: str) -> None:
    found = problems_of(changed("built_on: 1927", f"built_on: {{reads: 1927, sure: {why}}}"))
    assert [problem.expected for problem in found] == ["`sure: WHY`: how it was made sure, in a few words"]
    found = problems_of(changed("reads_to: 1 psi}", f"reads_to: 1 psi, sure: {why or '~'}}}"))
    assert [problem.expected for problem in found] == (
        ["`sure: WHY`: how it was made sure, in a few words"] if why else []
    )


def test_sure_goes_with_every_form_of_a_value() -> None:
    words = "{opinion: sound, says: no crack seen, sure: looked at twice}"
    text = changed(
        "  all: {coupler_type: type H}", "  all: {coupler_type: {reads: type H, sure: casting read}}"
    ).replace(
        "      underframe: {body_camber: -1/4 in}",
        "      underframe: {body_camber: -1/4 in}\n      couplers: {B: {body_condition: " + words + "}}\n"
        "      brake_system: {brake_pipe_leakage: {before: 90 psi, after: 89 psi, minutes: 1, sure: read twice}}",
    )
    car = read_car_text(text, "car.yaml")
    assert [one.why for one in car.sure] == ["casting read", "looked at twice", "read twice"]
    assert car.sure[0].value == Word("type H")
