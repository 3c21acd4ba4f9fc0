"""Slips that are doubtful by their day, by the tool that could not read so, or by what can't be beside it; and odd
readings by which nothing is judged any longer."""

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from carknocker.dossier.first_page import first_page_of
from carknocker.judgement.answer import check
from carknocker.judgement.doubts import doubts_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.mending import NO_RULES
from carknocker.judgement.odd_readings import odd_older_readings
from carknocker.judgement.situation import Situation
from carknocker.record import read_car_text, read_move
from carknocker.record.standing import stand
from carknocker.rulebook.library import load_library, rulesets_folders
from carknocker.wording.oddities import oddity_words

LARKSPUR, WREN = Path("cases/larkspur/freight"), Path("cases/wren-hollow/after")
AS_OF = date(2026, 11, 5)


def situation(folder: Path, *slips: tuple[str, str]) -> Situation:
    """A demo car with other texts in the place of some, each at its first place."""
    text = (folder / "car.yaml").read_text(encoding="utf-8")
    for old, new in slips:
        assert old in text, old
        text = text.replace(old, new, 1)
    move = read_move(folder / "move.yaml")
    return Situation(stand(read_car_text(text, "car.yaml"), move, AS_OF), move, {})


@cache
def honest(folder: Path) -> tuple[str, ...]:
    return tuple(one.name for one in doubts_of(situation(folder), NO_RULES))


FIRST_TRUCK = "built_on: 1949\n    takes_axle_class"
MOUNTED = "mounted_on: 2018-10-02"
RECONDITIONED = "reconditioned_on: 2018-09-20"
REPLACED = "fitted_as_replacement: yes"
SHEET = "{before: 90 psi, after: 89 psi, minutes: "

