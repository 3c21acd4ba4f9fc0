"""Many cars as JSON: the table (`carknocker-table/1`), or the dossiers (`carknocker-dossiers/3`), written one at a time
so that only one is in memory. docs/json.md describes every key."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from carknocker.documents import Problem
from carknocker.dossier.json_form import FORMAT_OF_SEVERAL, answer_form
from carknocker.judgement.answer import CheckAnswer
from carknocker.page.json_encoder import Rules, encode, json_text, keys
from carknocker.questions.check.fleet import CarResult
from carknocker.questions.check.fleet_page import CarLine, outcome_of, worst_first

FORMAT = "carknocker-table/1"
_INDENT = "    "


def table_json(results: Sequence[CarResult[CarLine]], day: date) -> str:
    """The table, worst first, every blocker in words. Ends in a line feed."""
    form = {"format": FORMAT, "as_of": day, "cars": worst_first(results)}
    return json_text(encode(form, {CarResult: _line, **_RULES}))


def _line(result: CarResult[CarLine]) -> dict[str, Any]:
    line = result.answer
    return {
        "given": result.name,
        "car": None if line is None else line.car,
        "outcome": outcome_of(result),
        "complete": None if line is None else not line.not_at_hand,
        "blockers": None if line is None else len(line.blockers),
        "first_blockers": () if line is None else line.blockers,
        "first_lapse": None if line is None else line.first_lapse,
        "restrictions": None if line is None else line.restrictions,
        "restricted": None if line is None else line.restricted,
        "photographs": () if line is None else line.photographs,
        "problems": result.problems,
        "reason": result.reason,
    }


def problem_words(problem: Problem) -> str:
    """A problem in one line: where, what was found, what is expected."""
    return f"{problem.where}: {problem.found}" + (f"; expected {problem.expected}" if problem.expected else "")


_RULES: Rules = {Problem: problem_words}
_RULES_OF_LEFT: Rules = {CarResult: keys("given=name", "problems", "reason"), **_RULES}


def dossier_text(answer: CheckAnswer) -> str:
    """One dossier as it stands in the list of several, without the comma or line feed after it."""
    return _INDENT + _indented(json_text(answer_form(answer)), _INDENT)


def _indented(text: str, by: str) -> str:
    """JSON text with its lines indented. This is safe: line feeds in strings are escaped."""
    return text.rstrip("\n").replace("\n", f"\n{by}")


def dossiers_json(results: Iterable[CarResult[str]]) -> Iterator[str]:
    """The document in pieces. Each dossier is written as soon as it is made; cars that could not be judged come
    last."""
    left: list[CarResult[str]] = []
    yield f'{{\n  "format": "{FORMAT_OF_SEVERAL}",\n  "dossiers": ['
    before = "\n"
    for result in results:
        if result.answer is None:
            left.append(result)
            continue
        yield before + result.answer
        before = ",\n"
    yield "],\n" if before == "\n" else "\n  ],\n"
    text = json_text(encode(left, _RULES_OF_LEFT))
    yield f'  "not_judged": {_indented(text, "  ")}\n}}\n'
