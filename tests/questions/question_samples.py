"""A small invented car, move and set of editions, as text, with one of each kind of consequence."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from device_dates import device_due

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.questions.why.model import WhyNode
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library

AS_OF = date(2030, 5, 1)
OUT = date(2030, 6, 1)

LAW_HEAD = """
format: carknocker-edition/1
ruleset: test-law
edition: "1"
title: A law for tests
layer: law
complete: yes
publisher: nobody
in_force: 2020-01-01
checked: 2030-01-01
borderline: advise
regimes: {passenger: "the law for passenger trains", freight: "the law for freight trains", excursion: "none"}
"""

LAW = """
chapter: All of it
source: {document: Law for tests, section: "1", words: "as it is said", kind: law, status: invented}
criteria:
  - id: flange
    title: Flange over 7/8 in
    of: wheel
    when: {move.train: passenger}
    must: {flange_thickness: {over: 7/8 in}}
    effect: refuse
    shown_by: owner before the move
    source: {words: "7/8 in or less is worn out"}
    remedies: [{work: wheelset renewed}]
    examples:
      - {flange_thickness: 1 in, is: met}
      - {flange_thickness: 57/64 in, is: met}
      - {flange_thickness: 7/8 in, is: breached}
      - {is: not shown}
  - id: flat
    title: Flat spot at most 2 in
    of: wheel
    must: {flat_spot_length: {at_most: 2 in}}
    effect: advise
    shown_by: owner before the move
    examples:
      - {flat_spot_length: 1 in, is: met}
      - {flat_spot_length: 2 in, is: met}
      - {flat_spot_length: 129/64 in, is: breached}
  - id: brake-test
    title: A brake test within a year
    of: brake system
    must: {single_car_test: {shown: yes, within: 12 months}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {single_car_test: {aged: 365 days}, is: met}
      - {single_car_test: {aged: 366 days}, is: breached}
      - {is: not shown}
  - id: shoe
    title: Shoes as the railroad has them
    of: brake shoe
    must: {thickness: {at_least: 1/2 in}}
    effect: refuse
    shown_by: host on the day
    examples:
      - {thickness: 1/2 in, is: met}
      - {thickness: 31/64 in, is: breached}
  - id: freight-only
    title: Only in a freight train
    of: car
    when: {move.rides: nobody, move.train: freight}
    not_asked: {move.rides: {passengers: &empty the sentence is about an empty car, crew: *empty}}
    must: {built_on: {after: 1900-01-01}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {built_on: 1931-01-01, is: met}
      - {built_on: 1900-01-01, is: breached}
      - {built_on: 1900-01-02, is: met}
consequences:
  - id: wheel-stops-the-car
    title: A refused wheel stops what it is in
    cause: {finding: unmet, of: wheel, effect: refuse}
    carries_up: [wheelset, axle position, truck, car]
  - id: shoe-stops-the-car
    title: A refused shoe stops what it is in
    cause: {finding: unmet, of: brake shoe, effect: refuse}
    carries_up: [axle position, truck, car]
  - id: brake-stops-the-car
    title: A refused brake stops the car
    cause: {finding: unmet, of: brake system, effect: refuse}
    carries_up: [car]
  - id: open-test-stops-the-car
    title: A brake test still due stops the car
    cause: {duty: open, consequence: [valve-work, flat-seen]}
    carries_up: [car]
  - id: valve-work
    title: Work on the valve ends the test and calls for a new one
    cause: {work: [service portion replaced, emergency portion replaced]}
    voids: {test: single-car brake test, of: brake system}
    requires: {test: single-car brake test, of: brake system, when: before departure}
  - id: flat-seen
    title: A flat spot once seen calls for a brake test
    cause: {seen: breached, criterion: flat}
    requires: {test: single-car brake test, of: brake system, when: before departure}
  - id: turning
    title: Turned wheels are read again
    cause: {work: wheels turned}
    voids: {readings: [flange_thickness, flat_spot_length], of: wheel}
  - id: old-frame
    title: Built-up frames at 40 mph
    cause: {state: {frame: built-up}, of: truck}
    restricts: {speed: 40 mph}
"""

HOST_HEAD = """
format: carknocker-edition/1
ruleset: test-host
edition: "{edition}"
title: A host's circular for tests
layer: host
publisher: nobody
host: Test Host
in_force: {day}
checked: 2030-01-01
builds_on: [test-law]
borderline: advise
"""

HOST = """
chapter: All of it
source: {{document: Circular for tests, section: "1", words: "as it is said", kind: host, status: invented}}
criteria:
  - id: height
    title: Coupler at least {limit} high
    of: coupler
    must: {{coupler_height: {{at_least: {limit}}}}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {{coupler_height: 40 in, is: met}}
      - {{coupler_height: {limit}, is: met}}
      - {{coupler_height: 20 in, is: breached}}
consequences:
  - id: coupler-stops-the-car
    title: A refused coupler stops the car
    cause: {{finding: unmet, of: coupler, effect: refuse}}
    carries_up: [end, car]
  - id: leave
    title: Leave in writing
    cause: {{leave: any}}
    relieves: {{criterion: named, for: move}}
"""

CAR = """
format: carknocker-car/1
car: {{mark: TSTX 1, name: Sample, built_on: 1931}}
trucks:
  B: {{truck_kind: two-axle, frame: one-piece cast, axles: {{1: W-1, 2: {second}}}}}
  A: {{truck_kind: two-axle, frame: {frame}, axles: {{3: W-3, 4: W-4}}}}
wheelsets:
  W-1: {{}}
  W-2: {{}}
  W-3: {{}}
  W-4: {{}}
  W-9: {{where: {ninth}}}
brake_system: {{control_valve: UC}}
people:
  RE: {{role: owner}}
  HM: {{role: shop inspector, accepted_by: [Test Host], until: 2031-12-31}}
gauges:
  G-1: {{kind: universal gauge, reads_to: 1/64 in, checked: 2030-01-01, due: 2031-01-01}}
sheets:
  - on: 2030-02-01
    by: RE
    gauge: G-1
    readings:
      wheels:
        "L1, R1, L3, R3, L4, R4": {{flange_thickness: 1 in, flat_spot_length: 0 in}}
        L2: {{flange_thickness: {flange}, flat_spot_length: 0 in}}
        R2: {{flange_thickness: 1 in, flat_spot_length: {flat}}}
      couplers:
        all: {{coupler_height: 33 in}}
{more_sheets}
tests:
  - {{test: single-car brake test, on: {tested}, by: HM, result: passed, device_due: {due}}}
{more_tests}
work:
  - {{id: J-0, on: 2030-01-10, did: brake shoes renewed, at: 1, by: HM}}
{more_work}
leaves:
{leaves}
"""

GIVEN = {
    "second": "W-2", "ninth": "on the shelf", "frame": "one-piece cast", "flange": "1 in", "flat": "0 in",
    "tested": "2030-03-01", "more_sheets": "", "more_tests": "", "more_work": "", "leaves": "  []",
}  # fmt: skip
GIVEN["due"] = device_due(GIVEN["tested"])

MOVE = """
format: carknocker-move/1
move: {{host: Test Host, train: {train}, out: {out}, back: {back}, rides: nobody, editions: {{{editions}}}}}
train: {{place: rear, speed: {speed}}}
legs:
  - {{from: Here, to: There, miles: 10 mi}}
"""
MOVED = {"train": "passenger", "out": "2030-06-01", "back": "2030-06-05", "editions": "", "speed": "30 mph"}


def rules_in(folder: Path, **law: str) -> Path:
    """Writes the editions into a folder: the law, and two editions of the host. law: text → text to put instead."""
    text = LAW
    for found, instead in law.items():
        text = text.replace(found, instead)
    files = {
        "test-law/1/edition.yaml": LAW_HEAD,
        "test-law/1/all.yaml": text,
        "test-host/1/edition.yaml": HOST_HEAD.format(edition="1", day="2020-01-01"),
        "test-host/1/all.yaml": HOST.format(limit="30 in"),
        "test-host/2/edition.yaml": HOST_HEAD.format(edition="2", day="2040-01-01"),
        "test-host/2/all.yaml": HOST.format(limit="34 in"),
    }
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content.lstrip("\n"), encoding="utf-8")
    return folder


def library_in(folder: Path) -> Library:
    return load_library([rules_in(folder)])


def answer(library: Library, *, as_of: date = AS_OF, move: dict[str, str] | None = None, **given: str) -> CheckAnswer:
    """The answer for the sample car, with some of its text replaced."""
    told = {**GIVEN, **given}
    told["due"] = device_due(told["tested"])
    car = read_car_text(CAR.format(**told).lstrip("\n"), "car.yaml")
    planned = read_move_text(MOVE.format(**{**MOVED, **(move or {})}).lstrip("\n"), "move.yaml")
    return check(car, planned, library, as_of)


def every(nodes: tuple[WhyNode, ...]) -> Iterator[WhyNode]:
    """All nodes of a tree, at any depth."""
    for node in nodes:
        yield node
        yield from every(node.because)


def leaves_of(nodes: tuple[WhyNode, ...]) -> list[WhyNode]:
    return [node for node in every(nodes) if not node.because]


def line(node: WhyNode, label: str) -> str:
    """The text of one line of a node."""
    return next((text for name, text in node.lines if name == label), "")
