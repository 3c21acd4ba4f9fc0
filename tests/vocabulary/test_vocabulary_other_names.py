"""The nearest right word for the slips that owners make: trade slang, plurals, British spelling, denials.

Expected words were chosen by judgement, row by row: what would a person have to write who means this? "" where only a
guess could be given.
"""

import pytest

from carknocker.documents import ProblemList, nearest
from carknocker.documents.suggestions import denies
from carknocker.quantities import QuantityError
from carknocker.record.value_reader import value_of
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.load import OTHER_NAMES_FILE
from carknocker.vocabulary.other_names import (
    names_of_attributes,
    names_of_entries,
    names_of_sections,
    other_names,
    read_other_names,
)

WORDS = [
    # denials
    ("coupler.body_condition", "no crack", "sound"),
    ("coupler.body_condition", "uncracked", "sound"),
    ("coupler.body_condition", "not cracked", "sound"),
    ("coupler.body_condition", "not worn", ""),
    ("coupler.body_condition", "unworn", ""),
    ("coupler.body_condition", "non-cracked", "sound"),
    ("bearing.heat_label", "not turned", "intact"),
    ("bearing.heat_label", "unturned", "intact"),
    ("bearing.heat_label", "no label", "none"),
    ("bearing.seal", "not wet", "dry"),
    ("bearing.class", "unsealed roller", ""),
    ("air hose.condition", "not split", ""),
    ("air hose.condition", "without chafing", ""),
    ("wheel.thermal_crack", "none", "no"),
    ("wheel.thermal_crack", "never", "no"),
    ("wheel.thermal_crack", "no thermal crack", "no"),
    ("wheel.thermal_crack", "not seen", ""),
    ("reservoir.secure", "not loose", ""),
    ("reservoir.secure", "insecure", ""),
    ("rear marker.lit", "not lit", "no"),
    ("rear marker.lit", "unlit", ""),
    ("body.vestibule_steps_lit", "unlit", "not lit"),
    ("body.glazing_class", "uncertified", "not certified"),
    ("body.glazing_class", "certifed", "certified"),
    ("body.glazing_class", "not certifed", "not certified"),
    ("electrical.load_switches", "uncovered", "not covered"),
    ("electrical.load_switches", "coverd", "covered"),
    ("electrical.switches_not_for_load", "unmarked", "not marked"),
    ("brake system.release_mode", "indirect", ""),
    ("end.end_kind", "no vestibule", ""),
    ("side bearing.side_bearing_kind", "not spring", ""),
    # opposites that are spelt nearly alike
    ("hand brake.hand_brake_place", "inside car", "inside the car"),
    ("hand brake.hand_brake_place", "in side the car", "inside the car"),
    ("hand brake.hand_brake_place", "outside of car", "outside the car"),
    ("cock.position", "unclosed", ""),
    ("cock.position", "opened", "open"),
    # what is well is near to no fault
    ("bearing.wedge", "in place", ""),
    ("bearing.rotation", "right", ""),
    ("coupler.body_condition", "marked", ""),
    ("coupler.body_condition", "locked", ""),
    ("coupler.body_condition", "works", ""),
    ("coupler.body_condition", "craked", "cracked"),
    ("coupler.body_condition", "crackd", "cracked"),
    ("center plate.condition", "closed", ""),
    # trade slang
    ("bearing.class", "sealed roller", "sealed tapered cartridge"),
    ("bearing.class", "NFL", "sealed tapered cartridge"),
    ("bearing.class", "friction bearing", "plain"),
    ("bearing.class", "greased rollers", "grease-lubricated roller"),
    ("truck.truck_kind", "six-wheel", "three-axle"),
    ("truck.frame", "archbar", "arch bar"),
    ("coupler.coupler_type", "tight lock", "type H"),
    ("end.end_kind", "blind end", "no platform"),
    ("safety appliance.appliance_kind", "side grab irons", "side handhold"),
    ("spring.spring_kind", "leaf", "elliptic"),
    ("brake shoe.material", "composite", "composition"),
    ("air hose.hose_kind", "trainline", "brake pipe"),
    ("cock.position", "shut", "closed"),
    ("underframe.side_sill_condition", "rusted through", "corroded through"),
    ("move.rides", "empty", "nobody"),
    # British
    ("wheel.wear_kind", "tyred", "tired"),
    ("truck.held_to_body_by", "locking centre pin", "locking center pin"),
    ("brake cylinder.mounting", "bogie", "truck"),
]  # fmt: skip

ATTRIBUTES = [
    ("wheel", "tyre thickness", "tire_thickness"),
    ("wheel", "flats", "flat_spot_length"),
    ("wheel", "flange", "flange_thickness"),
    ("truck", "equalised", "equalized"),
    ("truck", "unequalized", ""),
    ("axle position", "unbraked", ""),
    ("brake system", "not_cut_out", ""),
    ("head-end power", "unfitted", ""),
    ("coupler", "non_tight_lock", ""),
    ("bearing", "endplay", "end_play"),
    ("brake cylinder", "travel", "piston_travel"),
    ("car", "tare", "light_weight"),
    ("car", "bogie centres", "truck_centers"),
    ("coupler", "guard arm to knuckle nose", "knuckle_to_guard_arm"),
]

