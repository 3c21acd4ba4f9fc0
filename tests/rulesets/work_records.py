"""Small records for work and events: a car in good order, and what is put down about it after its sheets."""

import re
from datetime import date
from functools import cache
from pathlib import Path

from carknocker.judgement.judge import judge
from carknocker.judgement.model import Judgement
from carknocker.record import read_car_text
from carknocker.record.move_reader import read_move_text
from carknocker.rulebook import load_library, rulesets_folders

CASE = Path(__file__).resolve().parents[2] / "cases" / "larkspur" / "passenger"
DAY = date(2026, 9, 1)
_LIBRARY = load_library(rulesets_folders())
_WHEELSETS = "  K-104: *wheelset\n"
_BODY = "      body: {doors_traps_steps_secure"
_BRAKE = "single_car_test_stenciled: yes, cut_out: no}"
# A wheelset that has left the car, and two readings that the record leaves open.
_CAR = (
    (CASE / "car.yaml").read_text(encoding="utf-8")
    .replace(_WHEELSETS, _WHEELSETS + "  K-090: {axle_class: D, journal_centers: 6 ft 5 in, where: gone}\n")
    .replace(_BODY, "      car: {marks_agree_with_papers: yes}\n" + _BODY)
    .replace(_BRAKE, "single_car_test_stenciled: yes, shop_track_since_test: no, cut_out: no}")
)  # fmt: skip
_MOVE = (CASE / "move.yaml").read_text(encoding="utf-8")


def car_text() -> str:
    """The record of the car, without work and events."""
    return _CAR


@cache
def judged(
    entries: str, train: str = "passenger", host: str = "Kestrel & Northern", tests: str = "", brakes: str = ""
) -> Judgement:
    """The car judged with entries under `work:` and `events:`, each written as a mapping on a line of its own.

    An entry without `on` is dated 2026-08-10, after every sheet. tests: a line more under `tests:`.
    brakes: the share of the train's brakes that is operative.
    """
    lines = [line.strip() for line in entries.strip().splitlines()]
    log: dict[str, list[str]] = {"work": [], "events": []}
    for number, line in enumerate(lines, start=1):
        dated = line if ", on: " in line else f"{line}, on: 2026-08-10"
        section = "events" if line.startswith("happened") else "work"
        log[section].append(f"  - {{id: N-{number}, {dated}}}\n")
    text = _CAR + "".join(f"{name}:\n{''.join(rows)}" for name, rows in log.items() if rows)
    if tests:
        text = text.replace("\ntests:\n", f"\ntests:\n  - {tests}\n")
    move = _MOVE.replace("train: passenger", f"train: {train}").replace("host: Kestrel & Northern", f"host: {host}")
    if brakes:
        move = re.sub(r"(?m)^  operative_brakes: .*$", f"  operative_brakes: {brakes}", move)
    read = read_move_text(move, "move.yaml")
    return judge(read_car_text(text, "car.yaml"), read, _LIBRARY.rulebooks(read).at_out, DAY)


def fired(judgement: Judgement) -> set[str]:
    """The consequences that fired by an entry of the log, or by what was seen."""
    return {
        firing.consequence.id for firing in judgement.firings if firing.cause.sort in ("work", "event", "seen", "test")
    }


def void(judgement: Judgement) -> set[str]:
    """What is void: `attribute @ part`."""
    return {f"{one.evidence.attribute} @ {one.evidence.part}" for one in judgement.voided}


def due(judgement: Judgement) -> set[str]:
    """Tests that are still due: `test @ part`, `on the way` in front of those that can only be made then."""
    return {
        f"{'on the way: ' if duty.state == 'on the way' else ''}{duty.requirement.test} @ {duty.part.key}"
        for duty in judgement.duties if duty.state != "done" and duty.requirement.test
    }  # fmt: skip
