"""What was written down wrongly and put right: both stay on record, and what was read counts from the day on which
somebody says so."""

from datetime import date

import pytest
from record_samples import CAR, changed, problems_of

from carknocker.record import CarRecord, read_car_text
from carknocker.record.model import Evidence
from carknocker.record.standing import car_on_day, later_words
from carknocker.record.value_words import value_words

RIGHT = {"of": "wheel L1", "reading": "flange_thickness", "read_on": "2026-05-10", "said": "15/16 in",
         "is": "1-1/16 in", "by": "RE", "on": "2026-05-12", "why": "the 1 was lost in copying"}  # fmt: skip


def record(*corrections: dict[str, str], text: str = CAR) -> str:
    entries = ({**RIGHT, **one} for one in corrections or ({},))
    lines = (", ".join(f"{key}: {value}" for key, value in one.items() if value) for one in entries)
    return text + "corrections:\n" + "".join(f"  - {{{line}}}\n" for line in lines)


def flange(car: CarRecord, day: date | None = None) -> Evidence:
    by_part = car.by_part if day is None else car_on_day(car, day).evidence
    [one] = by_part["wheel W-1 left"]["flange_thickness"]
    return one


def test_what_was_read_counts_with_its_own_day_reader_and_gauge_and_what_was_written_stays() -> None:
    text = record()
    car = read_car_text(text, "car.yaml")
    one = flange(car)
    assert (value_words(one.value), one.on, one.sheet) == ("1-1/16 in", date(2026, 5, 10), "sheet 1 of 2026-05-10")
    assert (one.by and one.by.name, one.gauge and one.gauge.name, one.where.line) == ("RE", "G-2", text.count("\n"))
    [told] = car.corrections
    assert (told.said, told.now, told.read_on, told.why) == ("15/16 in", "1-1/16 in", date(2026, 5, 10), RIGHT["why"])
    assert told.was is not None
    assert value_words(told.was.value) == "15/16 in"


def test_before_the_day_on_which_it_was_put_right_what_was_written_counts() -> None:
    car = read_car_text(record({}, {"said": "1-1/16 in", "is": "1-1/32 in", "on": "2026-05-14"}), "car.yaml")
    days = {day: value_words(flange(car, date(2026, 5, day)).value) for day in (11, 12, 13, 14)}
    assert days == {11: "15/16 in", 12: "1-1/16 in", 13: "1-1/16 in", 14: "1-1/32 in"}
    assert "a correction of 2026-05-12" in later_words(car, date(2026, 5, 11))
    assert later_words(car, date(2026, 6, 30)) == ""


def test_a_reading_of_that_day_that_agrees_with_what_is_right_is_taken() -> None:
    """Two readings of one day that disagree are refused: what was never read is none of them."""
    second = (
        "  - {on: 2026-05-10, by: HM, gauge: G-2, readings: {wheels: {L1: {flange_thickness: 1-1/16 in}}}}\nevents:"
    )
    again = changed("events:", second)
    assert len(problems_of(again)) == 1
    assert problems_of(record(text=again)) == ()


