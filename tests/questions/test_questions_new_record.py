"""A first record: it reads back, every part of the car stands in it, nothing is guessed, it can be judged at once."""

from datetime import date
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from interview_samples import BAGGAGE, CABOOSE, CARS, COACH, HEAVYWEIGHT, LEAST, MOVE, answers, written

from carknocker.cli.starter_files import plain_words, write_starter
from carknocker.documents import InputRefused
from carknocker.dossier.view import view_of
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.record_doubts import doubts_on_record
from carknocker.questions.new.answers import read_answers_file
from carknocker.questions.new.ask import starter_record
from carknocker.record import read_car, read_car_text, read_move, read_move_text
from carknocker.record.model import CarRecord
from carknocker.record.standing import listed_now
from carknocker.record.unlisted_parts import parts_there
from carknocker.record.value_words import value_words
from carknocker.record.values import Count, Figure, Word, Words
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.library import Library
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import load_interview

DAY = date(2026, 10, 8)
TELLS_KIND = ("spring_place", "hose_kind", "cock_kind", "appliance_kind")
"""What says which of the parts that every car has one is."""


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library(rulesets_folders())


def record(text: str) -> CarRecord:
    return read_car_text(written(text)[0], "car.yaml")


def judged(text: str, library: Library) -> CheckAnswer:
    car, move = written(text)
    return check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library, DAY)


def said(car: CarRecord, part: str, attribute: str) -> object:
    return next((one.value for one in car.evidence if (one.part, one.attribute) == (part, attribute)), None)


@pytest.mark.parametrize("name", CARS)
def test_it_is_not_ready_since_nothing_is_shown_and_every_part_stands(name: str, library: Library) -> None:
    found = judged(CARS[name], library)
    assert found.outcome == "not ready"
    assert {one.finding.verdict for one in found.judgement.refusals if one.finding} == {"not shown"}
    missing = view_of(found).items.missing
    assert missing is not None
    assert missing.unlisted == ()


@pytest.mark.parametrize("name", CARS)
def test_nothing_in_it_is_doubtful(name: str, library: Library) -> None:
    found = judged(CARS[name], library)
    assert list(doubts_on_record(found.judgement.car, DAY)) == []
    assert [one.words for one in view_of(found).first_page if one.sort == "doubt"] == []


@pytest.mark.parametrize("stencils", [False, True])
def test_a_hand_brake_at_a_alone_is_doubtful_until_somebody_is_sure_of_both_ends(
    stencils: bool, library: Library
) -> None:
    """The B end is the one with the hand brake (AAR rule 14); axles and sides are counted from it."""
    text = COACH.replace("hand_brake: B", "hand_brake: A")
    car, move = written(text)
    for end, word in (("B", "no"), ("A", "yes")):
        line = f"  {end}: {{hand_brake_at_this_end: {word}"
        assert car.count(line) == 1
        stencil = f"end_stencil: {end}, " if stencils else ""
        car = car.replace(line, line.replace("{", f"{{{stencil}"))
    sure = car
    for word in ("no", "yes"):
        told = f"hand_brake_at_this_end: {word}"
        sure = sure.replace(told, f"hand_brake_at_this_end: {{reads: {word}, sure: looked at on 2026-09-01}}")

    def said_of(car: str) -> tuple[list[str], tuple[str, ...]]:
        found = check(read_car_text(car, "car.yaml"), read_move_text(move, "move.yaml"), library, DAY)
        missing = view_of(found).items.missing
        assert missing is not None
        doubts = [one.words for one in view_of(found).first_page if one.sort == "doubt"]
        return doubts, tuple(one.kind for one in missing.unlisted)

    doubts, unlisted = said_of(car)
    assert len(doubts) == 1
    assert "the end with the hand brake is the B end" in doubts[0]
    assert unlisted == ("hand brake",)
    assert said_of(sure) == ([], ())


