"""The text of a starter circular. Prose stands after `## `, invented examples after `# `."""

EDITION = """\
format: carknocker-edition/1
## One edition of a host's circular, in this folder: this file says whose it is and from when it binds; every other
## file here ending in .yaml is a chapter with its rules. An edition that has been in force is never changed: a new
## one amends it, in a folder of its own beside this one.
## Lines that begin with `## ` explain. Lines that begin with `# ` are examples with invented values: take the `# `
## away and write your own.

## Both names are those of the folders: RULESET/EDITION/edition.yaml.
ruleset: $ruleset
edition: $edition
title: $title
layer: host
publisher: $publisher
host: $host

## Every answer says under its outcome who typed this circular, and which person of the host confirmed that it says what
## the host means, and when; without these, "typed by the owner, not confirmed by the host".
# typed_by: Ada Quill
# confirmed_by: {name: Bram Teller, role: chief mechanical officer, on: 2026-06-20}

## From which day it binds; its last day, if it is known; and the day on which this text was last compared with the
## circular as printed.
in_force: $in_force
checked: $in_force
# until: 2031-12-31

## What binds beside it: the law of the land and the trade's practice, where they are at hand.
builds_on: $builds_on

## A reading nearer to its limit than the gauge can tell: `advise` measuring again, or `refuse` the car.
borderline: advise

## A criterion of the trade that this host does not ask, or one of law that says it may be relaxed; with the reason.
# relaxes:
#   - {criterion: trade-practice/pedestal-clearance, reason: this railroad's inspector looks at it on the day}

## Does a later edition change only a few rules? It says which edition it amends and states only what is new: an entry
## with the id of an earlier one replaces it, and `removed` takes one out.
##   amends: "1"
##   removed: [an-id-of-edition-1]
"""

CHAPTER = """\
## A chapter of the circular. docs/writing-a-circular.md explains every word; `carknocker rules check FOLDER` reads it,
## judges every example, and says what is wrong, where, and what to do. Lines that begin with `## ` explain. Lines that
## begin with `# ` are examples with invented figures: take the `# ` away and write what your circular says.
chapter: Running gear

## What the rules of this chapter have in common. `status`: read, if you have the circular before you; from memory, if
## you have not (then whoever reads the answer is told to look it up).
source: {document: $document, kind: host, status: from memory, year: $year}

## Criteria: what a part must be. One part, one requirement, its sentence, its effect, and worked examples: one that is
## met, one that is breached, and for each figure its exact limit and the smallest step past it.
## `fault` is what is wrong where it is not met, with the figure found. It heads the pages; what must be is added to it.
# criteria:
#   - id: rim-thickness
#     title: Rim at least 1-1/8 in thick
#     fault: rim {found or thinner}
#     of: wheel
#     must: {rim_thickness: {at_least: 1-1/8 in}}
#     effect: refuse
#     shown_by: owner before the move
#     source: {section: "2.1", words: A rim thinner than 1-1/8 in is not accepted}
#     remedies: [{work: wheelset renewed}]
#     examples:
#       - {rim_thickness: 1-1/2 in, is: met}
#       - {rim_thickness: 1-1/8 in, is: met}
#       - {rim_thickness: 1-7/64 in, is: breached}
#       - {is: not shown}
#
#   - id: bearing-class
#     title: Roller bearings only
#     fault: "{found}, not accepted"
#     of: bearing
#     must: {class: [sealed tapered cartridge, grease-lubricated roller, oil-lubricated roller]}
#     effect: refuse
#     shown_by: owner before the move
#     source: {section: "2.2", words: Plain bearings are not accepted}
#     remedies: [{work: wheelset renewed}]
#     examples:
#       - {class: sealed tapered cartridge, is: met}
#       - {class: plain, is: breached}
#       - {is: not shown}
#
#   - id: notice
#     title: Request in hand 30 days before departure
#     fault: request in hand {found} before departure
#     of: move
#     must: {notice_days: {at_least: 30 days}}
#     effect: refuse
#     shown_by: owner before the move
#     source: {section: "1.1", words: The request reaches us 30 days before departure}
#     examples:
#       - {notice_days: 60 days, is: met}
#       - {notice_days: 30 days, is: met}
#       - {notice_days: 29 days, is: breached}
#       - {is: not shown}

## Consequences: what follows from work, from an event, from how the car is, or from a criterion that is not met. One
## with a number in it wants examples too: at the number, one step past it, and where it does not follow.
# consequences:
#   - id: built-up-frame-speed
#     title: Built-up truck frames at 60 mph at most
#     fault: built-up truck frame
#     cause: {state: {frame: built-up}, of: truck}
#     restricts: {speed: 60 mph}
#     source: {section: "2.3", words: "Cars on built-up trucks: 60 mph"}
#     examples:
#       - {frame: built-up, train.speed: 60 mph, is: follows}
#       - {frame: built-up, train.speed: 61 mph, is: against the move}
#       - {frame: cast with bolted pedestals, train.speed: 61 mph, is: does not follow}
#
#   - id: spare-hose
#     title: A spare air hose aboard
#     cause: {state: {private_car: yes}, of: car}
#     requires: {spare: air hose, of: car, when: before departure, effect: advise}
#     source: {section: "3.1", words: The owner brings an air hose}
"""
