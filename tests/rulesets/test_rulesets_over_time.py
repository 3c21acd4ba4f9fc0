"""The rule of 11 December 2020 (85 FR 80544): each figure that it changed, on the day before, of and after."""

from datetime import date
from pathlib import Path

import pytest
from federal_reading import reading_of
from work_records import car_text

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move_text
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.check import check_edition
from carknocker.rulebook.library import Library
from carknocker.rulebook.model import Consequence, Criterion, Requires, Rulebook

LIBRARY = load_library(rulesets_folders(), with_examples=True)
BEFORE, OF, AFTER = date(2020, 12, 10), date(2020, 12, 11), date(2020, 12, 12)
DAYS = [(BEFORE, "2016"), (OF, "2020"), (AFTER, "2020")]
AMENDED = sorted(
    entry.id for entry in (*LIBRARY.edition("us-federal", "2020").criteria,
                           *LIBRARY.edition("us-federal", "2020").consequences) if entry.edition == "2020"
)  # fmt: skip


def _move(out: date, back: date, train: str = "freight") -> str:
    return (
        "format: carknocker-move/1\n"
        f"move: {{host: A Railroad, circular: none, train: {train}, out: {out}, back: {back}, rides: nobody}}\n"
        "legs: [{from: Quillon Junction, to: Tarn Bridge, miles: 96 mi}]\n"
    )


def _rulebook(out: date, library: Library = LIBRARY) -> Rulebook:
    return library.rulebooks(read_move_text(_move(out, out), "move.yaml")).at_out


def _entry(book: Rulebook, name: str) -> Criterion | Consequence | None:
    entries: list[Criterion | Consequence] = [*book.criteria, *book.consequences]
    return next((entry for entry in entries if entry.id == name), None)


@pytest.mark.parametrize(("day", "edition"), DAYS)
@pytest.mark.parametrize("name", AMENDED)
def test_what_the_rule_changed_changes_on_its_day(name: str, day: date, edition: str) -> None:
    """What it added is not there before; what it replaced is that of the older text."""
    entry = _entry(_rulebook(day), name)
    older = _entry(_rulebook(date(2016, 1, 1)), name)
    wrote = "2020" if edition == "2020" else "2015"  # the glazing text of 2016 leaves the brakes alone
    expected = wrote if older is not None or edition == "2020" else "not there"
    assert (entry.edition if entry is not None else "not there") == expected


@pytest.mark.parametrize(
    ("day", "there"), [(date(2016, 4, 10), False), (date(2016, 4, 11), True), (BEFORE, True), (OF, True)]
)
def test_the_glazing_text_of_2016_binds_from_its_day(day: date, there: bool) -> None:
    """81 FR 6789, in force April 11, 2016: fifty years, four windows, certified glazing stays. Before it 223.3(b)(3)
    freed historical or antiquated cars without a figure; the brake rule of 2020 left part 223 alone."""
    book = _rulebook(day)
    names = ("glazing-exempt-by-age", "emergency-exits", "emergency-exit-tools", "certified-glazing-stays")
    assert {_entry(book, f"us-federal/{name}") is not None for name in names} == {there}
    glazing = _entry(book, "us-federal/glazing")
    assert glazing is not None
    assert ("more than 50 years old" in glazing.source.words) is there


@pytest.mark.parametrize(("day", "words"), [(BEFORE, "four hours"), (OF, "24 hours"), (AFTER, "24 hours")])
def test_hours_off_air_in_a_freight_train(day: date, words: str) -> None:
    entry = _entry(_rulebook(day), "us-federal/freight-off-air")
    assert isinstance(entry, Consequence)
    assert words in " ".join(given.words for given in entry.yields if isinstance(given, Requires))


def _judged(day: date, hours: str) -> Judgement:
    event = f"events:\n  - {{id: E-1, on: 2020-12-09, happened: off air, hours: {hours}}}\n"
    move = read_move_text(_move(day, day), "move.yaml")
    return judge(read_car_text(car_text() + event, "car.yaml"), move, _rulebook(day), date(2020, 12, 9))


@pytest.mark.parametrize(
    ("day", "hours", "due"),
    [(BEFORE, "4", False), (BEFORE, "4 h 1 min", True), (BEFORE, "5", True), (OF, "5", False), (OF, "24 h", False),
     (OF, "24 h 1 min", True), (AFTER, "1 day", False), (AFTER, "1441 min", True)],
)  # fmt: skip
def test_a_car_off_air_for_some_hours(day: date, hours: str, due: bool) -> None:
    """232.205(a)(3), 232.209(a)(1): more than four hours before, more than 24 since."""
    fired = {firing.consequence.name for firing in _judged(day, hours).firings}
    assert ("freight-off-air-calls-for-class-1-test" in fired) == due