@pytest.mark.parametrize(
    ("name", "counts"),
    [
        ("coach", {"spring": 12, "equalizer": 4, "shock absorber": 4, "air hose": 6, "cock": 5, "jumper": 2,
                   "safety appliance": 12, "brake cylinder": 2, "reservoir": 2, "hand brake": 1, "bearing": 10}),
        ("heavyweight", {"spring": 24, "equalizer": 8, "air hose": 2, "cock": 3, "safety appliance": 10,
                         "hand brake": 2, "bearing": 12, "axle position": 6}),
        ("baggage", {"safety appliance": 24, "air hose": 6, "cock": 5, "hand brake": 1, "equalizer": 4}),
        ("caboose", {"safety appliance": 8, "spring": 4, "hand brake": 2, "air hose": 2, "cock": 3}),
    ],
)  # fmt: skip
def test_the_parts_that_stand_there(name: str, counts: dict[str, int]) -> None:
    car = record(CARS[name])
    found = {kind: sum(part.kind == kind for part in car.parts) for kind in load_vocabulary().kinds}
    assert {kind: found[kind] for kind in counts} == counts
    others = {"equalizer", "shock absorber", "jumper"} - set(counts)
    assert all(found[kind] == 0 for kind in others)


BRAKED = "braked: yes\n"


@pytest.mark.parametrize(
    ("braked", "cylinders"),
    [
        ("yes", 2),
        ('{"1, 3, 4, 6": yes, "2, 5": no}', 2),
        ("{1-5: no, 6: yes}", 2),
        ("{1-5: no}", 2),
        ("no", 0),
    ],
)
def test_brake_cylinders_stand_where_an_axle_is_braked(braked: str, cylinders: int) -> None:
    assert BRAKED in HEAVYWEIGHT
    car = record(HEAVYWEIGHT.replace(BRAKED, f"braked: {braked}\n"))
    assert [part.kind for part in car.parts].count("brake cylinder") == cylinders


def test_each_axle_says_whether_it_is_braked() -> None:
    car = record(HEAVYWEIGHT.replace(BRAKED, 'braked: {"1, 3, 4, 6": yes, "2, 5": no}\n'))
    braked = {axle: said(car, f"axle position {axle}", "braked") for axle in range(1, 7)}
    assert braked == {axle: Word("no" if axle in (2, 5) else "yes") for axle in range(1, 7)}


def test_a_truck_with_an_unbraked_axle_is_neither_doubtful_nor_short_of_parts(library: Library) -> None:
    found = judged(HEAVYWEIGHT.replace(BRAKED, 'braked: {"1, 3, 4, 6": yes, "2, 5": no}\n'), library)
    missing = view_of(found).items.missing
    assert missing is not None
    assert missing.unlisted == ()
    assert list(doubts_on_record(found.judgement.car, DAY)) == []


@pytest.mark.parametrize(
    ("braked", "doubtful", "asked_for"),
    [("no", ["truck B", "truck A"], ["brake cylinder"]), ("{reads: no, sure: never had brakes}", [], [])],
)
def test_a_car_without_a_braked_axle_has_no_cylinders_once_that_is_sure(
    braked: str, doubtful: list[str], asked_for: list[str], library: Library
) -> None:
    car, move = written(HEAVYWEIGHT.replace(BRAKED, "braked: no\n"))
    (line,) = (line for line in car.splitlines() if line.strip().startswith("braked: "))
    text = car.replace(line, line.replace("braked: no", f"braked: {braked}"))
    found = check(read_car_text(text, "car.yaml"), read_move_text(move, "move.yaml"), library, DAY)
    assert [one.part.key for one in doubts_on_record(found.judgement.car, DAY)] == doubtful
    missing = view_of(found).items.missing
    assert missing is not None
    assert [one.kind for one in missing.unlisted] == asked_for
    assert found.outcome == "not ready"


@pytest.mark.parametrize("name", CARS)
def test_each_description_is_answered_or_not_known(name: str) -> None:
    """No description of a part of the car is left out: what nobody answered is there to be filled in."""
    plain = yaml.load(written(CARS[name])[0], yaml.BaseLoader)
    for kind in load_vocabulary().kinds.values():
        if kind.section not in plain or kind.thing:
            continue
        section = plain[kind.section]
        written_down = set(section) if kind.positions == "single" else {key for one in section.values() for key in one}
        described = {one.name for one in kind.attributes.values() if one.description}
        assert described <= written_down, kind.name
    for wheelset in plain["wheelsets"].values():
        kinds = {"wheels": "wheel", "bearings": "bearing", "axle": "axle"}
        for key, kind_name in kinds.items():
            own = load_vocabulary().kinds[kind_name].attributes.values()
            assert set(wheelset[key]) == {one.name for one in own if one.description}


