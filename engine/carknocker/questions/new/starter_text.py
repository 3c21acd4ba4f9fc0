"""The text of a starter car record. Prose stands after `## `, invented examples after `# `."""

CAR = """\
format: carknocker-car/1
## A car record: what the car is, and what was measured, tested and done, each with its day and who.
## Lines that begin with `## ` explain. Lines that begin with `# ` are examples with invented values:
## take the `# ` away and write your own. What you don't know, leave out: it counts as not shown, never as good.
## Quantities carry their unit: `1 1/16 in`, `82 ft 6 in`, `171,400 lb`, `110 psi`, `40 mph`. Days are `2026-09-12`.

## The car itself. The B end is the hand-brake end; axles are numbered from the B end; L and R are left and right
## seen from the B end looking towards the A end.
car:
  mark: $mark
  name: $name
#   car_kind: coach
#   built_on: 1931
#   length_over_couplers: 84 ft 6 in
#   truck_centers: 59 ft 6 in
#   extreme_width: 10 ft 0 in
#   height_over_rail: 14 ft 1 in
#   private_car: yes
##  Whom the car was built to carry: the public, railroad personnel (a business, office, camp or instruction car, a
##  caboose) or freight. It decides whether the law for freight cars binds it outside passenger trains.
#   designed_to_carry: the public

## The trucks, with the wheelset at each axle. Change to three axles each (B: 1, 2, 3; A: 4, 5, 6) if it has them.
trucks:
  B:
    truck_kind: two-axle
    axles: {1: W-1, 2: W-2}
#     frame: one-piece cast
#     equalized: yes
#     takes_axle_class: D
#     takes_journal_centers: 6 ft 5 in
#     held_to_body_by: locking center pin
#     axles_held_by: pedestal ties
#     connections_to_body: [air hose, brake rod, ground strap]
  A:
    truck_kind: two-axle
    axles: {3: W-3, 4: W-4}

## Every wheelset by your own mark or its serial. Readings follow the wheelset, wherever it goes.
wheelsets:
  W-1: {}
  W-2: {}
  W-3: {}
  W-4: {}
#   W-9:
#     where: carried
#     axle_class: D
#     journal_centers: 6 ft 5 in
#     mounted_on: 2019-05-20
#     bearings: {class: grease-lubricated roller}
#     wheels: {wear_kind: multiple-wear}

## What the other parts are (not how they are: that is read, with a day, on a sheet below).
# ends:
#   B: {end_kind: wide vestibule, hand_brake_at_this_end: yes}
#   A: {end_kind: wide vestibule, hand_brake_at_this_end: no}
# couplers:
#   B: {coupler_type: type H}
#   A: {coupler_type: type H}
# brake_system: {control_valve: D-22, release_mode: graduated}
# brake_cylinders:
#   1: {at: B, mounting: truck, diameter: 10 in, nominal_stroke: 8 in}
#   2: {at: A, mounting: truck, diameter: 10 in, nominal_stroke: 8 in}
# springs:
#   1: {at: B, spring_kind: elliptic, spring_place: bolster}
# air_hoses:
#   1: {at: B, hose_kind: brake pipe, date_marked: 2024-05}
# hand_brakes:
#   B: {hand_brake_kind: geared wheel}

## Who reads, tests and signs; which hosts accept what he signs, and until when.
# people:
#   RE: {role: owner}
#   HM: {role: shop inspector, accepted_by: [A Host Railroad], until: 2030-12-31}

## Your gauges: what each reads to, when it was checked and when it is due again. Overdue readings don't count.
# gauges:
#   G-1: {kind: finger gauge, reads_to: 1/16 in, checked: 2026-03-01, due: 2030-03-01}
#   G-2: {kind: condemning gauge, checked: 2026-03-01, due: 2030-03-01}

## What was read, sheet by sheet, at the positions as they were on that day. `all` is every part of the kind.
## A go/no-go gauge says whether it takes; what you could not get at says so, with the reason.
# sheets:
#   - on: 2026-09-12
#     by: RE
#     gauge: G-1
#     access: walking round
#     readings:
#       wheels:
#         "L1, R1": {flange_thickness: 1-1/16 in, flange_height: 1-3/16 in}
#         L2: {flange_thickness: {gauge: G-2, does_not_take_at: 7/8 in}}
#         R2: {rim_thickness: not accessible (brake rigging in the way)}
#       couplers:
#         B: {coupler_height: 33-1/2 in}

## Moves made: the car has no odometer, so the miles of a wheelset are those of the moves made while it was fitted.
# moves_made:
#   - {from: 2026-05-02, to: 2026-05-09, miles: 320 mi, host: A Host Railroad}

## Since when every event, every job and every move made is written down, and who says so. Without it miles are only a
## lower bound, and no limit of miles is met.
# log: {complete_since: 2015-01-01, by: RE}

## What happened (`events`) and what was done (`work`), each with an id of its own. Work voids what it touches:
## a test or reading of the same day counts as made before it, unless it says `after: J-1`.
# events:
#   - {id: E-1, on: 2026-08-30, happened: slid wheels, at: [L2, R2], cause: hand brake left on}
# work:
#   - {id: J-1, on: 2026-09-20, did: wheels turned, at: [L2, R2], by: HM}

## Tests, by whom, with what result.
# tests:
#   - {test: single-car brake test, on: 2026-09-21, by: HM, result: passed, code: passenger}

## What rides along (`carried`) and what is at home (`shelf`).
# spares:
#   - {spare: air hose, carried: 2, shelf: 0}

## Papers, with the days between which they hold.
# papers:
#   - {paper: liability insurance, from: 2026-01-01, until: 2030-12-31}

## A host's written leave, for one rule, on one part, between two days.
# leaves:
#   - {id: V-1, host: A Host Railroad, criterion: flange-thickness, of: wheel, at: L1, from: 2026-11-01,
#      until: 2026-11-30, for: repair, signed_by: mechanical superintendent, paper: letter 7}
"""


MOVE = """\
format: carknocker-move/1
## A move: who hauls the car, when, in which train, over which legs. Lines that begin with `## ` explain; lines that
## begin with `# ` are examples with invented values: take the `# ` away and write your own.

## `train` decides which law binds: passenger, freight or excursion. `rides`: passengers, crew or nobody.
## The days below are only a beginning: change them to the days of your move.
move:
  host: $host
$circular
  train: passenger
  out: $out
  back: $back
  rides: nobody
#   requested_on: 2026-09-01
##  Of an excursion only: who operates it, and whether bringing riders somewhere is its principal purpose.
#   excursion_operator: Second Harbor Excursions
#   destination_is_the_purpose: no

## The train: place (rear, front, anywhere) and its highest speed, as far as they are known.
# train:
#   place: rear
#   speed: 79 mph

## The legs of the route, in order, as the host gives them. A move has at least one: name its ends, write its miles.
## `on` and `until` are the days on which a leg leaves and arrives, where they are known; the first leaves on `out`.
legs:
  - from: to be named
    to: to be named
    miles: 0 mi
#     track_class: "4"
#     sharpest_curve: 8°
#     clearance: plate B
#     gross_limit: 220,000 lb
#   - from: to be named
#     to: Second Harbor
#     miles: 120 mi
"""

WITHOUT_CIRCULAR = """\
  ## `circular: none`: judged by the law and the trade's practice alone. Name the host and take the line away as
  ## soon as you know whose circular binds.
  circular: none"""
WITH_CIRCULAR = """\
  ## The circular of this host binds. Is it not at hand? `circular: none` judges without it."""
