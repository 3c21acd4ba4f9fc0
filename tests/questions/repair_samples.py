"""An invented four-axle car with a spare wheelset, and a yard's circular that compares the sizes of wheels."""

from datetime import date
from pathlib import Path

from carknocker.judgement.answer import CheckAnswer, check
from carknocker.record import read_car_text, read_move_text
from carknocker.rulebook import Library, load_library

AS_OF = date(2030, 5, 1)
OUT = date(2030, 6, 1)

HEAD = """
format: carknocker-edition/1
ruleset: test-yard
edition: "{edition}"
title: A yard's circular for tests
layer: host
publisher: nobody
host: Test Yard
in_force: {day}
checked: 2030-01-01
builds_on: [test-ground]
borderline: advise
"""

GROUND = """
format: carknocker-edition/1
ruleset: test-ground
edition: "1"
title: A law for tests
layer: law
complete: yes
publisher: nobody
in_force: 2020-01-01
checked: 2030-01-01
regimes: {passenger: "the law for passenger trains", freight: "none", excursion: "none"}
"""

LAW = """
chapter: All of it
source: {document: Law for tests, section: "1", words: "as it is said", kind: law, status: invented}
criteria:
  - id: named
    title: The car has a name
    of: car
    must: {built_on: {shown: yes}}
    effect: advise
    shown_by: owner before the move
    examples:
      - {built_on: 1931-01-01, is: met}
      - {is: not shown}
"""

RULES = """
chapter: All of it
source: {document: Circular of the yard, section: "1", words: "as it is said", kind: host, status: invented}
criteria:
  - id: flange
    title: Flange over 7/8 in
    of: wheel
    must: {flange_thickness: {over: 7/8 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples:
      - {flange_thickness: 57/64 in, is: met}
      - {flange_thickness: 7/8 in, is: breached}
  - id: rim
    title: Rim at least 1 in
    of: wheel
    must: {rim_thickness: {at_least: 1 in}}
    read_within: 90 days
    effect: refuse
    shown_by: owner before the move
    examples:
      - {rim_thickness: {reads: 1 in, aged: 1 days}, is: met}
      - {rim_thickness: {reads: 63/64 in, aged: 1 days}, is: breached}
  - id: centers
    title: Journal centers as the truck takes them
    of: wheelset
    must: {journal_centers: {is: {attribute: truck.takes_journal_centers}}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples:
      - {journal_centers: 77 in, truck.takes_journal_centers: 77 in, is: met}
      - {journal_centers: 78 in, truck.takes_journal_centers: 77 in, is: breached}
  - id: class
    title: Bearing class accepted
    of: bearing
    must: {class: {one_of: [sealed tapered cartridge, grease-lubricated roller]}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheelset renewed}]
    examples:
      - {class: grease-lubricated roller, is: met}
      - {class: plain, is: breached}
  - id: rebuilt
    title: Bearings rebuilt within 10 years or 500,000 miles
    of: bearing
    must: {reconditioned_on: {within: [10 years, 500000 mi]}}
    effect: refuse
    shown_by: accepted shop
    examples:
      - {reconditioned_on: {aged: 1 years, miles_ago: 10 mi}, is: met}
      - {reconditioned_on: {aged: 11 years, miles_ago: 10 mi}, is: breached}
  - id: mates
    title: Mates within two tapes
    of: wheelset
    must: {mate_difference: {at_most: 2 tapes}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {mate_difference: 2 tapes, is: met}
      - {mate_difference: 3 tapes, is: breached}
  - id: spread
    title: Wheels of a truck within ten tapes
    of: truck
    must: {spread: {at_most: 10 tapes}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {spread: 10 tapes, is: met}
      - {spread: 11 tapes, is: breached}
  - id: insured
    title: Insured until the return
    of: car
    must: {liability_insurance: {in_force: yes}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {liability_insurance: {left: 10 days}, move_lasts: 10 days, is: met}
      - {liability_insurance: {left: 0 days}, is: met}
  - id: extinguishers
    title: Fire extinguishers tagged
    of: body
    must: {fire_extinguishers: {at_least: 1}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {fire_extinguishers: 1, is: met}
      - {fire_extinguishers: 0, is: breached}
consequences:
  - id: wheel-stops
    title: A wheel stops the car
    cause: {finding: unmet, of: wheel, effect: refuse}
    carries_up: [wheelset, car]
  - id: bearing-stops
    title: A bearing stops the car
    cause: {finding: unmet, of: bearing, effect: refuse}
    carries_up: [wheelset, car]
  - id: wheelset-stops
    title: A wheelset stops the car
    cause: {finding: unmet, of: wheelset, effect: refuse}
    carries_up: [car]
  - id: truck-stops
    title: A truck stops the car
    cause: {finding: unmet, of: truck, effect: refuse}
    carries_up: [car]
  - id: body-stops
    title: The body stops the car
    cause: {finding: unmet, of: body, effect: refuse}
    carries_up: [car]
  - id: own-spare
    title: A wheelset that no yard stocks brings its own spare
    cause: {state: {axle_class: {none_of: [E]}}, of: wheelset}
    requires: {spare: wheelset, of: axle position, when: before departure}
  - id: changed
    title: After a change the heights are read anew and the boxes felt
    cause: {work: wheelset renewed}
    voids: {readings: [fire_extinguishers], of: body}
    requires: {test: box check at first stops, of: axle position, when: on the way}
"""

