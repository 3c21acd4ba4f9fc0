"""Small editions for the tests of the rulebook room, and the small vocabulary that they are written in."""

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from carknocker.documents import InputRefused, Location, Problem
from carknocker.record.model import Move
from carknocker.rulebook import Library, load_library
from carknocker.rulebook.check import check_edition, check_library
from carknocker.rulebook.model import Criterion, Edition
from carknocker.vocabulary import Vocabulary
from carknocker.vocabulary.reader import read_vocabulary

VOCABULARY_TEXT = """
kinds:
  car:
    section: car
    positions: single
    stage: trucks
    tag_group: other
    descriptions:
      built_on: {is: date, label: built}
      platform: {is: one of, one_of: [open, closed], label: platform}
    attributes:
      gross_weight: {is: weight, label: weight}
  truck:
    section: trucks
    positions: trucks
    stage: trucks
    tag_group: other
    inside: [car]
    descriptions:
      frame: {is: one of, one_of: [cast, built-up, arch bar], label: frame}
      takes_axle_class: {is: one of, one_of: [C, D, E], label: axle class}
      pedestal: {one_of: [bolted, integral, other], left_open: other, label: pedestal}
      connections: {is: list of, one_of: [air hose, ground strap], label: connections}
    attributes:
      frame_cracked: {is: yes or no, label: crack}
      opened_on: {is: date, label: opened}
  axle position:
    section: axle_positions
    positions: axles
    stage: trucks
    tag_group: other
    inside: [truck]
    attributes:
      lateral_motion: {is: length, label: lateral motion}
  wheelset:
    section: wheelsets
    positions: serials
    stage: trucks
    tag_group: other
    thing: yes
    inside: [axle position]
    descriptions:
      axle_class: {is: one of, one_of: [C, D, E], label: axle class}
      serial: {is: identity, label: serial}
  wheel:
    section: wheels
    positions: sides of axle
    stage: trucks
    tag_group: other
    thing: yes
    inside: [wheelset]
    descriptions:
      plate: {is: one of, one_of: [straight, curved], label: plate}
    attributes:
      flange_thickness: {is: length, label: flange thickness, gauge_takes: at most}
      flange_height: {is: length, label: flange height, gauge_takes: at least}
      rim_thickness: {is: length, label: rim}
      cracked: {is: yes or no, label: crack}
      tread: {is: one of, one_of: [good, shelled, built up], label: tread}
      rim_left: {is: length, label: rim left, derived: rim left}
  spring:
    section: springs
    positions: listed
    stage: trucks
    tag_group: other
    inside: [truck]
    attributes:
      leaf_broken: {is: yes or no, label: leaf}
      height: {is: length, label: height}
  brake system:
    section: brake_system
    positions: single
    stage: trucks
    tag_group: other
    inside: [car]
    descriptions:
      control_valve: {is: one of, one_of: [AB, 26-C, D-22, UC], label: control valve}
    attributes:
      leakage: {is: pressure per minute, label: leakage}
      maintained_on: {is: date, label: maintained}
      count_of_vents: {is: count, label: vents}
  brake cylinder:
    section: brake_cylinders
    positions: listed
    stage: trucks
    tag_group: other
    inside: [truck, brake system]
    descriptions:
      plate_travel: {is: length, label: travel on plate}
    attributes:
      piston_travel: {is: length, label: piston travel}
  move:
    section: move
    positions: single
    descriptions:
      train: {is: one of, one_of: [passenger, freight, excursion], label: train}
  train:
    section: train
    positions: single
    inside: [move]
    descriptions:
      place: {is: one of, one_of: [front, rear, anywhere], label: place}
      speed: {is: speed, label: speed}
tests:
  single-car brake test:
    attribute: single_car_test
    on: brake system
    facts: {device: identity, code: {is: one of, one_of: [manual, automated]}}
papers:
  insurance: {attribute: insurance, facts: {insurer: identity}}
work:
  wheelset renewed: {on: [axle position], does: renew a wheelset}
  wheels turned: {on: [wheel]}
  valve replaced: {on: [brake system]}
events:
  slid wheels: {on: [wheel], facts: {cause: {is: one of, one_of: [hand brake left on, other]}}}
  derailment: {on: [car]}
spares:
  wheelset: {thing: wheelset, fits: {axle_class: truck.takes_axle_class}}
  valve portion: {facts: {control_valve: {is: one of, one_of: [AB, UC]}}}
  air hose: {}
roles: [owner]
"""

LAW_SOURCE = '{document: 49 CFR, section: 238.303(e), words: worn thin, kind: law, status: read, year: "2015"}'
HOST_SOURCE = '{document: circular, section: "1", words: not accepted, kind: host, status: invented}'

CARRIES = """
  - id: wheel-carries
    title: A wheel stops its car
    cause: {finding: unmet, of: wheel, effect: refuse}
    carries_up: [wheelset, axle position, truck, car]
  - id: brake-carries
    title: A brake stops its car
    cause: [{finding: unmet, of: brake system, effect: refuse}, {duty: open, of: brake system}]
    carries_up: car
"""

