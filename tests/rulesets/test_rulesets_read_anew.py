"""What was read of a part before it was repaired or renewed does not count for what is there now."""

import pytest
from work_records import due, fired, judged, void

from carknocker.rulebook import load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

TRADE = "trade-practice/"
APPLIED = "brake application and release @ truck A"

NO_READING_OF_A_PART = {
    "bearing inspected by a shop": "an inspection, and no work",
    "body repaired": "the record does not say what of the body",
    "water system work": "nobody asks about water",
}
"""Work that makes no reading void in any train, with the reason."""


def test_every_kind_of_work_makes_void_what_it_touches_or_calls_for_a_test() -> None:
    library = load_library(rulesets_folders())
    editions = [
        library.edition(ruleset, head.name)
        for ruleset in ("trade-practice", "us-federal")
        for head in library.heads[ruleset]
    ]
    answered = {
        name
        for edition in editions
        for consequence in edition.consequences
        for cause in consequence.causes
        if cause.sort == "work"
        for name in cause.names
    }
    assert set(load_vocabulary().work) - answered == set(NO_READING_OF_A_PART)


@pytest.mark.parametrize(
    ("entry", "rule", "gone"),
    [
        ("did: truck frame repaired, at: A", "frame-repair-voids-frame", "frame_condition @ truck A"),
        ("did: bolster repaired, at: A", "bolster-repair-voids-bolster", "hangers_and_pins @ bolster A"),
        ("did: equalizers changed, at: A", "equalizer-change-voids-equalizer", "condition @ equalizer 3"),
        ("did: shock absorber renewed, at: '3'", "shock-absorber-renewal-voids-shock-absorber",
         "broken @ shock absorber 3"),
        ("did: box or adapter renewed, at: L3", "box-renewal-voids-box", "cracked @ box L3"),
        ("did: seal renewed, at: L3", "seal-renewal-voids-seal", "seal @ bearing K-103 left"),
        ("did: cap screws or locks renewed, at: L3", "cap-screw-renewal-voids-cap-screws",
         "cap_screw_locks_defective @ bearing K-103 left"),
        ("did: heat label renewed, at: L3", "label-renewal-voids-label", "heat_label @ bearing K-103 left"),
        ("did: coupler height adjusted, at: A", "coupler-height-adjustment-voids-height", "coupler_height @ coupler A"),
        ("did: uncoupling lever repaired, at: A", "lever-repair-voids-lever", "lever_on_left_side @ coupler A"),
        ("did: buffer or diaphragm repaired, at: A", "buffer-repair-voids-buffer", "buffer_plate_in_place @ buffer A"),
        ("did: rear marker repaired", "marker-repair-voids-marker", "lit @ rear marker"),
        ("did: piston travel adjusted, at: '1'", "travel-adjustment-voids-travel", "piston_travel @ brake cylinder 1"),
        ("did: brake reservoir renewed, at: '1'", "reservoir-work-voids-reservoir", "secure @ reservoir 1"),
        ("did: hose renewed, at: '1'", "hose-renewal-voids-hose", "condition @ air hose 1"),
        ("did: hose gasket renewed, at: '1'", "gasket-renewal-voids-gasket", "gasket @ air hose 1"),
        ("did: cock renewed, at: '1'", "cock-renewal-voids-cock", "works @ cock 1"),
        ("did: hand brake repaired, at: B", "hand-brake-repair-voids-hand-brake", "chain @ hand brake B"),
        ("did: underbody equipment secured", "underbody-work-voids-underbody", "underbody_equipment_secure @ body"),
        ("did: jumper renewed, at: '1'", "jumper-renewal-voids-jumper", "insulation @ jumper 1"),
        ("did: electrical repair", "electrical-repair-voids-switches", "metal_grounded @ electrical"),
        ("did: trucks exchanged, at: A", "truck-exchange-voids-what-is-in-it", "compressed_solid @ spring 7"),
        ("happened: derailment, at: 3, speed: 2 mph", "derailment-voids-what-is-in-the-truck",
         "hangers_and_pins @ bolster A"),
        ("happened: brake cut out", "cut-out-voids-cut-in", "cut_out @ brake system"),
        ("happened: built-up tread found, at: L3", "built-up-tread-found-voids-tread",
         "built_up_tread @ wheel K-103 left"),
        ("happened: thermal crack found, at: L3", "thermal-crack-found-voids-crack",
         "thermal_crack @ wheel K-103 left"),
        ("happened: overheated wheel found, at: L3", "overheated-wheel-found-voids-heat",
         "overheated @ wheel K-103 left"),
        ("happened: shelling found, at: L3", "shelling-found-voids-shelling", "shelled_spot_length @ wheel K-103 left"),
        ("happened: fire", "fire-voids-what-it-reached", "moving_and_hot_parts_guarded @ body"),
    ],
    ids=lambda value: value if "void" in value else "",
)  # fmt: skip
def test_what_was_read_before_is_void(entry: str, rule: str, gone: str) -> None:
    for train in ("passenger", "freight"):
        judgement = judged(entry, train)
        assert TRADE + rule in fired(judgement)
        assert gone in void(judgement)


def test_work_on_one_part_leaves_the_others() -> None:
    judgement = judged("did: hose renewed, at: '1'")
    assert not [one for one in void(judgement) if "air hose" in one and not one.endswith("air hose 1")]
    assert "condition @ equalizer 1" not in void(judged("did: equalizers changed, at: A"))


@pytest.mark.parametrize("train", ["passenger", "freight"])
@pytest.mark.parametrize(
    "entry",
    [
        "happened: brake cut out", "happened: fire", "did: trucks exchanged, at: A", "did: safety valve renewed",
        "did: slide protection repaired",
    ],
)  # fmt: skip
def test_the_brake_is_applied_anew(entry: str, train: str) -> None:
    assert APPLIED in due(judged(entry, train))


@pytest.mark.parametrize(
    ("entry", "train", "other"),
    [
        ("did: relay valve repaired", "freight", "passenger"),
        ("did: vent or quick-service valve renewed", "freight", "passenger"),
        ("did: brake cylinder release valve renewed", "freight", "passenger"),
        ("did: modulating valve renewed", "freight", "passenger"),
        ("did: control valve gasket renewed", "passenger", "freight"),
        ("did: bracket stud renewed", "passenger", "freight"),
    ],
)
def test_the_brake_is_applied_anew_where_the_law_asks_for_no_test(entry: str, train: str, other: str) -> None:
    assert APPLIED in due(judged(entry, train))
    there = due(judged(entry, other))
    assert APPLIED not in there
    assert [one for one in there if one.endswith("@ brake system") and not one.startswith("on the way")]


def test_a_car_whose_coupler_was_adjusted_is_not_ready_by_the_height_of_before() -> None:
    """Read 2026-07-28, adjusted 2026-08-10: the height counts no longer."""
    heights = {
        one.part.key: one.verdict
        for one in judged("did: coupler height adjusted, at: A", "freight").findings
        if one.criterion.id == "us-federal/coupler-height"
    }
    assert heights == {"coupler B": "met", "coupler A": "withdrawn"}
