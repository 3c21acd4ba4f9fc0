"""Where a value is written, and the words that may stand there. Expected texts are typed from the vocabulary."""

import pytest

from carknocker.vocabulary import load_vocabulary
from carknocker.wording.places_to_write import Wanted, entry_of_spare, entry_of_test, lines_to_write, place_to_write


def wanted(*paths: str) -> list[Wanted]:
    found = []
    for path in paths:
        kind, _, name = path.partition(".")
        found.append(Wanted(kind, load_vocabulary().kinds[kind].attributes[name]))
    return found


@pytest.mark.parametrize(
    ("path", "place"),
    [
        ("coupler.coupler_height", "under `couplers:` on a dated sheet"),
        ("coupler.coupler_type", "under `couplers:`"),
        ("train.speed", "under `train:` in the move file"),
        ("leg.track_class", "under `legs:` in the move file"),
        ("brake system.single_car_test", "under `tests:`"),
        ("car.liability_insurance", "under `papers:`"),
    ],
)
def test_where_a_value_is_written(path: str, place: str) -> None:
    (one,) = wanted(path)
    assert place_to_write(one.kind, one.attribute) == place


def test_readings_and_descriptions_are_two_sentences_with_keys_and_words() -> None:
    assert lines_to_write(wanted("coupler.knuckle_condition", "coupler.tight_lock", "coupler.coupler_height")) == (
        "Write under `couplers:` on a dated sheet: `knuckle_condition` (sound, worn, cracked, broken), "
        "`coupler_height`",
        "Write under `couplers:`: `tight_lock` (yes, no)",
    )


def test_a_number_of_parts_says_that_none_fitted_may_be_written() -> None:
    (line,) = lines_to_write(wanted("truck.shock_absorbers"))
    assert line == "Write under `trucks:` on a dated sheet: `shock_absorbers` (a number, none fitted)"


def test_a_long_list_is_cut_and_names_the_command_that_shows_the_rest() -> None:
    kind = load_vocabulary().kinds["side bearing"]
    every = [Wanted("side bearing", one) for one in kind.attributes.values() if not one.description and not one.derived]
    many = [*every, *(Wanted("side bearing", one) for one in load_vocabulary().kinds["wheel"].attributes.values())]
    (line, *_) = lines_to_write(many)
    assert len(line) < 220
    assert "`clearance`" in line
    assert line.endswith("more: `carknocker words 'side bearing'`")
    shown = line.count("`") // 2 - 2  # less the section and the command
    more = int(line.rpartition(" and ")[2].partition(" more")[0])
    readings = [one for one in many if not one.attribute.description and one.attribute.type not in ("test", "paper")]
    assert shown + more == len({one.attribute.name for one in readings})


def test_tests_and_spares_say_the_whole_entry() -> None:
    assert entry_of_test("hand brake test") == (
        "under `tests:` `{test: hand brake test, at: …, on: …, by: …, result: passed}`"
    )
    assert entry_of_test("single-car brake test") == (
        "under `tests:` `{test: single-car brake test, on: …, by: …, result: passed}`"
    )
    assert entry_of_spare("service portion") == (
        "under `spares:` `{spare: service portion, carried: 1, control_valve: …}`"
    )
    assert entry_of_spare("wheelset") == "under `wheelsets:` `{where: carried, …}`"
