"""The guides to writing a circular and a record: their examples are read and judged, their tables are complete."""

import re
from datetime import date
from pathlib import Path
from typing import get_args

import pytest
from typer.testing import CliRunner

from carknocker.cli.main import app
from carknocker.documents.structure import keys_of
from carknocker.judgement.answer import check
from carknocker.questions.rules_check.ask import check_rules
from carknocker.record import read_car_text, read_move_text
from carknocker.record.entries import (
    CorrectionEntry,
    EventHead,
    GaugeEntry,
    LeaveConditions,
    LeaveEntry,
    LegHead,
    LogHead,
    MoveHead,
    MoveMadeEntry,
    PaperHead,
    PersonEntry,
    PhotographEntry,
    SheetHead,
    SpareHead,
    TestHead,
    WorkHead,
)
from carknocker.record.parts_reader import WHERE
from carknocker.rulebook import load_library, rulesets_folders
from carknocker.rulebook.consequence_checks import ALLOWED, NAMES
from carknocker.rulebook.consequence_reader import YIELDS
from carknocker.rulebook.criterion_reader import _KEYS as CRITERION_KEYS
from carknocker.rulebook.criterion_reader import _SOURCE_KEYS as SOURCE_KEYS
from carknocker.rulebook.head_reader import HeadEntry
from carknocker.rulebook.limit_reader import WORDS
from carknocker.rulebook.model import CauseSort, ShownBy, SourceKind, Status, Verdict

DOCS = Path(__file__).resolve().parents[2] / "docs"
CIRCULAR = (DOCS / "writing-a-circular.md").read_text(encoding="utf-8")
RECORD = (DOCS / "writing-a-record.md").read_text(encoding="utf-8")
_FILE = re.compile(r"<!-- file: (\S+) -->\n```yaml\n(.*?)```", re.DOTALL)


def files(text: str) -> dict[str, str]:
    return dict(_FILE.findall(text))


def first_cells(text: str, heading: str) -> set[str]:
    """The words in backticks in the first column of the table under a heading of the first column."""
    rows = text.split(f"| {heading} |", 1)[1].split("\n\n", 1)[0].splitlines()[2:]
    return {word for row in rows for word in re.findall(r"`([^`]+)`", row.split(" | ")[0])}


@pytest.fixture(scope="module")
def rulesets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("circular")
    for name, text in files(CIRCULAR).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_the_circular_of_the_guide_is_in_order(rulesets: Path) -> None:
    report = check_rules([*rulesets_folders(), rulesets])
    assert report.problems == ()
    assert report.mismatches == ()
    own = [one for one in report.editions if one.ruleset == "acme-and-inland"]
    assert [one.edition for one in own] == ["1", "2"]
    assert own[0].examples >= 20


def test_the_record_of_the_guide_is_judged_under_the_circular_of_the_guide(rulesets: Path) -> None:
    given = files(RECORD)
    car = read_car_text(given["car.yaml"], "car.yaml")
    move = read_move_text(given["move.yaml"].replace("  circular: none", "# circular: none"), "move.yaml")
    answer = check(car, move, load_library([*rulesets_folders(), rulesets]), date(2026, 10, 8))
    breached = {
        (one.finding.criterion.id, one.finding.part.label)
        for one in answer.judgement.refusals if one.finding is not None and one.finding.verdict == "breached"
    }  # fmt: skip
    assert ("us-federal/flange-thickness", "wheel R3") in breached
    assert ("acme-and-inland/flange-thickness", "wheel R3") in breached
    assert any(one.finding.part.label == "wheel R3" and one.repair for one in answer.judgement.refusals if one.finding)


def test_the_move_of_the_guide_reads_as_it_stands() -> None:
    move = read_move_text(files(RECORD)["move.yaml"], "move.yaml")
    assert not move.circular
    assert move.editions == {"us-federal": "2020"}


def test_the_record_of_the_guide_shows_every_form_of_a_value_and_every_section() -> None:
    car = read_car_text(files(RECORD)["car.yaml"], "car.yaml")
    shapes = {type(one.value).__name__ for one in car.evidence}
    assert {"Figure", "Bound", "Word", "Day", "PressureDrop", "Opinion", "NotAccessible"} <= shapes
    for given in (car.work, car.moves_made, car.spares, car.leaves, car.people, car.gauges):
        assert given
    assert {one.sort for one in car.evidence} == {"description", "reading", "test", "paper"}