# what slipped: the doubt, what stood there, what stands there
SLIPS = {
    "a truck a decade older than the other": ("trucks-of-one-age", FIRST_TRUCK, FIRST_TRUCK.replace("1949", "1939")),
    "a truck a decade younger than the other": ("trucks-of-one-age", FIRST_TRUCK, FIRST_TRUCK.replace("1949", "1959")),
    "a car half a century older than its trucks": ("truck-and-car-age", "built_on: 1949", "built_on: 1899"),
    "mounted a decade before its check": ("mounted-when-checked", MOUNTED, MOUNTED.replace("2018", "2008")),
    "replaced wheels called the first ones": ("first-wheels", REPLACED, REPLACED.replace("yes", "no")),
    "a brake pipe that was not charged": (
        "odd-drop", SHEET + "1}", "{before: 49 psi, after: 48 psi, minutes: 1}",
    ),
    "a brake pipe charged beyond any train": (
        "odd-drop", SHEET + "1}", "{before: 131 psi, after: 130 psi, minutes: 1}",
    ),
    "a bearing reconditioned years after its wheels were mounted": (
        "reconditioned-since-mounting", RECONDITIONED, "reconditioned_on: 2018-10-03",
    ),
    "mounted a day after its check": ("mounted-when-checked", MOUNTED, MOUNTED.replace("2018-10-02", "2018-10-03")),
    "a leakage taken over ten minutes": ("long-drop", SHEET + "1}", SHEET + "10}"),
    "a lever by eye to hundredths": ("finer-than-the-usual-tool", "lever_length: 46 in", "lever_length: 46.03 in"),
    "free slack by rule to a fortieth": ("finer-than-the-gauge", "free_slack: 1/4 in", "free_slack: 0.025 in"),
    "an inch and more of free slack": ("unusual", "free_slack: 1/4 in", "free_slack: 2-1/2 in"),
    "a trainline of a battery's volts": ("unusual", "voltage: 480", "voltage: 48"),
    "no diaphragm, and it is aligned": ("diaphragm-that-is-not", "diaphragm_fitted: yes", "diaphragm_fitted: no"),
    "no buffer plate, and it is in place": (
        "buffer-plate-that-is-not", "diaphragm_fitted: yes", "diaphragm_fitted: yes, buffer_plate_fitted: no",
    ),
    "no battery, and its box is vented": (
        "battery-that-is-not", "combustion_equipment: no", "combustion_equipment: no, battery: no",
    ),
    "nothing that burns fuel, and its exhaust is outside": (
        "exhaust-without-a-fire", "battery_vented: yes", "battery_vented: yes, exhaust_outside: yes",
    ),
    "an old car not in service before 2007": (
        "old-car-in-service", "in_service_before_2007: yes", "in_service_before_2007: no",
    ),
    "a go gauge that no flange could fail": (
        "unusual", "flange_thickness: 1-1/8 in", "flange_thickness: {under: 8-3/4 in}",
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_doubtful(slip: str) -> None:
    name, old, new = SLIPS[slip]
    assert honest(LARKSPUR) == ()
    assert name in {one.name for one in doubts_of(situation(LARKSPUR, (old, new)), NO_RULES)}


@pytest.mark.parametrize(("built", "odd"), [("2026-05-19", False), ("2026-05-20", True)])
def test_a_truck_is_not_read_before_it_is_built(built: str, odd: bool) -> None:
    """The trucks were looked at on 2026-05-19."""
    never_out = (", last_rolled_out: 2022-04-26", "")
    slips = (never_out, (FIRST_TRUCK, FIRST_TRUCK.replace("1949", built)))
    assert ("read-before-made" in {one.name for one in doubts_of(situation(LARKSPUR, *slips), NO_RULES)}) is odd


def test_a_bearing_may_be_read_before_it_is_reconditioned() -> None:
    """That it was put on again since has its own doubt."""
    slip = (RECONDITIONED, "reconditioned_on: 2026-09-20")
    assert "read-before-made" not in {one.name for one in doubts_of(situation(LARKSPUR, slip), NO_RULES)}


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (FIRST_TRUCK, FIRST_TRUCK.replace("1949", "1944")),
        (FIRST_TRUCK, FIRST_TRUCK.replace("1949", "1954")),
        ("built_on: 1949", "built_on: 1924"),
        (MOUNTED, MOUNTED.replace("2018", "2017") + "\n    bearing_applied_on: 2018-09-25"),
        (RECONDITIONED, "reconditioned_on: 2018-10-02"),
        (RECONDITIONED, "reconditioned_on: 2021-09-20, applied_on: 2021-09-20"),
        (SHEET + "1}", SHEET + "5}"),
        (SHEET + "1}", "{before: 50 psi, after: 49 psi, minutes: 1}"),
        (SHEET + "1}", "{before: 130 psi, after: 129 psi, minutes: 1}"),
        ("free_slack: 1/4 in", "free_slack: 1-1/2 in"),
        ("free_slack: 1/4 in", "free_slack: 17/64 in"),
        ("voltage: 480", "voltage: 60"),
        ("flange_thickness: 1-1/8 in", "flange_thickness: {under: 1-3/4 in}"),
    ],
)
def test_the_ends_of_what_goes_together_are_no_doubt(old: str, new: str) -> None:
    assert [one.name for one in doubts_of(situation(LARKSPUR, (old, new)), NO_RULES)] == []


@pytest.mark.parametrize(("checked", "found"), [("2026-10-12", set()), ("2026-10-13", {"mounted-under-the-car"})])
def test_no_mounting_is_checked_under_the_car(checked: str, found: set[str]) -> None:
    """W-51 to W-53 went under the car on 2026-10-12."""
    slip = ("wheelset mounting check, on: 2026-09-03", f"wheelset mounting check, on: {checked}")
    assert {one.name for one in doubts_of(situation(WREN, slip), NO_RULES)} == found


@pytest.mark.parametrize(
    ("rebuilt", "found"),
    [
        ("2026-05-20", set()),
        ("2026-05-21", {"tested-before-rebuilding"}),
        ("2026", {"tested-before-rebuilding"}),
        ("2025", set()),
    ],
)
def test_a_rebuilt_car_is_tested_anew(rebuilt: str, found: set[str]) -> None:
    """49 CFR 232.305(e): "on each new or rebuilt car prior to placing or using the car in service". The test is of
    2026-05-20."""
    slip = ("built_on: 1949", f"built_on: 1949\n  rebuilt_on: {rebuilt}")
    assert {one.name for one in doubts_of(situation(LARKSPUR, slip), NO_RULES)} == found


@pytest.mark.parametrize(
    ("done", "found"),
    [
        ("2026-05-20", set()),
        ("2026-05-21", {"tested-before-maintenance"}),
        ("2026-07-15", {"tested-before-maintenance"}),
    ],
)
def test_the_brake_is_tested_anew_after_its_maintenance(done: str, found: set[str]) -> None:
    """As after the job of that name: the single-car test is of 2026-05-20."""
    slip = ("brake_maintenance_done_on: 2024-05-22", f"brake_maintenance_done_on: {done}")
    assert {one.name for one in doubts_of(situation(LARKSPUR, slip), NO_RULES)} == found


