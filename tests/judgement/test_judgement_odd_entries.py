"""Slips in entries beside the readings: gauges, people, papers, facts of tests, spares. Each is doubtful, named on the
first page, and what rests on it counts only against the car."""

import re
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from carknocker.judgement.evidence import uncounted
from carknocker.judgement.host_names import unlike_host_names
from carknocker.judgement.odd_entries import OddEntry, odd_entries
from carknocker.record import read_car_text, read_move
from carknocker.record.model import CarRecord, Move
from carknocker.record.standing import car_on_day
from carknocker.wording.oddities import entry_oddity_words
from carknocker.wording.set_aside import set_aside_words

LARKSPUR = Path("cases/larkspur/freight/car.yaml")
AS_OF = date(2026, 10, 8)


def odd(old: str, new: str) -> tuple[OddEntry, ...]:
    """The odd entries of the demo car with another text in the place of one."""
    text = LARKSPUR.read_text(encoding="utf-8")
    assert old in text
    return odd_entries(car_on_day(read_car_text(text.replace(old, new, 1), "car.yaml"), AS_OF))


F1 = "reads_to: 1/16 in, checked: 2026-04-11, due: 2027-04-11"
AGREEMENT = "from: 2023-01-01, until: 2027-12-31"
BRAKE_TEST = "device_due: 2026-07-01"