def test_the_part_is_named_as_it_stood_on_the_day_or_as_it_stands_now() -> None:
    third = {"of": "wheel L3", "said": "1 in", "is": "1-1/8 in"}
    car = read_car_text(record(third), "car.yaml")  # W-6 stood there that day, W-3 stands there now
    assert value_words(car.by_part["wheel W-6 left"]["flange_thickness"][0].value) == "1-1/8 in"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"of": "wheel L9"}, "the wheel `L9`, which the car has not got"),
        ({"of": "flywheel 1"}, "`of: flywheel 1`"),
        ({"reading": "flange_thicknes"}, "the reading of a wheel `flange_thicknes`, which is not known"),
        ({"reading": "wear_kind"}, "the reading of a wheel `wear_kind`, which is not known"),
        ({"said": "1 in"}, "a correction of `flange_thickness` of wheel L1 on 2026-05-10, `1 in`"),
        ({"read_on": "2026-05-11"}, "a correction of `flange_thickness` of wheel L1 on 2026-05-11, `15/16 in`"),
        ({"is": "15/16 in"}, "`15/16 in`, which is on record"),
        ({"is": "875 in"}, "`875 in` for `flange_thickness`"),
        ({"is": "1 psi"}, "the unit `psi`"),
        ({"is": "{reads: 1-1/16 in, gauge: G-2}"}, "a gauge in a correction"),
        ({"is": ""}, "a correction without `is`"),
        ({"by": "XX"}, "the person `XX`, which is not known"),
        ({"on": "2026-05-09"}, "a correction of 2026-05-09 of what was read on 2026-05-10"),
        ({"why": "yes"}, "`why: yes`"),
        ({"why": ""}, "the key `why` is missing"),
        ({"then": "1 in"}, "the key `then`"),
        ({"read_on": "", "reading": "flange_thickness"}, "`flange_thickness` of wheel L1"),
    ],
)
def test_what_it_can_not_be_about_is_refused(said: dict[str, str], words: str) -> None:
    [problem] = problems_of(record(said))
    assert words in problem.found
    assert problem.where.line == record().count("\n")


def test_a_figure_takes_the_place_of_a_figure_alone() -> None:
    """Else it would count without a gauge that showed it."""
    words = changed("flange_height: 1-3/16 in", "rim_thickness: not accessible (mud)")
    said = {"reading": "rim_thickness", "said": "not accessible (mud)", "is": "1-1/4 in"}
    [problem] = problems_of(record(said, text=words))
    assert problem.found == "a figure in place of `not accessible (mud)`, which no gauge showed"
    assert problems_of(record({"is": "not accessible (mud)"})) == ()


def test_what_someone_read_whom_a_host_accepts_only_such_a_person_puts_right() -> None:
    of_shop = changed("    by: RE\n    gauge: G-2", "    by: HM\n    gauge: G-2")
    [problem] = problems_of(record(text=of_shop))
    assert problem.found == "what HM read, put right by RE, whom Kestrel & Northern does not accept on that day"
    assert problems_of(record({"by": "HM"}, text=of_shop)) == ()
    until = "accepted_by: [Kestrel & Northern], until: 2026-05-12"
    other = changed("  HM:", f"  OF: {{role: shop inspector, {until}}}\n  HM:", of_shop)
    assert problems_of(record({"by": "OF"}, text=other)) == ()
    assert len(problems_of(record({"by": "OF", "on": "2026-05-13"}, text=other))) == 1


def test_what_two_people_read_alike_is_no_slip_of_the_pen() -> None:
    second = "  - {on: 2026-05-10, by: HM, gauge: G-2, readings: {wheels: {L1: {flange_thickness: 15/16 in}}}}\nevents:"
    [problem] = problems_of(record(text=changed("events:", second)))
    assert problem.found.endswith("which RE and HM read alike")


def test_a_description_the_mark_and_the_name_are_told_with_what_stood_there() -> None:
    of = {"read_on": ""}
    car = read_car_text(record(
        {**of, "of": "truck B", "reading": "truck_kind", "said": "three-axle", "is": "two-axle"},
        {**of, "of": "car", "reading": "mark", "said": "QWHX 8", "is": "QWHX 3"},
        {**of, "of": "car", "reading": "name", "said": "Turn", "is": "Tern"},
    ), "car.yaml")  # fmt: skip
    assert [(one.of, one.attribute, one.said, one.now) for one in car.corrections] == [
        ("truck B", "truck_kind", "three-axle", "two-axle"), ("car", "mark", "QWHX 8", "QWHX 3"),
        ("car", "name", "Turn", "Tern"),
    ]  # fmt: skip
    assert all(one.was is None for one in car.corrections)


IN_PLACE = {"read_on": "", "by": "HM", "on": "2026-08-25", "why": "misread stamp"}
TEST = {**IN_PLACE, "of": "test single-car brake test of 2026-02-02"}
PAPER = {**IN_PLACE, "of": "paper liability insurance", "reading": "until", "by": "RE"}
JOB = {**IN_PLACE, "of": "job J-2", "reading": "at"}


