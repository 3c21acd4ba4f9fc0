"""The first lines of `check` tell items apart, and the borderline list says once what is to be read again alike."""

from datetime import date
from pathlib import Path

from carknocker.dossier.view import view_of
from carknocker.judgement.answer import check
from carknocker.page.text import text_of
from carknocker.questions.check.page import page_of
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import load_library, rulesets_folders

FREIGHT, LARKSPUR, WREN = (
    Path("cases/larkspur/freight"),
    Path("cases/larkspur/passenger"),
    Path("cases/wren-hollow/after"),
)
LIBRARY = load_library(rulesets_folders())
WITHOUT = ("car.yaml", "  designed_to_carry: the public\n", "")


def lines(folder: Path, day: date, *changes: tuple[str, str, str]) -> list[str]:
    """The page of a demo car without its line breaks; changes: the file, a text in it, what stands there instead."""
    texts = {name: (folder / name).read_text(encoding="utf-8") for name in ("car.yaml", "move.yaml")}
    for name, old, new in changes:
        assert old in texts[name]
        texts[name] = texts[name].replace(old, new, 1)
    move = read_move_text(texts["move.yaml"], "move.yaml")
    answer = check(read_car_text(texts["car.yaml"], "car.yaml"), move, LIBRARY, day)
    return text_of(page_of(view_of(answer)), 1000).splitlines()


def in_short(page: list[str]) -> list[str]:
    """Each item of the first lines, put together again where it is broken."""
    start = page.index("IN SHORT") + 1
    found: list[str] = []
    for line in page[start : page.index("", start)]:
        if line.startswith(" "):
            found[-1] += f" {line.strip()}"
        else:
            found.append(line)
    return found


def test_what_is_against_the_move_says_what_is_asked_and_what_may_be() -> None:
    page = lines(
        LARKSPUR, date(2026, 9, 18),
        ("move.yaml", "operative_brakes: 100 %", "operative_brakes: 80 %\n  brakes_lost: en route"),
    )  # fmt: skip
    assert in_short(page)[1:] == [
        "2. The move: the train is to run at 79 mph; the car may run at most 39.5 mph (law)",
        "3. The move: the move does not say where it goes (`goes_to`); allowed: nearest repair location or next "
        "forward repair location (law)",
    ]


def test_a_leg_that_the_car_does_not_fit_is_named_with_what_is_wrong() -> None:
    limits = "clearance_height: 13 ft 0 in, axle_load_limit: 33699 lb, clearance: plate B"
    page = lines(LARKSPUR, date(2026, 9, 1), ("move.yaml", "clearance: plate B", limits))
    leg = "Leg 1 (Quillon Junction to Tarn Bridge)"
    assert in_short(page)[2:] == [
        f"3. {leg}: car 13 ft 6 in high, over what passes on the leg; must be at most 13 ft (practice)",
        f"4. {leg}: 33,700 lb on an axle, over what the leg allows; must be at most 33,699 lb (practice)",
    ]


def test_two_requirements_on_one_reading_are_told_apart() -> None:
    slid = "events:\n  - {id: E-77, on: 2026-10-18, happened: slid wheels, at: L1}\n\nmoves_made:"
    found = in_short(lines(WREN, date(2026, 10, 24), ("car.yaml", "moves_made:", slid)))
    assert len(set(one.partition(". ")[2] for one in found)) == len(found) == 6
    slid = "reading void; slid wheels after it, 2026-10-18"
    assert found[0].endswith(f"longest flat spot: {slid}; asked: under 2-1/2 in (law)")
    assert found[4].endswith(f"thermal crack: {slid} (law)")


def test_what_is_to_be_read_again_alike_is_one_line() -> None:
    page = lines(
        WREN, date(2026, 10, 24),
        ("move.yaml", "train: passenger", "train: freight\n  public_rides: no"),
    )  # fmt: skip
    (again,) = [one for one in page if "read again: flange height" in one]
    assert "of wheels L1–L3, L5, R1–R3, R5, with a gauge" in again


def test_what_a_part_is_is_no_reading_of_a_sheet() -> None:
    """The record of Larkspur without what the car was designed to carry: nobody takes a gauge for that."""
    page = " ".join(lines(FREIGHT, date(2026, 9, 1), WITHOUT))
    assert "Not shown: 1 reading; say these" in page
    assert "`carknocker new --add` asks for it" in page
    assert "on a dated sheet" not in page
    unread = ("car.yaml", "applies_and_releases: yes, chain", "chain")
    both = " ".join(lines(FREIGHT, date(2026, 9, 1), WITHOUT, unread))
    assert "Not shown: 2 readings; measure these" in both
    assert "`carknocker new --add` asks for it" in both
    assert "on a dated sheet, with who and which gauge" in both