def test_what_was_answered_stands_and_nothing_else() -> None:
    car = record(HEAVYWEIGHT)
    assert said(car, "truck A", "frame") == Word("built-up")
    assert said(car, "end B", "end_kind") == Word("wide vestibule")
    assert said(car, "end A", "end_kind") == Word("open platform")
    assert [said(car, f"bearing W-{axle} left", "class") for axle in (1, 3, 4, 6)] == [
        Word("plain"), Word("plain"), Word("grease-lubricated roller"), Word("grease-lubricated roller"),
    ]  # fmt: skip
    assert said(car, "truck B", "connections_to_body") == Words(("brake rod",))
    assert said(car, "truck B", "bolster_springs") == Count(4)
    assert said(car, "truck B", "shock_absorbers") == Count(0, "none fitted")
    assert said(car, "truck B", "held_to_body_by") is None
    assert {one.by.full_name for one in car.evidence if one.by is not None} == {"Jane Doe"}
    assert not any((car.work, car.spares, car.leaves, car.gauges, car.moves_made))


def test_with_the_fewest_answers_nothing_is_said_of_the_car() -> None:
    car = record(LEAST)
    assert {(one.part, one.attribute) for one in car.evidence if one.attribute not in TELLS_KIND} == {
        ("truck B", "truck_kind"), ("truck A", "truck_kind"),
    }  # fmt: skip
    assert not read_move_text(written(LEAST)[1], "move.yaml").facts


def test_with_the_fewest_answers_the_judgement_says_first_what_parts_there_are(library: Library) -> None:
    found = judged(LEAST, library)
    assert found.outcome == "not ready"
    missing = view_of(found).items.missing
    assert missing is not None
    assert {"spring", "equalizer", "hand brake"} <= {one.kind for one in missing.unlisted}


def test_cylinders_on_the_trucks_are_shared_out_and_those_on_the_body_are_not() -> None:
    on_trucks = record(COACH.replace("numbers: as offered", "numbers: as offered\nbrake_cylinders: 4"))
    assert [one.container for one in on_trucks.parts if one.kind == "brake cylinder"] == [
        "truck B", "truck B", "truck A", "truck A",
    ]  # fmt: skip
    assert [one.container for one in record(HEAVYWEIGHT).parts if one.kind == "brake cylinder"] == ["brake system"] * 2


def test_a_number_that_was_counted_counts_before_what_is_offered() -> None:
    car = record(COACH.replace("numbers: as offered", "numbers: as offered\nshock_absorbers: {B: 3, A: none}"))
    assert [one.container for one in car.parts if one.kind == "shock absorber"] == ["truck B"] * 3
    assert said(car, "truck A", "shock_absorbers") == Count(0, "none fitted")


def test_numbers_that_nobody_counted_are_not_known_and_the_fewest_parts_stand() -> None:
    car = record(COACH.replace("numbers: as offered\ncounted_by: Jane Doe\ncounted_on: 2026-09-01\n", ""))
    assert not [one for one in car.evidence if isinstance(one.value, Count)]
    assert sum(one.kind == "spring" for one in car.parts) == 12
    assert {one.kind.name for one in parts_there(listed_now(car)) if one.unlisted} >= {"spring", "shock absorber"}


def test_weights_stand_on_a_sheet_of_their_own() -> None:
    more = "gross_weight: 130,000 lb\nweighed_by: Sam Roe (scale operator)\nweighed_on: 2026-08-01\n"
    car = record(COACH + more)
    (weight,) = [one for one in car.evidence if one.attribute == "gross_weight"]
    assert isinstance(weight.value, Figure)
    assert (weight.on, weight.by and weight.by.role) == (date(2026, 8, 1), "scale operator")
    assert (weight.gauge, weight.ungauged) == (None, True)


