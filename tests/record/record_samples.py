"""A small invented car record and move, and ways to change one place in them and see what the reader says of it."""

from carknocker.documents import InputRefused, Problem
from carknocker.record import CarRecord, Move, read_car_text, read_move_text

CAR = """\
format: carknocker-car/1
car: {mark: QWHX 3, name: Tern, built_on: 1927, numbering_scheme: from the B end}
people:
  RE: {role: owner}
  HM: {role: shop inspector, accepted_by: [Kestrel & Northern], until: 2027-03-31}
gauges:
  G-2: {kind: finger gauge, reads_to: 1/16 in, checked: 2026-03-01, due: 2027-03-01}
  G-5: {kind: condemning gauge}
  P-1: {kind: air gauge, reads_to: 1 psi}
couplers:
  all: {coupler_type: type H}
trucks:
  B: {truck_kind: two-axle, axles: {1: W-1, 2: W-2}}
  A: {truck_kind: two-axle, axles: {3: W-3, 4: W-4}}
springs:
  1: {at: B, spring_kind: coil}
  2: {at: A, spring_kind: elliptic}
wheelsets:
  W-1: {axle_class: D, bearings: {class: plain}, right_bearing: {class: cartridge plain}}
  W-2: {axle_class: D, wheels: {plate_shape: curved}}
  W-3: {axle_class: D}
  W-4: {axle_class: D}
  W-5: {where: carried, axle_class: D}
  W-6: {where: gone, axle_class: D}
brake_system: {control_valve: UC}
hand_brakes:
  B: {hand_brake_kind: geared wheel}
sheets:
  - on: 2026-05-10
    by: RE
    gauge: G-2
    access: walking round
    readings:
      wheels:
        L1: {flange_thickness: 15/16 in, flange_height: 1-3/16 in}
        "L3, R3": {flange_thickness: 1 in}
        W-5 left: {flange_thickness: 1-1/8 in}
      underframe: {body_camber: -1/4 in}
events:
  - {id: E-1, on: 2026-04-01, happened: slid wheels, at: [L3, R3], cause: hand brake left on}
moves_made:
  - {from: 2026-03-01, to: 2026-03-09, miles: 640 mi, host: Kestrel & Northern}
tests:
  - {test: single-car brake test, on: 2026-02-02, by: HM, result: passed, code: manual, device: D-7}
work:
  - {id: J-1, on: 2026-06-01, did: wheelset renewed, at: 3, off: W-6, fitted: W-3, by: HM}
  - {id: J-2, on: 2026-06-02, did: wheels turned, at: "L2, R2", by: HM, after: J-1}
spares:
  - {spare: air hose, carried: 2, shelf: 1}
papers:
  - {paper: liability insurance, from: 2026-01-01, until: 2026-12-31, names_host: Kestrel & Northern}
leaves:
  - {id: LV-1, host: Kestrel & Northern, criterion: tread, of: wheel, at: L2, from: 2026-07-01, until: 2026-07-31,
     for: move, signed_by: M. Ouzel, leaves: {speed: 20 mph}}
"""
MOVE = """\
format: carknocker-move/1
move: {host: Kestrel & Northern, train: passenger, out: 2026-11-06, back: 2026-11-22, rides: passengers}
train: {place: rear, speed: 70 mph, neighbors: {ahead: {length_over_couplers: 85 ft}}}
legs:
  - {from: Quillon Junction, to: Port Averill, miles: 212 mi, track_class: "4", gross_limit: 220000 lb}
"""


def car(text: str = CAR) -> CarRecord:
    return read_car_text(text, "car.yaml")


def move(text: str = MOVE) -> Move:
    return read_move_text(text, "move.yaml")


def changed(old: str, new: str, text: str = CAR) -> str:
    """The text with one place in it changed."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


def problems_of(text: str) -> tuple[Problem, ...]:
    """What is wrong with a record or a move; nothing if it is read."""
    try:
        if text.startswith("format: carknocker-move"):
            move(text)
        else:
            car(text)
    except InputRefused as refused:
        return refused.problems
    return ()


def problem_at_mark(old: str, new: str, text: str = CAR) -> Problem:
    """The only problem, once a place is changed; it must stand where `«` marks it in the new text."""
    marked = changed(old, new, text)
    before, mark, after = marked.partition("«")
    assert mark, "the new text has no mark"
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    found = problems_of(before + after)
    told = [f"{problem.where} {problem.found}" for problem in found]
    assert len(found) == 1, told
    assert (found[0].where.line, found[0].where.column) == (line, column), told
    return found[0]
