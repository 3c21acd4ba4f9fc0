"""The installed vocabulary holds together, and agrees with the trade's own list of parts and readings."""

import pytest

from carknocker.quantities import DIMENSIONS, read_quantity
from carknocker.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()
ATTRIBUTES = [attribute for kind in VOCABULARY.kinds.values() for attribute in kind.attributes.values()]
W, P, J, T, X, D, N = "walking round", "pit", "wheel free", "truck out", "wheelset out", "shop", "inside"

# kind, attribute, type, resolution, access, who reads: typed from the trade's list, not from the data files.
ROWS = [
    ("wheel", "flange_thickness", "length", "1/16 in", W, "owner host"),
    ("wheel", "flange_height", "length", "1/16 in", W, "owner host"),
    ("wheel", "rim_thickness", "length", "1/16 in", W, "owner host"),
    ("wheel", "turning_allowance", "length", "1/16 in", W, "owner shop"),
    ("wheel", "tread_hollow", "length", "1/32 in", W, "owner host"),
    ("wheel", "flat_spot_length", "length", "1/8 in", W, "owner host"),
    ("wheel", "shelled_spot_length", "length", "1/8 in", W, "owner host"),
    ("wheel", "loose_on_axle", "yes or no", "", P, "owner host"),
    ("wheel", "out_of_round", "length", "1/64 in", J, "shop"),
    ("wheel", "tape_size", "tapes", "1 tape", X, "shop"),
    ("wheelset", "back_to_back", "length", "1/32 in", J, "owner shop"),
    ("wheelset", "journal_centers", "length", "1/32 in", X, "shop"),
    ("axle", "gouge_depth", "length", "1/32 in", P, "owner host"),
    ("bearing", "end_play", "length", "1/64 in", J, "shop"),
    ("bearing", "running_temperature", "temperature", "2 °F", W, "owner"),
    ("bearing", "cap_screws_loose_or_missing", "count", "", W, "owner host"),
    ("bearing", "oil_level", "one of", "", W, "owner"),
    ("coupler", "coupler_height", "length", "1/8 in", W, "owner host"),
    ("coupler", "knuckle_to_guard_arm", "length", "1/16 in", W, "owner host"),
    ("coupler", "shank_clearance", "length", "1/16 in", P, "owner host"),
    ("side bearing", "clearance", "length", "1/32 in", P, "owner host"),
    ("center plate", "liner_thickness", "length", "1/16 in", T, "shop"),
    ("center pin", "diameter", "length", "1/32 in", T, "shop"),
    ("equalizer", "seat_wear", "length", "1/8 in", P, "owner host"),
    ("body", "lowest_part_over_rail", "length", "1/8 in", W, "owner host"),
    ("body", "first_aid", "yes or no", "", N, "owner"),
    ("underframe", "body_camber", "length", "1/8 in", W, "owner"),
    ("car", "gross_weight", "weight", "100 lb", D, "shop"),
    ("brake cylinder", "piston_travel", "length", "1/8 in", P, "owner host"),
    ("brake shoe", "thickness", "length", "1/8 in", W, "owner host"),
    ("brake rigging", "hanger_thickness", "length", "1/32 in", P, "owner host"),
    ("rear marker", "height", "length", "1 in", W, "owner host"),
    ("truck", "retention_secured", "yes or no", "", P, "owner host"),
    ("truck", "truck_weight", "weight", "100 lb", T, "owner shop"),
    ("box", "box_top_to_frame", "length", "1/16 in", W, "owner"),
    ("head-end power", "insulation_resistance", "resistance", "0.1 MΩ", W, "shop"),
]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}.{row[1]}")
def test_readings_are_as_the_trade_takes_them(row: tuple[str, str, str, str, str, str]) -> None:
    kind, name, value_type, resolution, access, readers = row
    attribute = VOCABULARY.attribute(kind, name)
    assert attribute is not None
    assert (attribute.kind, attribute.name, attribute.type) == (kind, name, value_type)
    assert attribute.reads_to == (read_quantity(resolution, value_type) if resolution else None)
    assert attribute.access == access
    assert attribute.read_by == tuple(readers.split())


@pytest.mark.parametrize(
    ("kind", "name", "takes"),
    [
        ("wheel", "flange_thickness", "at most"),
        ("wheel", "flange_height", "at least"),
        ("wheel", "tread_hollow", "at least"),
        ("coupler", "knuckle_to_guard_arm", "at least"),
        ("wheel", "out_of_round", ""),
    ],
)
def test_what_a_gauge_that_takes_means(kind: str, name: str, takes: str) -> None:
    attribute = VOCABULARY.attribute(kind, name)
    assert attribute is not None
    assert attribute.gauge_takes == takes