CAR = """\
format: carknocker-car/1
# The owner's own words at the top.
car: {mark: TSTX 1, name: Sample, built_on: 1931}   # not restored yet
trucks:
  B:
    truck_kind: two-axle
    takes_axle_class: D
    takes_journal_centers: 6 ft 5 in
    held_to_body_by: safety chains
    connections_to_body: [air hose, ground strap]
    axles: {1: W-1, 2: W-2}
  A: {truck_kind: two-axle, takes_axle_class: D, takes_journal_centers: {centers}, axles: {3: W-3, 4: W-4}}
wheelsets:
  W-1: &own
    axle_class: D
    journal_centers: 6 ft 5 in
    modified_from_standard: no
    bearings: {class: grease-lubricated roller, reconditioned_on: 2025-02-01, lubricant: M-1 grease}
  W-2: *own
  W-3:
    axle_class: D
    journal_centers: {centers}
    bearings: {class: grease-lubricated roller, reconditioned_on: 2025-02-01, lubricant: M-1 grease}
  W-4:
    axle_class: D
    journal_centers: {centers}
    bearings:
      class: grease-lubricated roller
      reconditioned_on: 2025-02-01
      lubricant: M-2 oil
      substitute_approved_by: an engineer by name
  W-9:
    axle_class: D
    journal_centers: 6 ft 5 in
    where: {ninth}
    weight: 3,000 lb
    stowed_at: baggage room
    fastened_by: two chains
    bearings: {class: {class}, reconditioned_on: 2025-02-01}

people:
  RE: {role: owner, full_name: "R. Example"}
  HM: {role: shop inspector, accepted_by: [Test Yard], until: 2031-01-31}
gauges:
  G-1: {kind: universal gauge, reads_to: 1/64 in, checked: 2030-01-01, checked_before: 2029-01-01, due: 2030-12-31}
sheets:
  # the first look
  - on: 2029-01-01
    by: RE
    gauge: G-1
    readings:
      wheels: {all: {rim_thickness: 1-1/2 in}}

  - on: 2029-06-01
    by: RE
    gauge: G-1
    readings:
      wheels: {all: {rim_thickness: 1-1/2 in}}

  - on: 2029-12-01
    by: RE
    gauge: G-1
    readings:
      wheels: {all: {rim_thickness: 1-1/4 in}}

  - on: 2030-04-20   # after the winter
    by: RE
    gauge: G-1
    readings:
      wheels:
        all: {flange_thickness: 1 in, rim_thickness: 1-1/4 in, tape_size: {tape} tapes, tape_id: T-1}
        "W-9 left": &spare
          {flange_thickness: {flange}, rim_thickness: 1-1/4 in, tape_size: {spare_tape} tapes, tape_id: T-1}
        "W-9 right": *spare
      body: {fire_extinguishers: 2}
      car: {gross_weight: "150,000 lb", spare_wheelset_aboard: no}
    # his note on that sheet
{more_sheets}
# work comes after
log: {complete_since: 2025-01-01, by: RE}
moves_made:
  - {from: 2029-08-01, to: 2029-08-30, miles: "10,000 mi", host: Test Yard}
tests: []
work:
  - {id: J-1, on: 2030-03-01, did: oil or grease added, at: L4, product: M-2 oil, amount: 2 lb}
papers:
  - {paper: liability insurance, from: 2030-01-01, until: {insured}}
  - {paper: contact who can decide, name: R. Example, telephone: "555 0100"}
  - {paper: lubricant approval, product: M-2 oil, approver: the maker}
"""

GIVEN = {
    "ninth": "carried", "class": "grease-lubricated roller", "tape": "40", "flange": "1 in", "spare_tape": "45",
    "centers": "6 ft 5 in", "more_sheets": "", "insured": "2030-12-31",
}  # fmt: skip

MOVE = """\
format: carknocker-move/1
move: {host: Test Yard, train: passenger, out: 2030-06-01, back: 2030-06-05, rides: nobody}
train: {place: rear, speed: 30 mph}
legs:
  - {from: Here, to: There, miles: 10 mi, gross_limit: "152,000 lb"}
"""


def yard_in(folder: Path) -> Library:
    """The yard's circular, written into a folder and read from there."""
    for edition, day in (("1", "2020-01-01"), ("2", "2031-01-01")):
        place = folder / "test-yard" / edition
        place.mkdir(parents=True, exist_ok=True)
        (place / "edition.yaml").write_text(HEAD.format(edition=edition, day=day).lstrip("\n"), encoding="utf-8")
        (place / "all.yaml").write_text(RULES.lstrip("\n"), encoding="utf-8")
    ground = folder / "test-ground" / "1"
    ground.mkdir(parents=True, exist_ok=True)
    (ground / "edition.yaml").write_text(GROUND.lstrip("\n"), encoding="utf-8")
    (ground / "all.yaml").write_text(LAW.lstrip("\n"), encoding="utf-8")
    return load_library([folder])


def car_text(**given: str) -> str:
    """The sample record with some of its text replaced."""
    text = CAR
    for name, value in {**GIVEN, **given}.items():
        text = text.replace(f"{{{name}}}", value)
    return text


def answer(library: Library, text: str | None = None, *, as_of: date = AS_OF, move: str = MOVE) -> CheckAnswer:
    """The sample car, or the text of a record, checked."""
    car = read_car_text(car_text() if text is None else text, "car.yaml")
    return check(car, read_move_text(move, "move.yaml"), library, as_of)
