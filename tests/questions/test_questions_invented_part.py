"""A part, a job and a test that nobody has heard of, written in YAML only: a copy of the package with one more file of
vocabulary knows them in every question. No code of the copy is touched."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
DAY = ("--as-of", "2026-10-08")

VOCABULARY = """
kinds:
  box warmer:
    section: box_warmers
    positions: sides of axle
    stage: trucks
    tag_group: running gear
    hazards: [electricity]
    inside: [axle position]
    usually: {tool: feelers, access: walking round, read_by: owner or shop}
    descriptions:
      warmer_maker: identity
      warmer_cables: {is: list of, one_of: [feed, return]}
    attributes:
      warmer_gap: {is: length, label: gap under the warmer, reads_to: 1/16 in, measured: "coldest corner"}
      warmer_foot: {is: length, label: foot of the warmer, reads_to: 1/16 in, access: truck out}
tests:
  box warmer test: {attribute: box_warmer_test, on: box warmer, whole_car: yes}
work:
  box warmer renewed: {on: [box warmer], truck_out: yes}
  brake lever renewed: {on: [brake lever]}
further_attributes:
  truck:
    warmer_plugs: {is: list of, one_of: [warmer plug], description: yes, to_disconnect: yes}
sheets:
  set-out:
    truck: [box warmer.warmer_maker: "maker of {part}"]
    axle: [box warmer.warmer_gap: "gap of {part}"]
  order:
    bearings there now: [box warmer.warmer_maker: "maker of {part}"]
  papers with a wheelset:
    warming: [box warmer.box_warmer_test, box warmer.warmer_maker]
"""

EDITION = """
format: carknocker-edition/1
ruleset: warm-and-northern
edition: "1"
title: Circular 1 of an invented railroad that warms its boxes
layer: host
publisher: Warm & Northern, an invented railroad
host: Warm & Northern
in_force: 2026-01-01
checked: 2026-10-01
builds_on: [us-federal, trade-practice]
borderline: advise
"""

CHAPTER = """
chapter: Warmth
source: {document: Warm & Northern circular 1, kind: host, status: invented, year: "2026", section: "1", words: warm}
criteria:
  - id: warmer-gap
    title: Gap under the warmer not over 1/4 in
    of: box warmer
    must: {warmer_gap: {at_most: 1/4 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: box warmer renewed}]
    examples:
      - {warmer_gap: 1/4 in, is: met}
      - {warmer_gap: 5/16 in, is: breached}
      - {is: not shown}
  - id: warmer-tested
    title: Warmer tested within a year
    of: box warmer
    must: {box_warmer_test: {within: 1 year}}
    effect: refuse
    shown_by: owner before the move
    examples:
      - {box_warmer_test: {result: passed, aged: 300 days}, is: met}
      - {box_warmer_test: {result: passed, aged: 400 days}, is: not shown}
      - {is: not shown}
  - id: lever-arm
    title: No lever arm under 2 in
    of: brake lever
    must: {load_arm: {at_least: 2 in}}
    effect: refuse
    shown_by: owner before the move
    remedies: [{work: brake lever renewed}]
    examples:
      - {load_arm: 2 in, is: met}
      - {load_arm: 1 in, is: breached}
      - {is: not shown}
consequences:
  - id: warmer-carries
    title: A cold box stops its car
    cause: {finding: unmet, of: box warmer, effect: refuse}
    carries_up: [axle position, truck, car]
  - id: lever-carries
    title: A lever stops its car
    cause: {finding: unmet, of: brake lever, effect: refuse}
    carries_up: [brake system, car]
  - id: warmer-work-is-tested
    title: A renewed warmer is tested
    cause: {work: box warmer renewed}
    requires: {test: box warmer test, of: box warmer, effect: refuse}
"""

FORM = """
format: carknocker-form/1
car: QWHX 27
sheets:
  - on: 2026-10-07
    by: RE
    readings:
      "box warmer L2":
        warmer_gap: 1/8 in