FLANGE = """
  - id: flange
    title: Flange over 7/8 in
    of: wheel
    must: {flange_thickness: {over: 7/8 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: wheels turned, if: {rim_left: {at_least: 1 in}}}, {work: wheelset renewed}]
    examples:
      - {flange_thickness: 57/64 in, is: met}
      - {flange_thickness: 7/8 in, is: breached}
      - {flange_thickness: 7/8 in, rim_left: 1 in, is: breached, clears: [wheels turned, wheelset renewed]}
      - {flange_thickness: 7/8 in, rim_left: 63/64 in, is: breached, clears: wheelset renewed}
"""


def vocabulary() -> Vocabulary:
    return read_vocabulary({"small.yaml": VOCABULARY_TEXT})


def head(ruleset: str, edition: str, /, **keys: str) -> str:
    """The text of an edition.yaml; a key given as "" is left out."""
    layer = keys.get("layer", "law")
    values = {
        "format": "carknocker-edition/1", "ruleset": ruleset, "edition": f'"{edition}"',
        "title": f"{ruleset} {edition}",
        "layer": layer, "publisher": "an invented body", "in_force": "2020-01-01", "checked": "2020-01-01",
        "host": "Kestrel & Northern" if layer == "host" else "", "builds_on": "[law]" if layer == "host" else "",
        "complete": "{no: an invented text, lacks: [the rest]}" if layer == "law" else "",
    } | keys  # fmt: skip
    return "".join(f"{key}: {value}\n" for key, value in values.items() if value)


def chapter(criteria: str = "", consequences: str = "", when: str = "", source: str = LAW_SOURCE) -> str:
    text = "chapter: Wheels\n" + (f"source: {source}\n" if source else "") + (f"when: {when}\n" if when else "")
    return (
        text + (f"criteria:{criteria}" if criteria else "") + (f"consequences:{consequences}" if consequences else "")
    )


def write(folder: Path, ruleset: str, edition: str, head_text: str, **chapters: str) -> Path:
    place = folder / ruleset / edition
    place.mkdir(parents=True)
    (place / "edition.yaml").write_text(head_text, encoding="utf-8")
    for name, text in chapters.items():
        (place / f"{name}.yaml").write_text(text, encoding="utf-8")
    return place


def library(folder: Path, **options: bool) -> Library:
    return load_library([folder], vocabulary=vocabulary(), **options)


def read(folder: Path, chapter_text: str, *, with_examples: bool = True) -> Edition:
    """The edition `law 1` with one chapter."""
    write(folder, "law", "1", head("law", "1"), wheels=chapter_text)
    return library(folder, with_examples=with_examples).edition("law", "1")


def problems_of(folder: Path, chapter_text: str) -> tuple[Problem, ...]:
    """The problems for which the edition `law 1` with one chapter is refused."""
    try:
        read(folder, chapter_text)
    except InputRefused as error:
        return error.problems
    return ()


def criterion_of(folder: Path, keys: str, of: str = "wheel", *, with_examples: bool = True) -> Criterion:
    """The criterion with these keys (`must: …`, one to a line) on a kind of part."""
    return read(folder, criterion_text(keys, of), with_examples=with_examples).criteria[0]


def criterion_text(keys: str, of: str = "wheel") -> str:
    lines = ["", "  - id: one", "    title: One", f"    of: {of}", "    effect: refuse",
             "    shown_by: owner before the move", *(f"    {line}" for line in keys.splitlines()), ""]  # fmt: skip
    given = {line.split(":")[0].strip() for line in keys.splitlines() if not line.startswith(" ")}
    kept = [line for line in lines[:6] if line.split(":")[0].strip(" -") not in given] + lines[6:]
    return chapter("\n".join(kept))


def consequence_text(keys: str, criteria: str = FLANGE) -> str:
    lines = ["", "  - id: follows", "    title: Follows", *(f"    {line}" for line in keys.splitlines()), ""]
    return chapter(criteria, "\n".join(lines))


def move(out: str = "2024-06-01", back: str = "2024-06-10", **keys: object) -> Move:
    host = "Kestrel & Northern" if keys.get("circular", True) else "a railroad without a circular"
    values = {
        "host": host, "train": "passenger", "rides": "passengers", "legs": (), "facts": {},
        "train_facts": {}, "editions": {}, "circular": True, "file": "move.yaml", "digest": "",
        "where": Location("move.yaml", 1, 1),
    } | keys  # fmt: skip
    return Move(out=date.fromisoformat(out), back=date.fromisoformat(back), **values)  # type: ignore[arg-type]


def said(problems: Iterable[Problem]) -> str:
    return "\n".join(
        f"{p.where.line}:{p.where.column} {p.found} / {p.expected} / {p.nearest} / {p.remedy}" for p in problems
    )


GOOD = chapter(FLANGE, CARRIES)


def checked(folder: Path, text: str = GOOD, *, host: str = "", host_keys: dict[str, str] | None = None) -> str:
    """What the checks say of the law with one chapter, and of a host's circular above it."""
    write(folder, "law", "1", head("law", "1"), wheels=text)
    if host or host_keys:
        keys = {"layer": "host"} | (host_keys or {})
        write(folder, "circular", "7", head("circular", "7", **keys), a=host or chapter())
    return said(check_library(library(folder)))


def alone(folder: Path, text: str) -> str:
    """What the checks say of the law with one chapter, by itself."""
    write(folder, "law", "1", head("law", "1"), wheels=text)
    return said(check_edition(library(folder, with_examples=True).edition("law", "1")))


def follows(cause: str, yields: str) -> str:
    return consequence_text(f"cause: {cause}\n{yields}")
