"""What was read of a part before it was repaired or renewed does not count for what is there now."""

from functools import cache

import pytest
from work_records import CASE, DAY, car_text, due, fired, judged, void

from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move
from carknocker.rulebook import Library, load_library, rulesets_folders
from carknocker.vocabulary import load_vocabulary

TRADE = "trade-practice/"


@cache
def _library() -> Library:
    return load_library(rulesets_folders())


APPLIED = "brake application and release @ truck A"

NO_READING_OF_A_PART = {
    "bearing inspected by a shop": "an inspection, and no work",
    "water system work": "nobody asks about water",
}
"""Work that makes no reading void in any train, with the reason."""


def test_every_kind_of_work_makes_void_what_it_touches_or_calls_for_a_test() -> None:
    library = _library()
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
        ("did: equalizers renewed, at: A", "equalizer-change-voids-equalizer", "condition @ equalizer 3"),
        ("did: shock absorber renewed, at: '3'", "shock-absorber-renewal-voids-shock-absorber",
         "broken @ shock absorber 3"),
        ("did: journal box renewed, at: L3", "box-renewal-voids-box", "cracked @ box L3"),
        ("did: box lid renewed, at: L3", "lid-renewal-voids-lid", "lid @ box L3"),
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
    assert "condition @ equalizer 1" not in void(judged("did: equalizers renewed, at: A"))


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
    assert heights == {"coupler B": "met", "coupler A": "void"}


def _after(
    damage: str, job: str, now: tuple[str, str] = ("", ""), event: str = "", finder: str = "CW", more: str = ""
) -> Judgement:
    """The car, of which a shop read damage on 2026-06-01; a job or event of 2026-06-10, the job on the day after the
    event where both are. On 2026-07-28 it is sound."""
    sheet = f"  - on: 2026-06-01\n    by: {finder}\n    readings:\n      {damage}\n{more}\nlog: {{complete"
    text = car_text().replace(*now).replace("log: {complete", sheet)
    if job:
        text += f"work:\n  - {{id: N-{2 if event else 1}, on: 2026-06-{11 if event else 10}, did: {job}, by: CW}}\n"
    if event:
        text += f"events:\n  - {{id: N-1, on: 2026-06-10, happened: {event}, by: CW}}\n"
    move = read_move(CASE / "move.yaml")
    return judge(read_car_text(text, "car.yaml"), move, _library().rulebooks(move).at_out, DAY)


@pytest.mark.parametrize(
    ("read", "job", "gone"),
    [
        ("brake_cylinders: {'1': {holds_minutes: 5}}", "brake cylinder renewed, at: '1'",
         "holds_minutes @ brake cylinder 1"),
        ("brake_cylinders: {'1': {holds_minutes: 5}}", "piston repaired, at: '1'", "holds_minutes @ brake cylinder 1"),
        ("brake_system: {control_valves_operative: 1}", "service portion replaced",
         "control_valves_operative @ brake system"),
        ("brake_system: {control_valves_operative: 1}", "pipe bracket repaired",
         "control_valves_operative @ brake system"),
        ("center_plates: {B: {visible_condition: cracked}}", "center plate renewed, at: B",
         "visible_condition @ center plate B"),
    ],
)  # fmt: skip
def test_what_the_demo_car_does_not_read_is_void_too(read: str, job: str, gone: str) -> None:
    assert gone in void(_after(read, job))
    assert gone not in void(_after(read, "hand brake repaired, at: B"))


FRAME = "trucks: {B: {frame_condition: cracked in a stress area}}"
SILL = "underframe: {center_sill_condition: cracked}"
COUPLER = "couplers: {B: {body_condition: cracked}}"
BEARING = "bearings: {L1: {discolored: yes}}"
COCK = "cocks: {'1': {works: no}}"
RIGGING = "brake_rigging: {B: {pins_and_cotters: no}}"
WHEEL_DAMAGE = [
    "loose_on_axle", "crack_or_break", "thermal_crack", "weld", "broken_rim", "seam", "overheated",
]  # fmt: skip
WHEEL = "wheels: {L1: {crack_or_break: yes}}"


@pytest.mark.parametrize(
    ("damage", "job", "doubtful"),
    [
        (FRAME, "", True),
        (FRAME, "oil or grease added, at: L1", True),
        (FRAME, "shims adjusted, at: B", True),
        (FRAME, "truck frame repaired, at: A", True),
        (FRAME, "truck frame repaired, at: B", False),
        (SILL, "body repaired", True),
        (SILL, "electric welding, at: underframe", True),
        (SILL, "underframe repaired", False),
        (COUPLER, "coupler height adjusted, at: B", True),
        (BEARING, "oil or grease added, at: L1", True),
        (BEARING, "bearing opened, at: L1", True),
        (BEARING, "bearing renewed, at: L1", False),
        (COCK, "", True),
        (COCK, "cock renewed, at: '2'", True),
        (COCK, "cock renewed, at: '1'", False),
        (RIGGING, "brake shoes renewed, at: B", True),
        (RIGGING, "brake rigging repaired, at: B", False),
        (WHEEL, "axle fasteners off and on, at: 1", True),
        *((f"wheels: {{L1: {{{damage}: yes}}}}", "wheels turned, at: [L1, R1]", True) for damage in WHEEL_DAMAGE),
        *(
            (f"wheels: {{L1: {{{damage}: yes}}}}", "wheels renewed on the axle, at: K-101", False)
            for damage in WHEEL_DAMAGE
        ),
        ("axles: {1: {crack: yes}}", "wheels turned, at: [L1, R1]", True),
        ("axles: {1: {crack: yes}}", "wheels renewed on the axle, at: K-101", True),
        ("axles: {1: {crack: yes}}", "axle machined, at: K-101", True),
        ("center_plates: {B: {visible_condition: broken}}", "center pin renewed, at: B", True),
        ("center_plates: {B: {visible_condition: broken}}", "trucks exchanged, at: B", False),
        ("springs: {'1': {coil_broken: yes}}", "shims adjusted, at: B", True),
        ("springs: {'1': {coil_broken: yes}}", "springs renewed, at: B", False),
        (COUPLER, "knuckle renewed, at: B", True),
        (COUPLER, "coupler renewed, at: B", False),
        ("couplers: {B: {lock_drops: no}}", "coupler repaired, at: B", False),
        (SILL, "body bolster repaired", True),
    ],
)
def test_damage_goes_only_by_work_that_mends_it(damage: str, job: str, doubtful: bool) -> None:
    assert ("damage-does-not-go" in {one.name for one in _after(damage, job).doubts}) is doubtful