@pytest.mark.parametrize(
    "said",
    [
        {**TEST, "reading": "result", "said": "failed", "is": "passed"},
        {**TEST, "reading": "code", "said": "S-4025", "is": "manual"},
        {**TEST, "reading": "paper", "said": "SCT-7", "is": "nothing"},
        {**TEST, "of": "test single-car brake test of 2026-02-01", "reading": "on", "said": "2026-02-01",
         "is": "2026-02-02"},
        {**TEST, "of": "test hand brake test of 2026-02-02", "reading": "test", "said": "hand brake test",
         "is": "single-car brake test"},
        {**TEST, "of": "test hand brake test of 2026-02-02", "reading": "entry", "said": "hand brake test",
         "is": "never was"},
        {**PAPER, "said": "2027-12-31", "is": "2026-12-31"},
        {**JOB, "said": "'L1, R1'", "is": "'L2,  R2'"},
        {**JOB, "of": "job wheels turned of 2026-06-02", "reading": "id", "said": "J-3", "is": "J-2"},
        {**IN_PLACE, "of": "event E-1", "reading": "cause", "said": "unknown", "is": "hand brake left on"},
        {**IN_PLACE, "of": "move made of 2026-03-01", "reading": "miles", "said": "64 mi", "is": "640 mi"},
        {**IN_PLACE, "of": "spare air hose", "reading": "shelf", "said": "3", "is": "1"},
        {**IN_PLACE, "of": "wheelset W-1", "reading": "axle_class", "said": "C", "is": "D"},
        {**IN_PLACE, "of": "wheel L3", "reading": "plate_shape", "said": "straight", "is": "curved",
         "on": "2026-06-01"},
    ],
)  # fmt: skip
def test_what_is_put_right_in_its_own_place_stands_there_as_it_is_right(said: dict[str, str]) -> None:
    """The last is of wheelset W-6, which came off that day; what wheels stand there now is no matter of it."""
    assert problems_of(record(said)) == ()


@pytest.mark.parametrize(
    ("said", "words", "expected"),
    [
        ({**TEST, "reading": "result", "said": "passed", "is": "failed"}, "`result` is `failed`", "`passed`"),
        ({**TEST, "reading": "resullt", "said": "failed", "is": "passed"}, "`resullt` is `passed`", "`nothing`"),
        ({**TEST, "reading": "code", "said": "manual", "is": "nothing"}, "`code` is `nothing`", "`manual`"),
        ({**TEST, "of": "test single-car brake test of 2026-02-03", "reading": "result", "said": "failed",
          "is": "passed"}, "which is not on record", "test single-car brake test of 2026-02-02"),
        ({**TEST, "of": "test single-car brake test of 2026-02-02", "reading": "on", "said": "2026-02-02",
          "is": "2026-02-01"}, "which is not on record", "of 2026-02-02"),
        ({**TEST, "reading": "entry", "said": "single-car brake test", "is": "never was"}, "it is on record", "taken"),
        ({**TEST, "of": "test hand brake test of 2026-02-02", "reading": "entry", "said": "x", "is": "gone"},
         "`is: gone` of an entry", "never was"),
        ({**PAPER, "said": "2026-12-31", "is": "2026-09-01"}, "`until` is `2026-09-01`", "`2026-12-31`"),
        ({**PAPER, "of": "paper agreement with the host", "said": "2026-12-31", "is": "2026-09-01"}, "not on record",
         "paper liability insurance"),
        ({**JOB, "said": "'L2, R2'", "is": "'L1, R1'"}, "`at` is `L1, R1`", "`L2, R2`"),
        ({**IN_PLACE, "of": "spare air hose", "reading": "shelf", "said": "1", "is": "3"}, "is `3`", "`1`"),
        ({**IN_PLACE, "of": "wheelset W-1", "reading": "axle_class", "said": "D", "is": "E"}, "is `E`", "`D`"),
        ({**IN_PLACE, "of": "wheelset W-9", "reading": "axle_class", "said": "D", "is": "E"}, "W-9", ""),
        ({**IN_PLACE, "of": "car", "reading": "mark", "said": "QWHX 3", "is": "QWHX 8"}, "is `QWHX 8`", "`QWHX 3`"),
    ],
)  # fmt: skip
def test_a_correction_that_contradicts_what_stands_is_refused_at_its_line(
    said: dict[str, str], words: str, expected: str
) -> None:
    [problem] = problems_of(record(said))
    assert words in problem.found
    assert expected in problem.expected
    assert problem.where.line == record().count("\n")