@pytest.mark.parametrize(
    ("marked", "found"),
    [
        ("2026-07", set()),
        ("2026-07-28", set()),
        ("2026-07-29", {"read-before-made"}),
        ("2026-08", {"read-before-made"}),
    ],
)
def test_a_hose_is_not_read_before_it_is_made(marked: str, found: set[str]) -> None:
    """The hoses were looked at on 2026-07-28."""
    slip = ("date_marked: 2022-03", f"date_marked: {marked}")
    assert {one.name for one in doubts_of(situation(LARKSPUR, slip), NO_RULES)} == found


def test_what_is_sure_is_no_doubt() -> None:
    sure = "mounted_on: {reads: 2008-10-02, sure: the stamp}"
    (doubt,) = doubts_of(
        situation(LARKSPUR, (MOUNTED, sure), ("wheelset mounting check", "wheelset mounting check")), NO_RULES
    )[:1]
    assert [one.attribute for one in doubt.touched] == ["mounting_check"]
    assert [one.attribute for one in doubt.against] == ["mounted_on"]


@pytest.mark.parametrize(
    ("hollow", "found"), [("1/16 in", set()), ("1/64 in", set()), ("1/128 in", {"finer-than-the-usual-tool"})]
)
def test_a_gauge_that_says_nothing_of_what_it_reads_to_reads_no_finer_than_the_usual_tool(
    hollow: str, found: set[str]
) -> None:
    """A tread is read to 1/32 in as a rule."""
    said = ("F-1: {kind: finger gauge, reads_to: 1/16 in", "F-1: {kind: finger gauge")
    read = ("tread_hollow: 1/16 in", f"tread_hollow: {hollow}")
    assert {one.name for one in doubts_of(situation(LARKSPUR, said, read), NO_RULES)} == found


