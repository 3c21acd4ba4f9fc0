"""The editor's schemas: current, good for every file that is at hand, and no good for slips of the pen."""

import json
from copy import deepcopy
from pathlib import Path

import pytest
import yaml
from interview_samples import COACH, answers
from jsonschema import Draft7Validator

from carknocker.documents import ProblemList, read_document
from carknocker.questions.new.ask import starter_record
from carknocker.questions.rules_new.ask import starter_circular
from carknocker.questions.rules_schemas.ask import schema_files
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.interview import load_interview

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "docs" / "schemas"
FILES = {file.name: file.text for file in schema_files(load_vocabulary())}
VALIDATORS = {name.partition(".")[0]: Draft7Validator(json.loads(text)) for name, text in FILES.items()}
CASE_FILES = sorted(file for file in (ROOT / "cases").rglob("*.yaml") if file.stem in ("car", "move"))
RULE_FILES = sorted((ROOT / "rulesets").rglob("*.yaml"))


class Core(yaml.SafeLoader):
    """YAML as an editor reads it: version 1.2, where `yes` and a day are texts and `true` and `27` are not."""


Core.yaml_implicit_resolvers = {}
Core.add_implicit_resolver("tag:yaml.org,2002:bool", yaml.resolver.re.compile("^(true|false)$"), list("tf"))
Core.add_implicit_resolver("tag:yaml.org,2002:null", yaml.resolver.re.compile("^(~|null|)$"), ["~", "n", ""])
Core.add_implicit_resolver("tag:yaml.org,2002:int", yaml.resolver.re.compile(r"^[-+]?\d+$"), list("-+0123456789"))
Core.add_implicit_resolver("tag:yaml.org,2002:float", yaml.resolver.re.compile(r"^\d+\.\d+$"), list("0123456789"))


def named(value: object) -> object:
    """JSON has texts for keys."""
    if isinstance(value, dict):
        return {str(key): named(inner) for key, inner in value.items()}
    return [named(one) for one in value] if isinstance(value, list) else value


def kind_of(file: Path) -> str:
    if file.stem in ("car", "move") and "cases" in file.parts:
        return file.stem
    return "edition" if file.name == "edition.yaml" else "chapter"


def errors(kind: str, value: object) -> list[str]:
    return [f"{list(error.absolute_path)}: {error.message[:200]}" for error in VALIDATORS[kind].iter_errors(value)]


def plain(text: str) -> object:
    node = read_document(text, "file", ProblemList())
    assert node is not None
    return node.plain()


def test_the_files_in_docs_are_current() -> None:
    """`carknocker rules schemas docs/schemas` writes them."""
    assert {file.name: file.read_text(encoding="utf-8") for file in FOLDER.iterdir()} == FILES


@pytest.mark.parametrize("kind", VALIDATORS)
def test_the_schemas_are_schemas(kind: str) -> None:
    Draft7Validator.check_schema(VALIDATORS[kind].schema)


def test_there_are_files_to_prove_them_on() -> None:
    assert {kind_of(file) for file in (*CASE_FILES, *RULE_FILES)} == {"car", "move", "edition", "chapter"}