@pytest.mark.parametrize(
    ("gauges", "scale"),
    [
        ("{G-1: finger gauge; reads to 1/32 in, S-1: track scale; reads to 20 lb; checked 2026-03-01}", "S-1"),
        ("{G-1: finger gauge; reads to 1/32 in}", ""),
        ("{S-1: track scale; reads to 20 lb, S-2: track scale; reads to 50 lb}", ""),  # which of them, nobody says
    ],
)
def test_a_weight_names_the_scale_among_the_gauges(gauges: str, scale: str) -> None:
    more = f"gross_weight: 130,000 lb\nweighed_by: Sam Roe (scale operator)\nweighed_on: 2026-08-01\ngauges: {gauges}\n"
    (weight,) = [one for one in record(COACH + more).evidence if one.attribute == "gross_weight"]
    assert (weight.gauge.name if weight.gauge else "", weight.ungauged) == (scale, not scale)


def test_a_telephone_the_size_and_the_wishes_go_where_the_request_reads_them() -> None:
    people = "people: {HM: shop inspector; Hal Mott; telephone 555-0142}\n"
    sizes = "length_over_couplers: 85 ft\ntruck_centers: 59 ft 6 in\nextreme_width: 10 ft\nheight_over_rail: 14 ft\n"
    wishes = "requested_on: 2026-10-01\nreply_by: 2026-10-20\npower_wanted: yes\nwater_wanted: no\n"
    car_text, move_text = written(COACH + people + sizes + wishes)
    car, move = read_car_text(car_text, "car.yaml"), read_move_text(move_text, "move.yaml")
    assert (car.people["HM"].full_name, car.people["HM"].telephone) == ("Hal Mott", "555-0142")
    sizes_asked = ("length_over_couplers", "truck_centers", "extreme_width", "height_over_rail")
    told = [value_words(car.by_part["car"][name][0].value) for name in sizes_asked]
    assert told == ["85 ft", "59 ft 6 in", "10 ft", "14 ft"]
    assert {name: value_words(move.facts[name]) for name in ("requested_on", "reply_by", "power_wanted")} == {
        "requested_on": "2026-10-01", "reply_by": "2026-10-20", "power_wanted": "yes",
    }  # fmt: skip
    assert "switching_wanted" not in move.facts


def test_a_spare_wheelset_is_carried_and_nothing_is_known_of_it() -> None:
    car = record(COACH)
    assert [part.label for part in car.parts if part.kind == "wheelset" and part.container is None] == ["wheelset W-5"]
    assert said(car, "bearing W-5 left", "class") is None
    assert {(one.name, one.carried) for one in car.spares if one.name != "wheelset"} == {
        ("air hose", 1), ("hose gasket", 4),
    }  # fmt: skip


def test_the_circular_binds_where_one_of_the_host_is_at_hand() -> None:
    given_host = answers(COACH)
    for hosts, circular in (((), False), (("An Inland Railroad",), True)):
        _, move = starter_record(given_host, load_interview(), hosts)
        assert read_move_text(move.text, "move.yaml").circular is circular


@given(st.text(max_size=30), st.text(max_size=30), st.text(max_size=30))
def test_any_name_reads_back(mark: str, name: str, host: str) -> None:
    more = {key: {"": text} for key, text in (("mark", mark), ("name", name), ("host", host)) if plain_words(text)}
    car, move = starter_record(answers(LEAST).with_these(more), load_interview())
    read, planned = read_car_text(car.text, car.name), read_move_text(move.text, move.name)
    assert read.mark == (plain_words(mark) or "QZZX 1")
    assert read.name == plain_words(name)
    assert planned.host == (plain_words(host) or "An Inland Railroad")


