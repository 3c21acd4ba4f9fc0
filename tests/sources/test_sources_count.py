"""How many of these tests check against the outside, and how many only repeat what we wrote ourselves."""

import re
from collections import Counter
from importlib import import_module
from math import prod
from pathlib import Path
from types import FunctionType

HERE = Path(__file__).resolve().parent
DEVELOPERS = HERE.parents[1] / "DEVELOPERS.md"
NUMBERS = re.compile(r"\*\*([\d,]+) checks are independent\*\*.*?\*\*([\d,]+) are transcriptions\*\*", re.DOTALL)


def _cases(test: FunctionType) -> int:
    """How many cases the tables of a test make."""
    return prod(len(mark.args[1]) for mark in getattr(test, "pytestmark", []) if mark.name == "parametrize")


def _counted() -> Counter[bool]:
    """Cases by whether they are transcriptions."""
    counts: Counter[bool] = Counter()
    for file in sorted(HERE.glob("test_sources_*.py")):
        if file != Path(__file__).resolve():
            for name, test in vars(import_module(file.stem)).items():
                if name.startswith("test_") and isinstance(test, FunctionType):
                    marks = {mark.name for mark in getattr(test, "pytestmark", [])}
                    counts["transcription" in marks] += _cases(test)
    return counts


def test_the_docs_say_both_numbers() -> None:
    """Where this fails: write the two numbers of the tests into the section Tests of DEVELOPERS.md."""
    counts = _counted()
    found = NUMBERS.search(DEVELOPERS.read_text(encoding="utf-8"))
    assert found is not None
    assert (counts[False], counts[True]) == tuple(int(number.replace(",", "")) for number in found.groups())