# what slipped: what stood there, what stands there, whose slip it is, what is odd, whether evidence rests on it
SLIPS = {
    "a gauge due a decade late": (F1, F1.replace("2027", "2037"), "gauge F-1", "due 2037-04-11; usual is", False),
    "a gauge checked a decade early": (F1, F1.replace("2026", "2016"), "gauge F-1", "due 2027-04-11; usual is", True),
    "accepted a decade too long": ("until: 2027-01-31", "until: 2037-01-31", "PD", "accepted until 2037-01-31", False),
    "insurance that began a decade early": (
        "from: 2026-03-01", "from: 2016-03-01", "the liability insurance", "from 2016-03-01 until 2027-02-28", True,
    ),
    "an agreement that began a decade early": (
        AGREEMENT, AGREEMENT.replace("2023", "2013"), "the agreement with the host", "from 2013-01-01", True,
    ),
    "an agreement that ends a decade late": (
        AGREEMENT, AGREEMENT.replace("2027", "2037"), "the agreement with the host", "until 2037-12-31", True,
    ),
    "a test device due years after the test": (
        BRAKE_TEST, BRAKE_TEST.replace("2026", "2028"), "the single-car brake test of 2026-05-20",
        "test device due 2028-07-01", True,
    ),
    "a finger gauge that is never due": (
        F1, F1.replace("due: 2027-04-11", "due: never"), "gauge F-1",
        "due never; usual is from the day of its check (2026-04-11) to the day of its check + 5 years (2031-04-11)",
        False,
    ),
    "an old finger gauge that is never due": (
        F1, F1.replace("checked: 2026-04-11, due: 2027-04-11", "checked: 2016-04-11, due: never"), "gauge F-1",
        "due never", True,
    ),
    "a kind of gauge misspelled": (
        "kind: finger gauge", "kind: fingr gauge", "gauge F-1",
        "`fingr gauge` is no kind that is known (nearest: finger gauge)", False,
    ),
    "a gauge of no kind": (
        "kind: finger gauge", "kind: wheel thing", "gauge F-1", "`wheel thing` is no kind that is known", False,
    ),
    "accepted with no end": ("until: 2027-01-31", "until: no end", "PD", "accepted with no end; usual is", False),
    "insurance with no end": (
        "from: 2026-03-01, until: 2027-02-28", "from: 2026-03-01, until: no end", "the liability insurance",
        "from 2026-03-01 with no end; usual is", True,
    ),
    "ten hoses for one": ("air hose, carried: 1", "air hose, carried: 10", "the spare air hose", "10 carried", False),
    "forty gaskets for four": (
        "hose gasket, carried: 4", "hose gasket, carried: 40", "the spare hose gasket", "40 carried", False,
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_an_odd_entry_is_doubtful(slip: str) -> None:
    old, new, of, says, rests = SLIPS[slip]
    assert odd(old, old) == ()
    (one,) = odd(old, new)
    words = entry_oddity_words(one.odd)
    assert words.startswith(f"{of}: ")
    assert says in words
    assert bool(one.evidence) is rests


MOUNTED = "at: [K-101, K-102, K-103, K-104], result: passed, press_record: yes, certificate: MC-101"
CHECK = (
    "  - {press_record: yes, test: wheelset mounting check, on: ON, by: CW, at: K-102, result: passed, certificate: MC}"
)


@pytest.mark.parametrize(
    ("on", "certificate", "found"),
    [
        ("2019-01-02", "MC-101", 0),  # three months after 2018-10-02: one batch
        ("2019-01-03", "MC-101", 2),
        ("2026-05-02", "MC-101", 2),
        ("2026-05-02", "MC-102", 0),
        (
            "2026-05-02",
            "{reads: MC-101, sure: the shop numbers anew each year}",
            0,
        ),  # and that is so of the other as well
    ],
)
def test_one_certificate_does_not_tell_of_checks_far_apart(on: str, certificate: str, found: int) -> None:
    first = f"{MOUNTED}}}\n"
    told = odd(first, f"{first}{CHECK.replace('ON', on).replace('certificate: MC', f'certificate: {certificate}')}\n")
    assert len(told) == found
    for one in told:
        words = entry_oddity_words(one.odd)
        assert words.startswith("the wheelset mounting check of ")
        assert "certificate MC-101, the same as that of 20" in words
        assert one.evidence


@pytest.mark.parametrize(
    ("old", "edge", "beyond"),
    [
        (F1, F1.replace("2027-04-11", "2031-04-11"), F1.replace("2027-04-11", "2031-04-12")),
        ("until: 2027-01-31", "until: 2032-10-08", "until: 2032-10-09"),
        (AGREEMENT, AGREEMENT.replace("2027-12-31", "2028-01-01"), AGREEMENT.replace("2027-12-31", "2028-01-02")),
        ("air hose, carried: 1", "air hose, carried: 8", "air hose, carried: 9"),
    ],
)
def test_the_ends_of_what_is_usual_are_no_doubt(old: str, edge: str, beyond: str) -> None:
    assert odd(old, edge) == ()
    assert len(odd(old, beyond)) == 1


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (F1, F1.replace("2027", "2037") + ", sure: the maker says ten years"),
        (AGREEMENT, AGREEMENT.replace("2027", "2037") + ", sure: a long lease"),
        ("air hose, carried: 1", "air hose, carried: 10, sure: for the whole train"),
        (BRAKE_TEST, "device_due: {is: 2028-07-01, sure: seal seen}"),
        (F1, F1.replace("due: 2027-04-11", "due: never") + ", sure: a master gauge"),
        ("{kind: feelers, reads_to: 1/32 in, checked: 2026-04-11, due: 2027-04-11}", "{kind: feelers, due: never}"),
        ("kind: finger gauge", "sure: our own, kind: wheel thing"),
        ("until: 2027-02-28", "until: no end, sure: until it is given up"),
        (AGREEMENT, AGREEMENT.replace("until: 2027-12-31", "until: no end")),
    ],
)
def test_what_is_sure_or_has_no_end_is_no_doubt(old: str, new: str) -> None:
    new = new.replace("{is: ", "{reads: ")
    assert odd(old, new) == ()


def test_a_gauge_is_doubted_only_from_five_years_after_its_check_on() -> None:
    (one,) = odd(F1, F1.replace("2026", "2016"))
    text = LARKSPUR.read_text(encoding="utf-8").replace(F1, F1.replace("2026", "2016"), 1)
    day = car_on_day(read_car_text(text, "car.yaml"), AS_OF)
    rim = next(entry for entry in day.car.evidence if entry.attribute == "rim_thickness")
    assert rim.id in one.evidence
    assert re.match("doubtful: gauge F-1: due 2027-04-11", set_aside_words(uncounted(day)[rim.id]))
    early = replace(rim, on=date(2021, 4, 11), id="early")
    again = replace(day.car, evidence=(early, *day.car.evidence), by_part={}, last_day=date.min)
    (one,) = odd_entries(car_on_day(again, AS_OF))
    assert "early" not in one.evidence