last_line: yes
"""

_IN_TURN = """
import json, sys
from typer.testing import CliRunner
from carknocker.cli.main import app
calls = json.load(sys.stdin)
json.dump([CliRunner().invoke(app, call).output for call in calls], sys.stdout)
"""


def answers(folder, *calls):
    """What the copy in the folder answers to each of the calls."""
    environment = {**os.environ, "PYTHONPATH": str(folder / "engine"), "XDG_CACHE_HOME": str(folder / "cache")}
    answer = subprocess.run(
        [sys.executable, "-c", _IN_TURN], cwd=folder, env={**environment, "COLUMNS": "200"}, input=json.dumps(calls),
        text=True, encoding="utf-8", capture_output=True, timeout=300, check=True,
    )  # fmt: skip
    return [" ".join(text.split()) for text in json.loads(answer.stdout)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A copy of the package with one more file of vocabulary, the rulesets, and a car with warmers."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(ROOT / "engine" / "carknocker", folder / "engine" / "carknocker")
    data = folder / "engine" / "carknocker" / "vocabulary" / "data"
    (data / "zz_invented.yaml").write_text(VOCABULARY, encoding="utf-8")
    shutil.copytree(ROOT / "rulesets", folder / "rulesets")
    car = folder / "car"
    shutil.copytree(ROOT / "cases" / "wren-hollow" / "before", car)
    edition = car / "rulesets" / "warm-and-northern" / "1"
    edition.mkdir(parents=True)
    (edition / "edition.yaml").write_text(EDITION, encoding="utf-8")
    (edition / "warmth.yaml").write_text(CHAPTER, encoding="utf-8")
    move = (car / "move.yaml").read_text(encoding="utf-8")
    (car / "move.yaml").write_text(move.replace("host: Kestrel & Northern", "host: Warm & Northern"), encoding="utf-8")
    record = (car / "car.yaml").read_text(encoding="utf-8")
    sheet = "  - {on: 2026-10-01, by: RE, readings: {box_warmers: {L1: {warmer_gap: 1/2 in}}}}\n"
    record = record.replace("\nsheets:\n", f"\nsheets:\n{sheet}", 1)
    record = record.replace(
        "    connections_to_body: [", "    warmer_plugs: [warmer plug]\n    connections_to_body: [", 1
    )
    record += "box_warmers: {L1: {warmer_maker: Ember 3}}\nbrake_levers: {1: {load_arm: 1 in}}\n"
    (car / "car.yaml").write_text(record, encoding="utf-8")
    (car / "form.yaml").write_text(FORM, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def pages(folder):
    """The answer to each question, by its command."""
    questions = ("check", "plan", "tag", "setout", "worksheet")
    asked = [[question, "car"] for question in questions]
    asked += [["wheel-order", "car", "1"], ["why", "car", "box warmer L1"], ["plan", "car", "--format", "json"]]
    calls = [*([*one, *DAY] for one in asked), ["rules", "schemas", "schemas"]]
    return dict(zip((*questions, "wheel-order", "why", "plan as JSON"), answers(folder, *calls), strict=False))


def test_check_and_why_judge_the_part(pages):
    assert "Box warmer L1: gap under the warmer 1/2 in; must be at most 1/4 in" in pages["check"]
    assert "ap under the warmer" in pages["why"]
    assert "1/2 in" in pages["why"]


def test_plan_does_the_job_at_its_stage_with_the_truck_out(pages):
    steps = json.loads(pages["plan as JSON"])["steps"]
    renewed = next(one for one in steps if one["what"] == "box warmer renewed")
    assert renewed["stage"] == "trucks"
    rolled_out = next(one for one in steps if one["stage"] == "lift and roll out")
    assert rolled_out["number"] in renewed["after"]
    tested = next(one for one in steps if one["what"] == "box warmer test")
    assert tested["stage"] == "tests of the whole car"


def test_plan_cautions_disconnects_and_looks_at_what_the_vocabulary_says(pages):
    assert "locked out and proven dead" in pages["plan"]
    assert "foot of the warmer (never read; truck out)" in pages["plan"]
    assert "warmer plug" in pages["plan"]


def test_a_job_on_a_brake_lever_is_among_the_brakes(pages):
    steps = json.loads(pages["plan as JSON"])["steps"]
    assert next(one for one in steps if one["what"] == "brake lever renewed")["stage"] == "brakes"
    assert "stored air can move the rigging" in pages["plan"]


def test_the_tag_leaves_out_what_only_the_circular_asks(pages):
    assert "box warmer" not in pages["tag"]
    assert "brake lever" not in pages["tag"]
    assert "running gear defect, 49 CFR" in pages["tag"]
    assert "are no defects under the law" in pages["tag"]


def test_the_set_out_sheet_lists_it_and_what_to_disconnect(pages):
    assert "maker of box warmer L1: Ember 3" in pages["setout"]
    assert "gap of box warmer L1: 1/2 in (2026-10-01" in pages["setout"]
    assert "disconnect: [ ] warmer plug" in pages["setout"]  # of truck B
    assert "what to disconnect: MISSING" in pages["setout"]  # of truck A, whose plugs are not on record


def test_the_order_for_the_shop_lists_its_test_and_paper(pages):
    assert "comes off: maker of box warmer L1: Ember 3" in pages["wheel-order"]
    assert "warming: box warmer test" in pages["wheel-order"]
    assert "warming: box warmer: warmer maker" in pages["wheel-order"]


def test_the_worksheet_asks_for_it_where_one_comes_to_it(pages):
    truck = pages["worksheet"].index("WHEELS AND TRUCK B")
    assert pages["worksheet"].index("box warmer: ") > truck
    assert "coldest corner" in pages["worksheet"]


def test_a_filled_in_form_enters_it_and_the_schema_knows_it(folder, pages):
    answers(folder, ["enter", "car", "car/form.yaml", "--yes", *DAY])
    assert "warmer_gap: 1/8 in" in (folder / "car" / "car.yaml").read_text(encoding="utf-8")
    assert "box_warmers" in (folder / "schemas" / "car.schema.json").read_text(encoding="utf-8")