@pytest.mark.parametrize(
    ("damage", "event"),
    [
        (WHEEL, "derailment, at: B"),
        ("wheels: {L1: {thermal_crack: yes}}", "thermal crack found, at: L1"),
        ("axles: {1: {crack: yes}}", "derailment, at: B"),
        (COUPLER, "hard coupling, at: B"),
    ],
)
def test_what_happened_to_a_car_takes_no_damage_away(damage: str, event: str) -> None:
    """The event makes void what was read before it; the crack that was found is there all the same."""
    assert "damage-does-not-go" in {one.name for one in _after(damage, "", event=event).doubts}


FOUND = [
    ("thermal crack found", "thermal_crack"),
    ("overheated wheel found", "overheated"),
    ("built-up tread found", "built_up_tread"),
]


@pytest.mark.parametrize(("event", "attribute"), FOUND)
@pytest.mark.parametrize(("job", "doubtful"), [("", True), ("wheels renewed on the axle, at: K-101", False)])
def test_damage_that_an_event_told_goes_only_by_work(event: str, attribute: str, job: str, doubtful: bool) -> None:
    """Nobody read it on a sheet before; the sheet after it says that it is not there."""
    doubts = _after(f"wheels: {{L1: {{{attribute}: no}}}}", job, event=f"{event}, at: L1, cause: not known").doubts
    touched = {(one.part, one.attribute) for doubt in doubts for one in doubt.touched}
    assert (("wheel K-101 left", attribute) in touched) is doubtful


@pytest.mark.parametrize(
    ("event", "attribute", "part"),
    [
        ("brake cut out", "cut_out", "brake system"),
        ("thermal crack found, at: L1, cause: not known", "thermal_crack", "wheel K-101 left"),
    ],
)
def test_what_an_event_told_is_a_reading_of_its_day(event: str, attribute: str, part: str) -> None:
    """Answered by nothing, it stands; and the rules that look at it refuse the car."""
    judgement = judged(f"happened: {event}")
    (told,) = [one for one in judgement.car.evidence if one.id.endswith("event N-1")]
    assert (told.attribute, told.part, told.value.text, told.on.isoformat()) == (attribute, part, "yes", "2026-08-10")
    breached = [one.criterion.of for one in judgement.findings if one.verdict == "breached" and one.evidence is told]
    assert breached


SHEET = "seam: no,\n              crack_or_break: "
SCRATCH = "{opinion: no, says: a scratch}"


def test_damage_that_a_person_calls_none_stands_on_the_first_page() -> None:
    judgement = _after(WHEEL, "", (SHEET + "no", SHEET + SCRATCH), finder="NB")
    assert not judgement.doubts
    assert (
        "Damage called none: crack or break of wheel L1, yes (2026-06-01, NB), is no (2026-07-28, NB): a scratch"
        in [one.words for one in first_page_of(JudgementIndex(judgement))]
    )
    assert not [one for one in first_page_of(JudgementIndex(judged("happened: set out"))) if one.sort == "sure"]


@pytest.mark.parametrize(
    ("now", "finder", "calls", "settled"),
    [
        (SCRATCH, "NB", "", True),
        ("{opinion: no}", "NB", "", False),  # it does not say what it was
        ("{opinion: no, says: n/a}", "NB", "", False),
        ("{reads: no, sure: a scratch}", "NB", "", True),
        (SCRATCH, "CW", "", False),  # a person whom the host accepts found it
        ("{reads: no, sure: a scratch}", "CW", "", False),
        ("no", "CW", SCRATCH, True),  # as does the one who calls it none
        ("no", "CW", "{opinion: no}", False),
        ("no", "CW", "no", False),
    ],
)
def test_who_may_call_damage_none(now: str, finder: str, calls: str, settled: bool) -> None:
    called = f"wheels: {{L1: {{crack_or_break: {calls}}}}}"
    more = f"  - on: 2026-06-20\n    by: CW\n    readings: {{{called}}}\n" if calls else ""
    judgement = _after(WHEEL, "", (SHEET + "no", SHEET + now), finder=finder, more=more)
    assert ("damage-does-not-go" not in {one.name for one in judgement.doubts}) is settled