def test_its_examples_are_a_valid_record() -> None:
    """The examples of the end of the record, taken in at a car of which everything is answered."""
    text = written(COACH)[0]
    gauge = "# gauges:\n#   G-1: {kind: finger gauge, reads_to: 1/16 in, checked: 2026-03-01, due: 2030-03-01}\n"
    assert gauge in text
    text = text.replace(gauge, f"{gauge.replace('# ', '').replace('#', '')}  G-2: {{kind: condemning gauge}}\n")
    at = text.index("## A sheet says what was read")
    before, examples = text[:at], text[at:]
    taken = "\n".join(row[2:] if row.startswith("# ") else row for row in examples.splitlines())
    inspector = "{role: shop inspector, accepted_by: [A Host Railroad], until: 2030-12-31}"
    people = f"people:\n  RE: {{role: owner}}\n  HM: {inspector}\n"
    sheets = taken.index("  - on: 2026-09-12")
    sheet_end = taken.index("\n\n", sheets)
    whole = before.replace("people:\n", people) + taken[:sheets] + taken[sheet_end:]
    spares_at = whole.index("# What is aboard")
    whole = whole[:spares_at] + taken[sheets:sheet_end] + "\n\n" + whole[spares_at:]
    found = read_car_text(whole, "car.yaml")
    assert {one.id for one in found.work} == {"E-1", "J-1"}
    assert found.leaves
    assert found.gauges
    assert found.moves_made


PROBLEMS = [
    ("frame: one-piece cast", "frame: one-piece csat", "`one-piece csat` for `frame`", "one-piece cast"),
    ("frame: one-piece cast", "frames: one-piece cast", "the key `frames`, which is no question", "frame"),
    ("truck_kind: two-axle", "truck_kind: not known", "`not known` for `truck_kind`", ""),
    (
        "end_kind: wide vestibule",
        "end_kind: {B: wide vestibule, C: open platform}",
        "the position `C`, which is not known",
        "",
    ),
    (
        "end_kind: wide vestibule",
        "end_kind: {B: wide vestibule, B: open platform}",
        "`B` a second time (first on line 20)",
        "",
    ),
    ("hand_brake: B", "hand_brake: C", "the place `C`, which is not known", ""),
    (
        "bearing_class: grease-lubricated roller",
        "bearing_class: {7: plain}",
        "the position `7`, which is not known",
        "",
    ),
    ("light_weight: 120,000 lb", "light_weight: 12 lb", "`12 lb` for `light_weight`", ""),
    ("spares: {air hose: 1,", "spares: {air hoses: 1,", "the spare `air hoses`, which is not known", "air hose"),
    ("spares: {air hose: 1,", "spares: {air hose: some,", "`some`", ""),
    (
        "counted_by: Jane Doe",
        "counted_by: Jane Doe (shop inspecter)",
        "the role `shop inspecter`, which is not known",
        "shop inspector",
    ),
    ("counted_on: 2026-09-01", "counted_on: 2026-09", "`2026-09` for `counted_on`", ""),
    (
        "truck_kind: two-axle\n",
        "truck_kind: two axles\n",
        "`two axles` for `truck_kind`",
        "two-axle",
    ),
    ("numbers: as offered", "numbers: as usual", "the answer `as usual`, which is not known", ""),
    ("numbers: as offered", "end_handholds: two", "`two` for `end_handholds`", ""),
    ("built_on: 1949", "built_on: {B: 1949}", "a mapping with the keys B", ""),
]


@pytest.mark.parametrize(("whole", "short"), [
    ("light_weight: 120,000 lb", "light_weight: 120,000"), ("frame: one-piece cast", "frame: One piece cast"),
    ("frame: one-piece cast", "frame: one-p"),
])  # fmt: skip
def test_a_file_takes_what_the_terminal_takes(whole: str, short: str) -> None:
    assert COACH.count(whole) == 1
    records = [starter_record(answers(one), load_interview())[0].text for one in (COACH, COACH.replace(whole, short))]
    first, second = (read_car_text(one, "car.yaml") for one in records)
    assert [(one.part, one.attribute, repr(one.value)) for one in second.evidence] == [
        (one.part, one.attribute, repr(one.value)) for one in first.evidence
    ]