@pytest.mark.parametrize(
    ("code", "age", "before", "since"),
    [("manual", "12 months", "met", "met"), ("manual", "366 days", "breached", "breached"),
     ("automated", "12 months", "met", "met"), ("automated", "24 months", "breached", "met"),
     ("automated", "731 days", "breached", "breached"), ("four-pressure", "48 months", "breached", "met"),
     ("four-pressure", "1462 days", "breached", "breached")],
)  # fmt: skip
def test_single_car_test_on_a_shop_track_by_its_code(code: str, age: str, before: str, since: str) -> None:
    """232.305(b)(2): 12, 24, 48 months; in the text of 2015 "within the previous 12-month period" whatever the code."""
    facts = f"single_car_test: {{aged: {age}, result: passed, code: {code}}}, shop_track_since_test: yes"
    for day, edition in DAYS:
        verdict = reading_of("brake system", f"{facts}, move.train: freight", edition)
        assert verdict == (before if day == BEFORE else since)


OLD_CAR = "car.built_on: 1949, car.rebuilt_on: 1990, shop_track_since_test: no"
UNCHANGED = [
    (
        "brake cylinder",
        "piston_travel: 10-1/2 in, diameter: 12 in, nominal_stroke: 12 in, "  # 232.103(f)(1)
        "badge_plate_least_travel: 6 in, badge_plate_travel: 10-1/2 in",
        "met",
    ),
    ("brake cylinder", "piston_travel: 10-33/64 in, diameter: 12 in, nominal_stroke: 12 in", "breached"),
    ("brake cylinder", "piston_travel: 6 in, diameter: 10 in, nominal_stroke: 12 in", "met"),  # 232.205(c)(5)
    ("brake cylinder", "piston_travel: 5-63/64 in, diameter: 10 in, nominal_stroke: 12 in", "breached"),
    ("brake cylinder", "piston_travel: 9 in, diameter: 10 in, nominal_stroke: 12 in", "met"),
    ("brake cylinder", "piston_travel: 9-1/64 in, diameter: 10 in, nominal_stroke: 12 in", "breached"),
    # 232.103(g): "nominal 12-inch stroke (8 1/2 and 10-inch diameters)"
    ("brake cylinder", "badge_plate: no, nominal_stroke: 8 in, diameter: 10 in", "breached"),
    ("brake cylinder", "badge_plate: no, nominal_stroke: 12 in, diameter: 12 in", "breached"),
    ("brake system", "train.operative_brakes: 100 %", "met"),  # 232.103(d)
    ("brake system", "train.operative_brakes: 99 %", "breached"),
    ("brake system", "train.operative_brakes: 85 %, train.brakes_lost: en route", "met"),  # 232.103(e)
    ("brake system", "train.operative_brakes: 84 %, train.brakes_lost: en route", "breached"),
    ("brake system", "train.brake_pipe_pressure: 90 psi", "met"),  # 232.103(o)(1)
    ("brake system", "train.brake_pipe_pressure: 89 psi", "breached"),
    ("brake system", "train.rear_pressure: 75 psi", "met"),  # 232.205(c)(1)(i)(A)
    ("brake system", "train.rear_pressure: 74 psi", "breached"),
    ("brake system", "brake_pipe_leakage: 5 psi/min", "met"),  # 232.205(c)(1)
    ("brake system", "brake_pipe_leakage: 6 psi/min", "breached"),
    ("brake system", "applies_on_every_axle: no", "breached"),  # 232.103(d)
    ("brake system", f"single_car_test: {{aged: 5 years, result: passed}}, {OLD_CAR}", "met"),  # 232.305(c)
    ("brake system", f"single_car_test: {{aged: 1827 days, result: passed}}, {OLD_CAR}", "breached"),
    ("hand brake", "applies_and_releases: no", "breached"),  # 232.103(n)(1)
]


@pytest.mark.parametrize(("day", "edition"), DAYS)
@pytest.mark.parametrize(("kind", "facts", "verdict"), UNCHANGED)
def test_figures_that_were_read_in_the_text_of_2020_and_that_the_rule_left_alone(
    kind: str, facts: str, verdict: str, day: date, edition: str
) -> None:
    assert reading_of(kind, f"{facts}, move.train: freight", edition) == verdict
    assert [one.name for one in _rulebook(day).editions if one.ruleset == "us-federal"] == [edition]


EXCURSION = [("train.operative_brakes", "85 %", "84 %"), ("train.brake_pipe_leakage", "5 psi/min", "6 psi/min")]


