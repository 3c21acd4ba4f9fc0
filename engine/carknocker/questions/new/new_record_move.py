"""The text of a starter move. Prose stands after `## `, invented examples after `# `."""

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
#   general_system: yes

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