@pytest.mark.parametrize(("old", "new", "found", "near"), PROBLEMS)
def test_a_wrong_answer_is_refused_at_its_place(old: str, new: str, found: str, near: str) -> None:
    assert COACH.count(old) == 1
    text = COACH.replace(old, new)
    with pytest.raises(InputRefused) as refused:
        answers(text)
    problem = refused.value.problems[0]
    assert (problem.found, problem.nearest) == (found, near)
    line = text.splitlines()[problem.where.line - 1]
    assert line == new or line.startswith(new.split(",")[0][:6])
    assert problem.where.column > 0


@pytest.mark.parametrize(
    ("old", "key"),
    [("mark: QZZX 9\n", "mark"), ("truck_kind: two-axle\n", "truck_kind"), ("miles: 96 mi\n", "miles"),
     ("counted_by: Jane Doe\n", "counted_by"), ("counted_on: 2026-09-01\n", "counted_on")],
)  # fmt: skip
def test_what_is_needed_is_named(old: str, key: str) -> None:
    with pytest.raises(InputRefused) as refused:
        written(COACH.replace(old, ""))
    assert any(f"`{key}`" in one.found for one in refused.value.problems)
    assert all(one.expected for one in refused.value.problems)


def test_axles_cannot_be_told_apart_before_their_number_is_known() -> None:
    with pytest.raises(InputRefused) as refused:
        answers("braked: {1-2: yes, 3-4: no}\n")
    assert refused.value.problems[0].expected.endswith("yes or no; or first how many axles each truck has")
    assert answers("truck_kind: two-axle\nbraked: {1-2: yes, 3-4: no}\n").said("braked", "3") == "no"


def test_answers_that_do_not_go_together_are_shown_with_the_line_that_they_make() -> None:
    with pytest.raises(InputRefused) as refused:
        written(COACH.replace("back: 2026-11-22", "back: 2026-11-01"))
    (problem,) = refused.value.problems
    assert problem.found == "a return on 2026-11-01, before the day out"
    assert problem.line_text.strip() == "back: 2026-11-01"
    assert problem.where.file == "move.yaml by answers.yaml"


def test_every_end_truck_and_axle_has_to_be_answered_where_it_must_be() -> None:
    with pytest.raises(InputRefused, match="no answer to `truck_kind`"):
        written(COACH.replace("truck_kind: two-axle", "truck_kind: {B: two-axle}"))
    car = record(COACH.replace("truck_kind: two-axle", "truck_kind: {B: three-axle, A: two-axle}"))
    assert dict(car.axle_trucks) == {1: "B", 2: "B", 3: "B", 4: "A", 5: "A"}


def test_an_unknown_document_is_refused() -> None:
    for text in ("- mark\n", "mark: [\n", "", "mark: 1\nmark: 2\n"):
        with pytest.raises(InputRefused) as refused:
            read_answers_file(text, "answers.yaml", load_interview())
        assert all(one.where.file == "answers.yaml" for one in refused.value.problems)


def test_written_whole_and_read_back(tmp_path: Path) -> None:
    files = starter_record(answers(COACH), load_interview())
    folder = tmp_path / "new" / "car"
    assert write_starter(folder, files) == (folder / "car.yaml", folder / "move.yaml")
    assert read_car(folder / "car.yaml").mark == "QZZX 9"
    assert read_move(folder / "move.yaml").out == date(2026, 11, 6)
    assert sorted(path.name for path in folder.iterdir()) == ["car.yaml", "move.yaml"]


def test_a_file_that_is_there_is_left_alone_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "move.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(InputRefused, match="there already"):
        write_starter(tmp_path, starter_record(answers(COACH), load_interview()))
    assert [(path.name, path.read_text(encoding="utf-8")) for path in tmp_path.iterdir()] == [("move.yaml", "mine")]


def test_a_folder_that_can_not_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputRefused, match="can't be written"):
        write_starter(tmp_path / "file" / "car", starter_record(answers(COACH), load_interview()))


def test_the_samples_differ_as_their_kinds_do() -> None:
    texts = [written(one)[0] for one in (COACH, HEAVYWEIGHT, BAGGAGE, CABOOSE)]
    assert all("jumpers:" in text for text in texts[:1])
    assert not any("jumpers:" in text for text in texts[1:])
    assert MOVE.strip() in COACH