def test_of_what_was_put_right_twice_the_last_correction_has_to_stand() -> None:
    first = {**TEST, "reading": "code", "said": "manual", "is": "S-4025", "on": "2026-08-01"}
    again = {**TEST, "reading": "code", "said": "S-4025", "is": "manual"}
    assert problems_of(record(first, again)) == ()
    assert problems_of(record(again, first)) == ()
    assert len(problems_of(record(first))) == 1
    moved = {**TEST, "reading": "on", "said": "2026-02-02", "is": "2026-02-03"}
    later = changed("on: 2026-02-02, by: HM", "on: 2026-02-03, by: HM")
    assert problems_of(record({**again, "on": "2026-08-01"}, moved, text=later)) == ()
    assert len(problems_of(record({**first, "is": "AB"}, moved, text=later))) == 1
    never = {**TEST, "reading": "entry", "said": "single-car brake test", "is": "never was"}
    gone = changed("  - {test: single-car brake test, on: 2026-02-02, by: HM, result: passed, code: manual, "
                   "device: D-7}\n", "  []\n")  # fmt: skip
    assert problems_of(record(first, never, text=gone)) == ()
    assert len(problems_of(record(first, text=gone))) == 1


def test_what_is_put_right_and_renewed_since_is_no_matter_of_the_correction() -> None:
    said = {**IN_PLACE, "of": "wheel L2", "reading": "plate_shape", "said": "curved", "is": "straight"}
    assert problems_of(record({**said, "on": "2026-06-01"})) == ()
    assert len(problems_of(record({**said, "on": "2026-06-03"}))) == 1
    mark = {**IN_PLACE, "of": "car", "reading": "mark", "said": "QWHX 3", "is": "QWHX 8"}
    event = '  - {id: E-2, on: 2026-09-01, happened: "mark, name or owner changed", what: mark}\n'
    assert problems_of(record(mark, text=changed("events:\n", f"events:\n{event}"))) == ()


@pytest.mark.parametrize(
    ("said", "whose"),
    [
        ({"reading": "result", "said": "failed", "is": "passed"}, "what HM signed"),
        ({"reading": "code", "said": "S-4025", "is": "manual"}, "what HM signed"),
        ({"reading": "by", "said": "RE", "is": "HM"}, "what HM signed"),
    ],
)
def test_what_someone_signed_whom_a_host_accepts_only_such_a_person_puts_right(
    said: dict[str, str], whose: str
) -> None:
    [problem] = problems_of(record({**TEST, **said, "by": "RE"}))
    assert problem.found == f"{whose}, put right by RE, whom Kestrel & Northern does not accept on that day"
    assert problems_of(record({**TEST, **said})) == ()
    own = changed("on: 2026-02-02, by: HM", "on: 2026-02-02, by: RE")
    if said["reading"] != "by":
        assert problems_of(record({**TEST, **said, "by": "RE"}, text=own)) == ()
        return
    away = {**TEST, "reading": "by", "said": "HM", "is": "RE", "by": "RE"}
    assert len(problems_of(record(away, text=own))) == 1


def test_who_is_accepted_no_longer_puts_nothing_right_of_another_who_is() -> None:
    until = "accepted_by: [Kestrel & Northern], until: 2027-12-31"
    other = changed("  HM:", f"  OF: {{role: shop inspector, {until}}}\n  HM:")
    said = {**TEST, "reading": "result", "said": "failed", "is": "passed", "by": "OF"}
    assert problems_of(record(said, text=other)) == ()
    event = "  - {id: E-2, on: 2026-08-24, happened: acceptance ended, person: OF}\n"
    [problem] = problems_of(record(said, text=changed("events:\n", f"events:\n{event}", other)))
    assert "put right by OF" in problem.found
