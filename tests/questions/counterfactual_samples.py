"""A small invented rulebook with every sort of comparison, and a car that breaches all of it, for what would have to be
otherwise."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from device_dates import device_due
from msgspec.structs import replace

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.judgement.judge import judge
from carknocker.judgement.model import Finding, Judgement
from carknocker.record import read_car_text, read_move_text
from carknocker.record.model import CarRecord, Move
from carknocker.record.values import Day, Value
from carknocker.rulebook import Library, load_library
from carknocker.whatif.model import Way

AS_OF = date(2030, 5, 1)

HEAD = """format: carknocker-edition/1
ruleset: other-law
edition: "{name}"
title: A law to be breached
layer: law
complete: yes
publisher: nobody
in_force: {in_force}
checked: 2030-01-01
borderline: advise
regimes: {{passenger: "one", freight: "two", excursion: "three"}}
"""
CRITERION = """  - id: {id}
    title: {id}
    of: {of}
    must: {must}
    effect: refuse
    shown_by: {by}
    remedies: []
    examples: []
"""
OWNER = "owner before the move"
RULES = {
    "flange": ("wheel", "{flange_thickness: {over: 7/8 in}}"),
    "rim": ("wheel", "{rim_thickness: {at_least: 1 in}}"),
    "height": ("wheel", "{flange_height: {under: 1-1/2 in}}"),
    "hollow": ("wheel", "{tread_hollow: {at_most: 1/4 in}}"),
    "coupler": ("coupler", "{coupler_height: {at_least: 31-1/2 in, at_most: 34-1/2 in}}"),
    "class": ("bearing", "{class: {one_of: [grease-lubricated roller, oil-lubricated roller]}}"),
    "not-plain": ("bearing", "{class: {is_not: plain}}"),
    "centers": ("wheelset", "{journal_centers: {is: {attribute: truck.takes_journal_centers}}}"),
    "mates": ("wheelset", "{mate_difference: {at_most: 3 tapes}}"),
    "either": ("wheel", "{any: [{flange_thickness: {over: 1 in}}, {rim_thickness: {at_least: 2 in}}]}"),
    "both": ("wheel", "{all: [{flange_thickness: {over: 1 in}}, {rim_thickness: {at_least: 2 in}}]}"),
    "each": ("truck", "{each: {of: wheel, must: {flange_thickness: {over: 7/8 in}}}}"),
    "at-most-one": ("truck", "{count: {of: wheel, when: {rim_thickness: {under: 1 in}}, at_most: 1}}"),
    "liner": ("center plate", "{liner_thickness: {at_least: 1/4 in}}"),
    "travel": ("brake cylinder", "{piston_travel: {at_most: {attribute: badge_plate_travel}}}"),
    "table": (
        "brake system",
        "{brake_pipe_leakage: {at_most: {by: control_valve, UC: 6 psi/min, otherwise: 8 psi/min}}}",
    ),
    "test": ("brake system", "{single_car_test: {shown: yes, within: 12 months}}"),
    "device": ("brake system", "{single_car_test.code: {is: passenger}}"),
    "insured": ("car", "{liability_insurance: {in_force: yes}}"),
    "young": ("car", "{age: {at_most: 50 years}}"),
    "built": ("car", "{built_on: {after: 1999-12-31}}"),
    "bearing-age": ("bearing", "{reconditioned_on: {within: 10 years}}"),
    "leakage": ("brake system", "{brake_pipe_leakage: {at_most: 5 psi/min}}"),
    "open": ("wheel", "{all: [{flange_thickness: {over: 7/8 in}}, {plate_shape: {is: curved}}]}"),
    "fresh": ("wheel", "{flange_height: {shown: yes}, tread_hollow: {shown: yes}}\n    read_within: 70 days"),
    "gauged": ("wheel", "{flange_thickness: {over: 15/16 in}}"),
}

MOVE = """format: carknocker-move/1
move: {out: 2030-06-01, back: 2030-06-15, host: Test Host, train: passenger, rides: nobody, circular: none}
train: {place: rear, speed: 30 mph}
legs:
  - {from: Here, to: There, miles: 10 mi}