@pytest.mark.parametrize("file", [*CASE_FILES, *RULE_FILES], ids=lambda file: file.relative_to(ROOT).as_posix())
def test_every_demo_case_and_edition_is_good(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert errors(kind_of(file), plain(text)) == []
    assert errors(kind_of(file), named(yaml.load(text, Core))) == []


def test_the_starters_are_good() -> None:
    from datetime import date

    car, move = starter_record(answers(COACH), load_interview())
    edition, chapter = starter_circular(
        host="Acme", ruleset="acme", edition="1", in_force=date(2030, 1, 1), builds_on=["us-federal"]
    )
    for kind, file in (("car", car), ("move", move), ("edition", edition), ("chapter", chapter)):
        assert errors(kind, plain(file.text)) == [], kind


def good(kind: str) -> dict:
    file = {
        "car": ROOT / "cases/wren-hollow/before/car.yaml", "move": ROOT / "cases/wren-hollow/before/move.yaml",
        "edition": ROOT / "rulesets/kestrel-and-northern/8/edition.yaml",
        "chapter": ROOT / "rulesets/kestrel-and-northern/8/changes.yaml",
    }[kind]  # fmt: skip
    return deepcopy(plain(file.read_text(encoding="utf-8")))


SLIPS = [
    ("car", ("car", "marc"), "QWHX 27"),
    ("car", ("trucks", "B", "frame"), "wooden spoon"),
    ("car", ("sheets", 0, "readings", "wheel"), {}),
    ("car", ("sheets", 0, "on"), "12 September"),
    ("car", ("tests", 0, "result"), "good"),
    ("car", ("work", 0, "did"), "polished"),
    ("car", ("people", "RE", "role"), "wizard"),
    ("move", ("move", "train"), "parade"),
    ("move", ("move", "rides"), "cats"),
    ("move", ("legs", 0, "mile"), "3 mi"),
    ("edition", ("layer",), "hobby"),
    ("edition", ("in_force",), "soon"),
    ("edition", ("relaxes",), [{"criterion": "us-federal/x"}]),
    ("chapter", ("criteria", 0, "must"), {"flange_thicknes": {"over": "1 in"}}),
    ("chapter", ("criteria", 0, "must"), {"flange_thickness": {"above": "1 in"}}),
    ("chapter", ("criteria", 0, "effect"), "forbid"),
    ("chapter", ("criteria", 0, "of"), "weel"),
    ("chapter", ("criteria", 0, "examples"), [{"class": "plain"}]),
    ("chapter", ("consequences", 0, "cause"), {"work": "polished"}),
    ("chapter", ("consequences", 0, "cause"), {"work": "wheels turned", "event": "slid wheels"}),
    ("chapter", ("criterea",), []),
]


@pytest.mark.parametrize(("kind", "path", "value"), SLIPS, ids=lambda part: str(part)[:40])
def test_a_slip_of_the_pen_is_marked(kind: str, path: tuple, value: object) -> None:
    whole = good(kind)
    assert errors(kind, whole) == []
    place = whole
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    assert errors(kind, whole)


def test_every_attribute_of_the_vocabulary_is_in_the_schemas() -> None:
    definitions = VALIDATORS["car"].schema["definitions"]
    clause = VALIDATORS["chapter"].schema["definitions"]["clause"]["properties"]
    for kind in load_vocabulary().kinds.values():
        for attribute in kind.attributes.values():
            assert attribute.name in clause
            if kind.name in ("move", "train", "leg") or attribute.derived or attribute.type in ("test", "paper"):
                continue
            what = "description" if attribute.description else "readings"
            assert attribute.name in definitions[f"{kind.name} {what}".replace(" ", "_")]["properties"]


@pytest.mark.parametrize(("number", "good"), [(0, True), (12, True), (13, False), (-1, False)])
def test_a_count_past_what_can_be_is_marked(number: int, good: bool) -> None:
    counted = load_vocabulary().kinds["truck"].attributes["bolster_springs"]
    assert counted.ranges is not None
    assert str(counted.ranges.possible) == "0 to 12"
    record = {"format": "carknocker-car/1", "car": {}, "trucks": {}, "wheelsets": {}, "sheets": [
        {"on": "2026-10-01", "by": "RE", "readings": {"trucks": {"B": {"bolster_springs": number}}}},
    ]}  # fmt: skip
    assert (not any("bolster" in one for one in errors("car", record))) == good


def test_the_editor_shows_what_can_be_and_what_people_call_a_word() -> None:
    texts = FILES["car.schema.json"]
    flange = load_vocabulary().kinds["wheel"].attributes["flange_thickness"]
    assert flange.ranges is not None
    assert flange.ranges.possible is not None
    assert f"can be from {flange.ranges.possible.least.written} to {flange.ranges.possible.most.written}" in texts
    assert "`three-axle` is also called " in texts
    assert "six wheels" in texts or "six wheel" in texts
