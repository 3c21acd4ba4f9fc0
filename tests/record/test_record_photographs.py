"""Photographs on record: read, refused where they name what is not there, and good only while the file is as it was."""

from datetime import date

import pytest
from record_samples import CAR, changed, problems_of

from carknocker.record import read_car_text
from carknocker.record.model import CarRecord
from carknocker.record.photographs import digests_found, is_good_name, state_of, with_photographs

COPY, ORIGINAL = "a" * 64, "b" * 64
DIGESTS = f"sha256: {COPY}, original_sha256: {ORIGINAL}"
FILE = "wheel-L1.jpg"


def entry(**said: str) -> str:
    fields = {"file": FILE, "of": "wheel L1", "on": "2026-05-10", "by": "RE", **said}
    return f"  - {{{', '.join(f'{key}: {value}' for key, value in fields.items() if value)}, {DIGESTS}}}\n"


def record(*entries: str) -> str:
    return CAR + "photographs:\n" + "".join(entries or (entry(),))


def read(*entries: str) -> CarRecord:
    return read_car_text(record(*entries), "car.yaml")


def refused(**said: str) -> str:
    problems = problems_of(record(entry(**said)))
    assert len(problems) == 1
    assert problems[0].where.line == record().count("\n")
    assert problems[0].expected
    return problems[0].found


def test_a_photograph_names_its_file_what_it_shows_its_day_and_who_took_it() -> None:
    [one] = read(entry(reading="flange_thickness")).photographs
    assert (one.file, one.of, one.parts, one.reading) == (FILE, ("wheel L1",), ("wheel W-1 left",), "flange_thickness")
    assert (one.on, one.sha256, one.original_sha256, one.found) == (date(2026, 5, 10), COPY, ORIGINAL, "")
    assert one.by is not None
    assert one.by.name == "RE"


@pytest.mark.parametrize("of", ["car", "truck B", "spring 1", "J-1", "single-car brake test", "\"wheel L1, R1\"",
                                "[wheel L1, hand brake B]"])  # fmt: skip
def test_it_may_show_a_part_a_job_or_a_test(of: str) -> None:
    assert read(entry(of=of)).photographs


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"of": "wheel L9"}, "the wheel `wheel L9`, which the car has not got"),
        ({"of": "J-99"}, "`of: J-99`"),
        ({"of": "letter 7"}, "`of: letter 7`"),
        ({"by": "XX"}, "the person `XX`, which is not known"),
        ({"reading": "flange_thicknes"}, "the reading of a wheel `flange_thicknes`, which is not known"),
        ({"of": "J-1", "reading": "flange_thickness"}, "the reading `flange_thickness` of what is no part"),
        ({"file": "../wheel.jpg"}, "the file `../wheel.jpg`"),
        ({"file": "a/b.jpg"}, "the file `a/b.jpg`"),
        ({"file": "'a\\b.jpg'"}, "the file `a\\b.jpg`"),
        ({"file": "wheel.png"}, "the file `wheel.png`"),
        ({"file": "wheel.jpg.exe"}, "the file `wheel.jpg.exe`"),
        ({"file": ".jpg"}, "the file `.jpg`"),
        ({"file": "con.jpg"}, "the file `con.jpg`"),
        ({"after": "J-99"}, "the job or event `J-99`, which is not known"),
    ],
)
def test_what_is_not_on_record_or_leads_out_of_the_folder_is_refused(said: dict[str, str], words: str) -> None:
    assert refused(**said) == words


def test_one_file_is_named_once_whatever_its_capitals() -> None:
    [problem] = problems_of(record(entry(), entry(file="Wheel-l1.jpg")))
    assert "a second time" in problem.found


@pytest.mark.parametrize("digest", ["", "a" * 63, "A" * 64, "g" * 64, "[a]"])
def test_a_digest_is_64_digits(digest: str) -> None:
    text = record().replace(f"sha256: {COPY}, original", f"sha256: {digest or '~'}, original")
    assert problems_of(text)


@pytest.mark.parametrize(("length", "good"), [(96, True), (97, False)])
def test_a_name_is_not_too_long(length: int, good: bool) -> None:
    assert is_good_name("a" * length + ".jpg") is good


@pytest.mark.parametrize(
    ("found", "state"),
    [({FILE: COPY}, "on hand"), ({}, "missing"), ({FILE: ORIGINAL}, "changed"), ({"x": COPY}, "missing")],
)
def test_it_is_on_hand_only_with_its_digest(found: dict[str, str], state: str) -> None:
    car = with_photographs(read(), found)
    assert [state_of(one) for one in car.photographs] == [state]
    assert digests_found(car) == {name: digest for name, digest in found.items() if name == FILE}


def shown(car: CarRecord) -> set[tuple[str, str, str]]:
    return {(one.part, one.attribute, one.photograph) for one in car.evidence if one.photograph}


def test_it_confirms_the_reading_of_its_day_while_it_is_on_hand() -> None:
    car = read(entry(reading="flange_thickness"))
    assert shown(with_photographs(car, {FILE: COPY})) == {("wheel W-1 left", "flange_thickness", FILE)}
    assert not shown(car)
    assert not shown(with_photographs(car, {FILE: ORIGINAL}))
    assert not shown(with_photographs(car, {}))
    assert not shown(with_photographs(with_photographs(car, {FILE: COPY}), {FILE: ORIGINAL}))


@pytest.mark.parametrize("said", [{}, {"reading": "flange_thickness", "on": "2026-05-11"},
                                  {"reading": "flange_thickness", "on": "2026-05-09"},
                                  {"reading": "flange_thickness", "of": "wheel L2"},
                                  {"reading": "flange_height"}])  # fmt: skip
def test_it_confirms_no_other_reading(said: dict[str, str]) -> None:
    assert ("wheel W-1 left", "flange_thickness", FILE) not in shown(
        with_photographs(read(entry(**said)), {FILE: COPY})
    )


def test_a_car_without_photographs_is_the_same_car() -> None:
    car = read_car_text(changed("name: Tern", "name: Ternlet"), "car.yaml")
    assert with_photographs(car, {FILE: COPY}) is car