def test_the_words_of_the_language_are_all_in_the_guide() -> None:
    assert first_cells(CIRCULAR, "word") == set(WORDS)
    assert first_cells(CIRCULAR, "group") == {"any", "all", "count", "each"}
    assert first_cells(CIRCULAR, "key of a criterion") == set(CRITERION_KEYS)
    assert first_cells(CIRCULAR, "key of `edition.yaml`") == set(keys_of(HeadEntry))
    for words in (SOURCE_KEYS, get_args(Status), get_args(SourceKind), get_args(Verdict), get_args(ShownBy)):
        assert {word for word in words if f"`{word}`" not in CIRCULAR and f"is: {word}`" not in CIRCULAR} == set()


def test_causes_and_what_may_follow_are_those_that_rules_check_allows() -> None:
    assert first_cells(CIRCULAR, "cause") == set(get_args(CauseSort))
    assert first_cells(CIRCULAR, "what follows") == set(YIELDS)
    rows = CIRCULAR.split("| cause |", 1)[1].split("\n\n", 1)[0].splitlines()[2:]
    said = {row.split("|")[1].strip(" `"): set(row.rsplit("|", 2)[1].strip().split(", ")) for row in rows}
    assert said == {sort: {NAMES[kind] for kind in allowed} for sort, allowed in ALLOWED.items()}


def test_the_sections_of_a_record_are_all_in_the_guide() -> None:
    rows = RECORD.split("| section | an entry |", 1)[1].split("\n\n", 1)[0].splitlines()[1:]
    said = {re.findall(r"`([^`]+)`", row)[0]: set(re.findall(r"`([^`]+)`", row)) for row in rows if "`" in row}
    models = {
        "people": PersonEntry, "gauges": GaugeEntry, "sheets": SheetHead, "events": EventHead, "work": WorkHead,
        "moves_made": MoveMadeEntry, "tests": TestHead, "spares": SpareHead, "papers": PaperHead, "leaves": LeaveEntry,
        "log": LogHead, "photographs": PhotographEntry, "corrections": CorrectionEntry,
    }  # fmt: skip
    assert set(said) == {*models, "notes"}
    for section, model in models.items():
        assert set(keys_of(model)) - said[section] == set(), section
    assert set(keys_of(LeaveConditions)) <= said["leaves"]


def test_the_keys_of_a_move_are_all_in_the_guide() -> None:
    for model in (MoveHead, LegHead):
        for key in keys_of(model):
            assert f"`{key}`" in RECORD
    for word in WHERE:
        assert word in RECORD


@pytest.mark.parametrize("text", [CIRCULAR, RECORD], ids=["circular", "record"])
def test_every_command_that_a_guide_names_is_there(text: str) -> None:
    named = set(re.findall(r"carknocker ((?:rules )?[a-z]+) ", text))
    assert named
    for command in named:
        assert CliRunner().invoke(app, [*command.split(), "--help"]).exit_code == 0, command


@pytest.mark.parametrize("text", [CIRCULAR, RECORD], ids=["circular", "record"])
def test_links_and_files_are_there(text: str) -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert (DOCS / target).exists(), target
    for name in re.findall(r"`docs/(schemas/[a-z.]+)`", text):
        assert (DOCS / name).is_file(), name


_PHRASES = re.findall(r"^\| ([^|`]+?) \| ", CIRCULAR.split("| it says |", 1)[1], re.MULTILINE)[1:]


@pytest.mark.parametrize("phrase", _PHRASES)
def test_every_message_of_the_guide_is_one_that_the_checks_can_say(phrase: str) -> None:
    source = "\n".join(
        path.read_text(encoding="utf-8")
        for path in (DOCS.parent / "engine" / "carknocker").rglob("*.py")
    )  # fmt: skip
    plain = " ".join(re.sub(r'"\s*f?"', "", source).split())
    for piece in re.split(r"…|,|\(.*?\)", phrase):
        words = piece.strip()
        if words and words != "says":
            assert words in plain, words