@pytest.mark.parametrize(("day", "edition"), DAYS)
@pytest.mark.parametrize(("name", "good", "bad"), EXCURSION)
def test_excursion_figures_keep_their_number_under_their_new_section(
    name: str, good: str, bad: str, day: date, edition: str
) -> None:
    """232.701, 232.713: the words of appendix B, numbered anew."""
    verdicts = [reading_of("brake system", f"{name}: {value}, move.train: excursion", edition) for value in (good, bad)]
    assert verdicts == ["met", "breached"]
    sections = {
        entry.source.section for entry in _rulebook(day).criteria
        if entry.name in ("excursion-train-brakes-operative", "excursion-road-test-leakage")
    }  # fmt: skip
    assert (sections == {"232.701", "232.713"}) == (day != BEFORE)


def test_a_move_across_the_day_is_judged_by_both() -> None:
    choice = LIBRARY.rulebooks(read_move_text(_move(BEFORE, OF), "move.yaml"))
    assert choice.at_back is not None
    named = [[edition.name for edition in book.editions if edition.ruleset == "us-federal"]
             for book in (choice.at_out, choice.at_back)]  # fmt: skip
    assert named == [["2016"], ["2020"]]


NEW = Path("us-federal") / "2099"
HEAD = """format: carknocker-edition/1
ruleset: us-federal
edition: "2099"
title: A text of the day after tomorrow
layer: law
publisher: an invented publisher
in_force: 2026-09-18
checked: 2026-09-18
amends: "2020"
"""
CHAPTER = """chapter: Another interval
when: {move.train: passenger}
criteria:
  - id: brake-maintenance-in-time
    title: Brake equipment maintained within another interval
    of: brake system
    must: {brake_maintenance_done_on: {within: {by: control_valve, 26-C: 400 days, otherwise: 300 days}}}
    effect: refuse
    shown_by: accepted shop
    source: {document: 49 CFR, section: 238.309(d), words: "Every 400 days", kind: law, status: invented}
    examples:
      - {control_valve: 26-C, brake_maintenance_done_on: {aged: 400 days}, is: met}
      - {control_valve: 26-C, brake_maintenance_done_on: {aged: 401 days}, is: breached}
      - {control_valve: UC, brake_maintenance_done_on: {aged: 300 days}, is: met}
      - {control_valve: UC, brake_maintenance_done_on: {aged: 301 days}, is: breached}
"""


@pytest.fixture
def newer(tmp_path: Path) -> Library:
    folder = tmp_path / NEW
    folder.mkdir(parents=True)
    (folder / "edition.yaml").write_text(HEAD, encoding="utf-8")
    (folder / "brakes.yaml").write_text(CHAPTER, encoding="utf-8")
    return load_library([*rulesets_folders(), tmp_path], with_examples=True)


def test_a_new_interval_changes_only_what_it_should(newer: Library) -> None:
    """Larkspur's brake was maintained 849 days before its move: in time by today's 1,476 days, not by 400."""
    base, changed = LIBRARY.edition("us-federal", "2020"), newer.edition("us-federal", "2099")
    differing = {
        one.id for one, other in zip(base.criteria, changed.criteria, strict=True) if (one.edition, one.title, one.must)
        != (other.edition, other.title, other.must)
    }  # fmt: skip
    assert differing == {"us-federal/brake-maintenance-in-time"}
    assert [one.id for one in base.consequences] == [one.id for one in changed.consequences]


def test_and_only_from_its_day_on(newer: Library) -> None:
    car = read_car_text(car_text().replace("[Kestrel & Northern]", "[A Railroad]"), "car.yaml")

    def verdicts(library: Library, out: date) -> dict[tuple[str, str], str]:
        move = read_move_text(_move(out, out, "passenger"), "move.yaml")
        judgement = judge(car, move, library.rulebooks(move).at_out, date(2026, 9, 1))
        return {(one.criterion.id, one.part.key): one.verdict for one in judgement.findings}

    day_before, day_of = date(2026, 9, 17), date(2026, 9, 18)
    assert verdicts(newer, day_before) == verdicts(LIBRARY, day_before)
    old, new = verdicts(LIBRARY, day_of), verdicts(newer, day_of)
    changed = {name: (old[name], new[name]) for name in old if old[name] != new[name]}
    assert changed == {("us-federal/brake-maintenance-in-time", "brake system"): ("met", "breached")}
    assert old.keys() == new.keys()


def test_the_new_text_itself_is_sound(newer: Library) -> None:
    assert check_edition(newer.edition("us-federal", "2099")) == ()