OLDER = {
    "a rim of a wheelset that is gone": (
        '"L1, R1": {flange_thickness: 1-1/8 in, flange_height: 1-1/8 in, rim_thickness: 1-3/8 in',
        '"L1, R1": {flange_thickness: 1-1/8 in, flange_height: 1-1/8 in, rim_thickness: 0.1375 in',
        "wheel W-31 left", "rim thickness 0.138 in on 2026-09-12 is finer than gauge G-2 reads, 1/16 in",
    ),
    "a clearance that was measured again": (
        "BL: {clearance: {reads: 3/16 in, gauge: G-7}", "BL: {clearance: {reads: 1-7/8 in, gauge: G-7}",
        "side bearing BL", "usual is from 0 in to 1-1/2 in",
    ),
    "travel before it was adjusted": (
        '"1": {piston_travel: 8 in}', '"1": {piston_travel: 0.8 in}', "brake cylinder 1", "usual is from 1 in to 13 in",
    ),
    "a wheelset that is gone, mounted a decade early": (
        "mounted_on: 2012-04-18", "mounted_on: 2002-04-18", "wheelset W-31", "its mounting check is of 2012-04-18",
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", OLDER)
def test_an_older_slip_is_named_and_nothing_is_judged_by_it(slip: str) -> None:
    old, new, part, says = OLDER[slip]
    assert list(odd_older_readings(situation(WREN))) == []
    found = situation(WREN, (old, new))
    assert doubts_of(found, NO_RULES) == ()
    odd = next(iter(odd_older_readings(found)))
    assert odd.reading.part == part
    assert says in oddity_words(odd.odd)


def first_page(folder: Path, old: str, new: str) -> list[tuple[str, str]]:
    text = (folder / "car.yaml").read_text(encoding="utf-8").replace(old, new, 1)
    answer = check(
        read_car_text(text, "car.yaml"), read_move(folder / "move.yaml"), load_library(rulesets_folders()), AS_OF
    )
    return [(one.sort, one.words) for one in first_page_of(JudgementIndex(answer.judgement))]


def test_the_first_page_names_what_is_odd_and_what_is_bad() -> None:
    before = first_page(WREN, "", "")
    assert not any(words.startswith("On record: ") for _, words in before)
    text = "at: [W-34, W-35, W-36], result: passed, press_record: "
    bad = "On record: the wheelset mounting check of 2019-05-20: press record no (line "
    assert any(words.startswith(bad) for _, words in first_page(WREN, text + "yes", text + "no"))
    shoes = first_page(WREN, "shoes_free: yes", "shoes_free: no")
    assert any(
        "the brake application and release of 2026-10-16 says passed, and shoes free no" in words for _, words in shoes
    )
    travel = first_page(WREN, '"1": {piston_travel: 8 in}', '"1": {piston_travel: 0.8 in}')
    odd = [words for sort, words in travel if sort == "doubt"]
    assert len(odd) == 1
    said = "Odd among what is judged no longer: brake cylinder 1: piston travel 0.800 in on 2026-09-12"
    assert odd[0].startswith(said)
    old = [words for sort, words in first_page(WREN, "built_on: 1927", "built_on: 1870") if sort == "doubt"]
    assert sum("built 1870; usual is" in words for words in old) == 1
    assert not any("judged no longer" in words for words in old)
    due = [words for sort, words in first_page(WREN, "due: 2027-03-01", "due: 2037-03-01") if sort == "doubt"]
    assert len(due) == 1
    assert due[0].startswith("Doubtful: gauge G-2: due 2037-03-01; usual is from the day of its check (2026-03-01)")


@pytest.mark.parametrize(("free", "open_duty"), [("yes", False), ("no", True)])
def test_a_test_that_says_something_bad_of_what_it_tried_answers_no_duty(free: str, open_duty: bool) -> None:
    text = (WREN / "car.yaml").read_text(encoding="utf-8").replace("shoes_free: yes", f"shoes_free: {free}", 1)
    answer = check(
        read_car_text(text, "car.yaml"), read_move(WREN / "move.yaml"), load_library(rulesets_folders()), AS_OF
    )
    duties = {one.duty.requirement.test for one in answer.judgement.refusals if one.duty is not None}
    assert ("brake application and release" in duties) is open_duty


def test_a_description_that_is_doubtful_is_named_once() -> None:
    page = first_page(WREN, "built_on: 1927", "built_on: 1850")
    (built,) = (words for sort, words in page if sort == "doubt" and "car: built 1850; usual" in words)
    assert built.startswith("Doubtful: car: built 1850; usual is from 1880 to 2020 (built 1850, line 7)")


SETTLED = "Settled by the later reading, but one of the two is wrong or of another part: "
ROUND = "  - on: 2026-07-30\n    by: PD\n    gauge: F-3"


def rims(*read: tuple[str, str, str]) -> str:
    """Sheets of the finger gauge that read wheel L1 alone: day, person, rim."""
    sheet = "  - on: {}\n    by: {}\n    gauge: F-1\n    readings:\n      wheels:\n        L1: {{rim_thickness: {}}}\n"
    return "".join(sheet.format(*one) for one in read) + ROUND


@pytest.mark.parametrize(
    ("read", "settled", "doubtful"),
    [
        # the sheet of 2026-07-28 says 1-3/16 in, by NB
        ([("2026-06-20", "NB", "11/16 in"), ("2026-07-29", "CW", "1-3/16 in")], True, False),
        ([("2026-06-20", "NB", "11/16 in"), ("2026-07-29", "NB", "1-3/16 in")], False, True),
        ([("2026-06-20", "NB", "11/16 in")], False, True),
        ([("2026-06-20", "NB", "11/16 in"), ("2026-07-29", "NB", "{reads: 1-3/16 in, sure: read twice}")], True, False),
        ([("2026-06-20", "NB", "1-1/16 in"), ("2026-07-29", "CW", "1-3/16 in")], False, False),  # two steps of 1/16 in
        ([("2026-06-20", "NB", "1-1/4 in"), ("2026-07-29", "CW", "1-3/16 in")], False, False),  # it wore
    ],
)
def test_a_rim_that_grew_stays_on_the_first_page_when_a_second_reader_settles_it(
    read: list[tuple[str, str, str]], settled: bool, doubtful: bool
) -> None:
    page = [words for sort, words in first_page(LARKSPUR, ROUND, rims(*read)) if sort == "doubt"]
    named = [words for words in page if words.startswith(SETTLED)]
    assert bool(named) is settled
    assert all("rim thickness was 11/16 in on 2026-06-20 and is 1-3/16 in on 2026-07-29" in words for words in named)
    assert any(words.startswith("Doubtful: wheel L1: rim thickness was") for words in page) is doubtful
