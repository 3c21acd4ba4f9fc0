"""The demo cases: every folder below cases/ that says what is expected of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import yaml

from carknocker.cli.inputs import Place, read_both
from carknocker.judgement.answer import CheckAnswer, check
from carknocker.rulebook.library import Library, load_library, rulesets_folders

CASES = Path(__file__).resolve().parents[2] / "cases"
GOLDEN = Path(__file__).parent / "golden"
_LIBRARY: list[Library] = []


def names() -> list[str]:
    return sorted(file.parent.relative_to(CASES).as_posix() for file in CASES.rglob("expected.yaml"))


def expected(name: str) -> dict[str, object]:
    return yaml.safe_load((CASES / name / "expected.yaml").read_text(encoding="utf-8"))


def library() -> Library:
    if not _LIBRARY:
        _LIBRARY.append(load_library(rulesets_folders()))
    return _LIBRARY[0]


def answer(name: str) -> CheckAnswer:
    """The answer of a case, its files named as they are when the case is asked for by its name."""
    day = expected(name)["as_of"]
    assert isinstance(day, date)
    car, move = read_both(Place(CASES / name, CASES), None)
    return check(car, move, library(), day)


def golden(name: str, ending: str) -> Path:
    return GOLDEN / f"{name.replace('/', '-')}.{ending}"