NAMES = [
    ("SCT", "single-car brake test"),
    ("COT&S", "brake maintenance done"),
    ("wheels trued", "wheels turned"),
    ("hotbox", "hot bearing"),
    ("wheels slid", "slid wheels"),
]


@pytest.mark.parametrize(("path", "written", "expected"), WORDS)
def test_the_nearest_word_of_a_choice(path: str, written: str, expected: str) -> None:
    kind, _, name = path.rpartition(".")
    with pytest.raises(QuantityError) as refused:
        value_of(written, load_vocabulary().kinds[kind].attributes[name])
    assert refused.value.nearest == expected


@pytest.mark.parametrize(
    ("written", "bad"),
    [
        ("in place", "out of place"), ("fine", "failed"), ("fair", "failed"), ("sealed", "failed"),
        ("fitted", "failed"), ("works", "worn"), ("right", "rough"), ("clean", "leaking"), ("clean", "leak"),
        ("locked", "cracked"), ("marked", "cracked"), ("solid", "split"), ("smooth", "soft"),
        ("uncracked", "scratched"), ("closed", "loose"), ("lit", "split"), ("unlit", "split"), ("secure", "scored"),
        ("loose", "closed"), ("dirty", "dry"), ("failed", "fitted"), ("rough", "right"),
    ],
)  # fmt: skip
def test_praise_is_never_near_to_bad_news_nor_bad_news_to_praise(written: str, bad: str) -> None:
    assert nearest(written, [bad]) == ""
    assert nearest(bad, [bad]) == bad


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("cleen", "clean"), ("smoth", "smooth"), ("rigth", "right"), ("closd", "closed"),
        ("craked", "cracked"), ("worm", "worn"), ("leeking", "leaking"),
    ],
)  # fmt: skip
def test_a_slip_of_the_pen_in_praise_or_bad_news_is_still_found(written: str, right: str) -> None:
    assert nearest(written, [right]) == right


@pytest.mark.parametrize(("kind", "written", "expected"), ATTRIBUTES)
def test_the_nearest_attribute(kind: str, written: str, expected: str) -> None:
    known = load_vocabulary().kinds[kind]
    assert nearest(written, known.attributes, names_of_attributes(known)) == expected


@pytest.mark.parametrize(("written", "expected"), NAMES)
def test_the_nearest_job_or_test(written: str, expected: str) -> None:
    vocabulary = load_vocabulary()
    known = [*vocabulary.tests, *vocabulary.work, *vocabulary.events]
    assert nearest(written, known, names_of_entries()) == expected


@pytest.mark.parametrize(
    ("written", "expected"), [("bogies", "trucks"), ("hoses", "air_hoses"), ("marker lamp", "rear_marker")]
)
def test_a_section_is_found_by_the_names_of_its_parts(written: str, expected: str) -> None:
    kinds = load_vocabulary().kinds
    sections = [kind.section for kind in kinds.values()]
    assert nearest(written, sections, names_of_sections(kinds)) == expected


def test_no_other_name_is_a_word_to_write_of_the_same_choice() -> None:
    """A name that is a right word of the choice would never be asked for, or would say another thing there."""
    known = other_names()
    for path, words in known.choices.items():
        kind, _, name = path.rpartition(".")
        allowed = load_vocabulary().kinds[kind].attributes[name].one_of
        for names in words.values():
            assert not set(allowed).intersection(names), path


def test_no_name_is_given_to_two_words_of_one_choice() -> None:
    for path, words in other_names().choices.items():
        names = [name.lower() for own in words.values() for name in own]
        assert len(names) == len(set(names)), path


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("unbraked", "braked", True),
        ("underframe", "frame", False),
        ("not lit", "lit", True),
        ("not lit", "not lit", False),
        ("uncoupling lever", "uncoupling_lever_works", False),
        ("inside", "outside", True),
        ("largest wheel", "smallest_wheel_diameter", True),
        ("largest wheel", "largest_wheel_diameter", False),
        ("on", "off", True),
        ("in place", "out of place", True),
        ("out of reach", "out of reach", False),
        ("cut out", "cut_out", False),
        ("uncracked", "scratched", True),
        ("unlit", "split", True),
        ("underframes", "frame", False),
    ],
)
def test_what_denies_what(one: str, other: str, expected: bool) -> None:
    assert denies(one, other) is expected


def test_another_name_of_what_there_is_not_is_refused_with_its_line() -> None:
    text = (
        "words: {sond: [ok]}\nchoices: {wheel.wear_kin: {red: [x]}}\n"
        "attributes: {wheel: {rim_thicknes: [f]}}\nkinds: {trucks: [b]}\n"
    )
    problems = ProblemList()
    read_other_names(text, OTHER_NAMES_FILE.name, load_vocabulary(), problems)
    assert [(one.where.line, one.nearest) for one in problems.problems] == [
        (1, "sound"), (2, "wheel.wear_kind"), (3, "rim_thickness"), (4, "truck"),
    ]  # fmt: skip