"""

CAR = """format: carknocker-car/1
car: {mark: TSTX 1, name: Sample, built_on: 1931-04-01}
trucks:
  B: {truck_kind: two-axle, takes_journal_centers: 6 ft 5 in, axles: {1: W-1, 2: W-2}}
  A: {truck_kind: two-axle, takes_journal_centers: 6 ft 5 in, axles: {3: W-3, 4: W-4}}
wheelsets:
  W-1: {journal_centers: 6 ft 4 in, bearings: {class: plain, reconditioned_on: 2015-01-01}}
  W-2: {journal_centers: 6 ft 5 in, bearings: {class: oil-lubricated roller, reconditioned_on: 2029-01-01}}
  W-3: {journal_centers: 6 ft 5 in, bearings: {class: oil-lubricated roller, reconditioned_on: 2029-01-01}}
  W-4: {journal_centers: 6 ft 5 in, bearings: {class: oil-lubricated roller, reconditioned_on: 2029-01-01}}
brake_system: {control_valve: UC}
brake_cylinders: {1: {at: B, badge_plate_travel: 8 in}}
people:
  HM: {role: shop inspector, accepted_by: [Test Host], until: 2031-12-31}
gauges:
  G-1: {kind: universal gauge, reads_to: 1/32 in, checked: 2030-01-01, due: 2031-01-01}
  G-5: {kind: condemning gauge, checked: 2030-01-01, due: 2031-01-01}
  T-1: {kind: universal gauge, checked: 2020-01-01, due: never}
sheets:
  - on: 2030-04-01
    by: HM
    gauge: G-1
    readings:
      couplers: {B: {coupler_height: 31 in}, A: {coupler_height: 35 in}}
      center_plates: {B: {liner_thickness: 1/8 in}, A: {liner_thickness: 1/2 in}}
      wheels:
        L1: {flange_thickness: 13/16 in, rim_thickness: 15/16 in, flange_height: 1-1/2 in, tread_hollow: 3/8 in}
        R1: {flange_thickness: 1-1/8 in, rim_thickness: 7/8 in, flange_height: 1-1/8 in, tread_hollow: 0 in}
        L2: {flange_thickness: 1-1/8 in, rim_thickness: 3/4 in, flange_height: 1-1/8 in, tread_hollow: 0 in}
        R2: {flange_thickness: 1-1/8 in, rim_thickness: 1-1/4 in, flange_height: 1-1/8 in, tread_hollow: 0 in}
        L3:
          flange_thickness: {gauge: G-5, takes_at: 15/16 in}
          rim_thickness: 2-1/2 in
          flange_height: 1-1/8 in
          tread_hollow: 0 in
        "R3, L4, R4": {flange_thickness: 1-1/8 in, rim_thickness: 2-1/2 in, flange_height: 1-1/8 in, tread_hollow: 0 in}
  - on: 2030-04-01
    by: HM
    gauge: T-1
    readings:
      brake_cylinders: {1: {piston_travel: 9 in}}
      brake_system: {brake_pipe_leakage: {before: 90 psi, after: 80 psi, minutes: 1}}
      wheels:
        "L1, L2, R2, L3, R3, L4, R4": {tape_size: 100 tapes, tape_id: T-1}
        R1: {tape_size: 105 tapes, tape_id: T-1}
tests:
  - {test: single-car brake test, on: TESTED, by: HM, result: RESULT, code: CODE, device_due: IN_DATE}
papers:
  - {paper: liability insurance, on: 2030-01-01, from: FROM, until: UNTIL}
