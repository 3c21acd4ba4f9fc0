"""The prose of a first record and a first move: explanations after `## `, invented examples after `# `."""

CAR_HEAD = """\
format: carknocker-car/1
## The record of $mark: what the car is, and what was measured, tested and done, each with its day and who.
## Lines that begin with `## ` explain. Beside each description stands what it may say. `not known` is no answer: it
## counts as not shown, never as good; write the answer in its place once somebody has looked.
## Quantities carry their unit: `1 1/16 in`, `82 ft 6 in`, `171400 lb`, `110 psi`, `40 mph`. Days are `2026-09-12`.
## The B end is the hand-brake end; axles are numbered from the B end; L and R are left and right seen from the B end
## looking toward the A end. What is said of `all` gives way to what is said of one.
"""

WHEELSETS_HEAD = """\
## Every wheelset by your own mark or its serial: write it here and at its axle above. Readings follow the wheelset,
## wherever it goes. `bearings` and `wheels` say what both sides have alike; `left_wheel`, `right_bearing` what one has.
"""

NOT_COUNTED = """\
## How many parts there are of each kind has to be counted, by name and day: `carknocker new CAR --add` asks for it.
# sheets:
"""

CAR_END = """\
## A sheet says what was read, at the positions as they were on that day. `all` is every part of the kind.
## A go/no-go gauge says whether it takes; what you could not get at says so, with the reason.
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

## Papers, with the days between which they hold.
# papers:
#   - {paper: liability insurance, from: 2026-01-01, until: 2030-12-31}

## A host's written permission, for one rule, on one part, between two days.
# leaves:
#   - {id: V-1, host: A Host Railroad, criterion: flange-thickness, of: wheel, at: L1, from: 2026-11-01,
#      until: 2026-11-30, for: repair, signed_by: mechanical superintendent, paper: letter 7}
"""

MOVE = """\
format: carknocker-move/1
## A move: who hauls the car, when, in which train, over which legs. Lines that begin with `## ` explain. Beside each
## fact stands what it may say; `not known` is no answer, and judged at its worst.

## `train` decides which law binds: passenger, freight or excursion. `rides`: passengers, crew or nobody.
move:
  host: $host
$circular
  train: $train
  out: $out
  back: $back
  rides: $rides
$move_facts

## The train as far as it is known: its place of this car, its highest speed, what it needs through the car.
train:
$train_facts

## The legs of the route, in order, as the host gives them; each begins where the one before it ended. `on` and `until`
## are the days on which a leg leaves and arrives, where they are known; the first leaves on `out`.
legs:
  - from: $start
    to: $end
    miles: $miles
$leg_facts
#   - {from: $end_words, to: $start_words, miles: 120 mi, on: 2026-11-21, until: 2026-11-22}
"""

WITHOUT_CIRCULAR = """\
  ## `circular: none`: judged by the law and the trade's practice alone, since no circular of this host is at hand.
  ## Take the line away once it is.
  circular: none"""
WITH_CIRCULAR = """\
  ## The circular of this host binds."""