@pytest.mark.parametrize(
    ("kind", "section", "positions", "inside", "thing", "listed"),
    [
        ("car", "car", "single", (), False, False),
        ("coupler", "couplers", "ends", ("end",), False, False),
        ("safety appliance", "safety_appliances", "listed", ("end", "car"), False, True),
        ("rear marker", "rear_marker", "single", ("car",), False, True),
        ("truck", "trucks", "trucks", ("car",), False, False),
        ("side bearing", "side_bearings", "sides of truck", ("truck",), False, False),
        ("axle position", "axle_positions", "axles", ("truck",), False, False),
        ("box", "boxes", "sides of axle", ("axle position",), False, False),
        ("wheelset", "wheelsets", "serials", ("axle position",), True, False),
        ("wheel", "wheels", "sides of axle", ("wheelset",), True, False),
        ("axle", "axles", "axles", ("wheelset",), True, False),
        ("bearing", "bearings", "sides of axle", ("wheelset",), True, False),
        ("brake cylinder", "brake_cylinders", "listed", ("truck", "brake system"), False, True),
        ("air hose", "air_hoses", "listed", ("end", "truck", "brake system"), False, True),
        ("hand brake", "hand_brakes", "ends", ("end",), False, True),
        ("move", "move", "single", (), False, False),
        ("leg", "legs", "legs", ("move",), False, False),
    ],
)
def test_kinds_and_their_places(
    kind: str, section: str, positions: str, inside: tuple[str, ...], thing: bool, listed: bool
) -> None:
    found = VOCABULARY.kinds[kind]
    assert (found.section, found.positions, found.inside) == (section, positions, inside)
    assert (found.thing, found.listed) == (thing, listed)


def test_every_kind_leads_to_the_car_or_to_the_move() -> None:
    for kind in VOCABULARY.kinds.values():
        outermost = kind
        while outermost.inside:
            outermost = VOCABULARY.kinds[outermost.inside[-1]]
        assert outermost.name in ("car", "move"), kind.name


def test_only_car_and_move_stand_in_nothing() -> None:
    assert [kind.name for kind in VOCABULARY.kinds.values() if not kind.inside] == ["car", "move"]


def test_all_of_a_move_stands_undated_or_is_derived() -> None:
    for kind in ("move", "train", "leg"):
        for attribute in VOCABULARY.kinds[kind].attributes.values():
            assert attribute.description or attribute.derived, f"{kind}.{attribute.name}"


def test_labels_are_words_for_people() -> None:
    for attribute in ATTRIBUTES:
        assert attribute.label, attribute.name
        assert "_" not in attribute.label, attribute.name


def test_label_defaults_to_the_name_in_words() -> None:
    assert VOCABULARY.kinds["wheel"].attributes["rim_thickness"].label == "rim thickness"
    assert VOCABULARY.kinds["bearing"].attributes["class"].label == "class of bearing"


def test_numbers_are_called_as_the_word_that_they_count() -> None:
    called = {row.number: row.called for kind in VOCABULARY.kinds.values() for row in kind.stands}
    assert called["cut_out_cocks"] == "cut-out cocks"
    assert called["side_door_steps"] == "side-door steps"
    assert called["end_platform_handholds"] == "end-platform handholds"
    assert called["brake_pipe_hoses"] == "brake pipe hoses"


def test_words_to_choose_from() -> None:
    for attribute in ATTRIBUTES:
        assert len(attribute.one_of) != 1, attribute.name
        assert bool(attribute.one_of) == (attribute.type == "one of") or attribute.type == "list of", attribute.name
    bearing = VOCABULARY.kinds["bearing"].attributes
    classes = {"sealed tapered cartridge", "grease-lubricated roller", "oil-lubricated roller", "plain"}
    assert classes <= set(bearing["class"].one_of)
    assert bearing["seal"].one_of == ("dry", "wet", "clearly formed droplets", "loose or damaged")
    assert bearing["heat_label"].one_of == ("none", "intact", "turned")
    assert VOCABULARY.kinds["leg"].attributes["track_class"].one_of == ("excepted", "1", "2", "3", "4", "5")


def test_only_figures_have_a_resolution_a_sign_or_a_gauge() -> None:
    for attribute in ATTRIBUTES:
        if attribute.type not in DIMENSIONS:
            assert (attribute.reads_to, attribute.signed, attribute.gauge_takes) == (None, False, ""), attribute.name
        elif attribute.reads_to is not None:
            assert attribute.reads_to.dimension == attribute.type
    assert [attribute.name for attribute in ATTRIBUTES if attribute.signed and not attribute.derived] == ["body_camber"]


@pytest.mark.parametrize(
    ("kind", "name", "value_type", "working"),
    [
        ("car", "age", "period", "car age"),
        ("wheelset", "mate_difference", "tapes", "mate difference"),
        ("wheelset", "step_to_neighbor", "tapes", "step to neighbor"),
        ("wheelset", "back_to_back_variation", "length", "back to back variation"),
        ("wheelset", "miles_since_mounted", "distance", "miles since mounted"),
        ("wheelset", "miles_since_turned", "distance", "miles since turned"),
        ("truck", "spread", "tapes", "truck spread"),
        ("wheel", "rim_after_turning", "length", "rim after turning"),
        ("wheel", "diameter", "length", "wheel diameter"),
        ("move", "days", "period", "days of the move"),
        ("move", "miles", "distance", "miles of the move"),
        ("move", "notice_days", "period", "days of notice"),
    ],
)
def test_derived_figures_name_their_working(kind: str, name: str, value_type: str, working: str) -> None:
    attribute = VOCABULARY.attribute(kind, name)
    assert attribute is not None
    assert (attribute.type, attribute.derived, attribute.description) == (value_type, working, False)


def test_an_attribute_that_there_is_not() -> None:
    assert VOCABULARY.attribute("wheel", "flange_colour") is None
    assert VOCABULARY.attribute("propeller", "pitch") is None