@pytest.mark.parametrize("file", sorted(str(file) for file in Path("cases").glob("**/car.yaml")))
def test_an_honest_demo_car_has_no_odd_entry(file: str) -> None:
    car = read_car_text(Path(file).read_text(encoding="utf-8"), "car.yaml")
    assert odd_entries(car_on_day(car, AS_OF)) == ()


def of_all_wheels(rim: str, *, together: bool) -> CarRecord:
    """The demo car with one flange and one rim on all wheels but R4, which has a rim of its own."""
    wheels = [f"{side}{axle}" for side in "LR" for axle in range(1, 5)]
    rims = {name: rim if name == "R4" else "1-3/8 in" for name in wheels}
    own = {name: f"{{flange_thickness: 1-1/8 in, rim_thickness: {rims[name]}}}" for name in wheels}
    lines = ["        all: " + own["L1"]] if together else [f"        {name}: {value}" for name, value in own.items()]
    sheet = ["  - on: 2026-10-01", "    by: PD", "    gauge: F-1", "    readings:", "      wheels:", *lines]
    text = LARKSPUR.read_text(encoding="utf-8").replace("sheets:\n", "\n".join(("sheets:", *sheet, "")), 1)
    return read_car_text(text, "car.yaml")


@pytest.mark.parametrize(
    ("rim", "together", "found"), [("1-3/8 in", False, 1), ("1-5/16 in", False, 0), ("1-3/8 in", True, 0)]
)
def test_wheels_that_are_all_alike_are_asked_about(rim: str, together: bool, found: int) -> None:
    odd = odd_entries(car_on_day(of_all_wheels(rim, together=together), AS_OF))
    assert len(odd) == found
    for one in odd:
        assert one.evidence == ()
        assert "all 8 wheels have a rim of 1-3/8 in, and one and the same flange" in entry_oddity_words(one.odd)


def accepting(accepted_by: str, host: str) -> tuple[CarRecord, Move]:
    """The demo car with one person alone, and its move on another railroad."""
    car = read_car_text(LARKSPUR.read_text(encoding="utf-8"), "car.yaml")
    (person, *_) = car.people.values()
    people = {"PD": replace(person, accepted_by=(accepted_by,))}
    return replace(car, people=people, evidence=(), moves_made=()), replace(
        read_move(LARKSPUR.with_name("move.yaml")), host=host
    )


@pytest.mark.parametrize(
    ("accepts", "found"),
    [
        ("Kestrel & Northern", True),
        ("Kestrel and Nothern", True),
        ("Kestrel and Norhtern", True),
        ("Kestrel and Northerm", True),
        ("kestrel and northern", False),
        ("Kestrel and Southern", False),
        ("Kestrel and Northern Line", False),
    ],
)
def test_a_host_is_spelt_alike_everywhere(accepts: str, found: bool) -> None:
    assert bool(list(unlike_host_names(*accepting(accepts, "Kestrel and Northern")))) is found


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("miles: 420 mi, host: Kestrel & Northern", "miles: 420 mi, host: Kestral & Northern"),
        ("names_host: Kestrel & Northern", "names_host: Kestral & Northern"),
        ("form: M-12, host: Kestrel & Northern", "form: M-12, host: Kestral & Northern"),
    ],
)
def test_a_host_is_spelt_alike_in_moves_made_papers_and_tests(old: str, new: str) -> None:
    text, one_move = LARKSPUR.read_text(encoding="utf-8"), read_move(LARKSPUR.with_name("move.yaml"))
    assert old in text
    assert list(unlike_host_names(read_car_text(text, "car.yaml"), one_move)) == []
    (found,) = unlike_host_names(read_car_text(text.replace(old, new), "car.yaml"), one_move)
    assert {found.one, found.other} == {"Kestrel & Northern", "Kestral & Northern"}


def test_eastern_and_western_are_two_railroads() -> None:
    assert list(unlike_host_names(*accepting("Marrow Western", "Marrow Eastern"))) == []