"""


Editions = tuple[tuple[str, str, tuple[str, ...]], ...]


def library_in(folder: Path, editions: Editions = (("1", "2020-01-01", ()),)) -> Library:
    """editions: name, day in force, and the rules that it has (none named: all of them)."""
    for name, in_force, rules in editions:
        place = folder / "other-law" / name
        place.mkdir(parents=True, exist_ok=True)
        (place / "edition.yaml").write_text(HEAD.format(name=name, in_force=in_force), encoding="utf-8")
        criteria = [
            CRITERION.format(id=key, of=of, must=must, by="accepted shop" if of == "brake system" else OWNER)
            for key, (of, must) in RULES.items()
            if not rules or key in rules
        ]
        text = (
            "chapter: All of it\n"
            "source: {document: Other law, section: '1', words: as it is said, kind: law, status: invented}\n"
            "criteria:\n" + "".join(criteria) + UP
        )
        (place / "all.yaml").write_text(text, encoding="utf-8")
    return load_library([folder])


UP = """consequences:
  - id: up
    title: What is refused stops the car
    cause: {finding: unmet, effect: refuse}
    carries_up: [wheelset, axle position, truck, end, brake system, car]
"""


def car_text(
    *, tested: str = "2029-06-10", result: str = "passed", code: str = "manual", from_: str = "2030-01-01",
    until: str = "2030-06-10",
) -> str:  # fmt: skip
    found = {
        "TESTED": tested,
        "IN_DATE": device_due(tested),
        "RESULT": result,
        "CODE": code,
        "FROM": from_,
        "UNTIL": until,
    }
    text = CAR
    for word, given in found.items():
        text = text.replace(word, given)
    return text


def checked(text: str, library: Library, move: str = MOVE, as_of: date = AS_OF) -> CheckAnswer:
    return check(read_car_text(text, "car.yaml"), read_move_text(move, "move.yaml"), library, as_of)


def finding_of(judgement: Judgement, criterion: str, part: str) -> Finding:
    (found,) = [
        one for one in judgement.findings if one.criterion.id.endswith(f"/{criterion}") and one.part.label == part
    ]
    return found


def with_way(car: CarRecord, way: Way, values: tuple[Value, ...] | None = None) -> CarRecord:
    """The record with what a way says written down in the place of what was there, and that it is sure. values: others
    than the nearest."""
    new: dict[str, tuple[object, Value]] = {}
    for change, value in zip(way.changes, values or tuple(one.values[0] for one in way.changes), strict=True):
        new.update({name: (change, value) for name in change.replaces})
    evidence = []
    for one in car.evidence:
        if one.id not in new:
            evidence.append(one)
            continue
        change, value = new[one.id]
        one = replace(one, sure="read twice")
        if change.side == "until":  # type: ignore[attr-defined]
            assert isinstance(value, Day)
            evidence.append(replace(one, until=value.first))
        elif change.dated:  # type: ignore[attr-defined]
            assert isinstance(value, Day)
            evidence.append(replace(one, on=value.first))
        elif change.fact is not None:  # type: ignore[attr-defined]
            evidence.append(replace(one, facts={**one.facts, change.fact.name: value}))  # type: ignore[attr-defined]
        else:
            evidence.append(replace(one, value=value))
    evidence.sort(key=lambda one: one.on or date.min)
    return replace(car, evidence=tuple(evidence), by_part={}, last_day=date.min)


def move_with(move: Move, way: Way, values: tuple[Value, ...]) -> Move:
    """The move with what a way says of it, of its train, or of one of its legs."""
    for change, value in zip(way.changes, values, strict=True):
        fact = {change.attribute.name: value}
        if change.part.kind == "move":
            move = replace(move, facts={**move.facts, **fact})
        elif change.part.kind == "train":
            move = replace(move, train_facts={**move.train_facts, **fact})
        elif change.part.kind == "leg":
            legs = [
                replace(leg, facts={**leg.facts, **fact}) if str(leg.number) == change.part.position else leg
                for leg in move.legs
            ]
            move = replace(move, legs=tuple(legs))
    return move


def verdict_with(judgement: Judgement, finding: Finding, way: Way, values: tuple[Value, ...] | None = None) -> str:
    """The verdict of the finding in a judgement of the record, and of the move, with what a way says. Evidence may be
    dated up to the departure."""
    car = with_way(judgement.car, way, values)
    move = move_with(judgement.move, way, values or tuple(one.values[0] for one in way.changes))
    again = judge(car, move, judgement.rulebook, max(judgement.as_of, car.last_day))
    (found,) = [
        one for one in again.findings if one.criterion.id == finding.criterion.id and one.part.key == finding.part.key
    ]
    return found.verdict
