"""The table of many cars as a page: worst first."""

from collections import Counter
from collections.abc import Sequence
from datetime import date
from itertools import takewhile
from pathlib import PurePath

from carknocker.documents import Problem
from carknocker.dossier.fleet.line import CarLine
from carknocker.dossier.writing.page import Page, Paragraph, Rows, Section, Table, Tone
from carknocker.questions.fleet.model import CarResult

FIRST = 2
"""So many blockers are said in words; the car's own page has them all."""
_LONGEST = 36
_ORDER = {"not ready": 2, "repair move only": 3, "ready with restrictions": 4, "ready": 5}
_CANNOT_JUDGE, _NOT_READ = "cannot judge", "not read"
_COLUMNS = ("Car", "Outcome", "Blockers", "First blockers", "First lapse")


def worst_first(results: Sequence[CarResult[CarLine]]) -> list[CarResult[CarLine]]:
    """What could not be judged or read, then not ready (most blockers first), and so on to ready; else as given."""
    return sorted(results, key=_rank)


def _rank(result: CarResult[CarLine]) -> tuple[int, int]:
    if result.answer is None:
        return (0 if result.reason else 1), 0
    return _ORDER[result.answer.outcome], -len(result.answer.blockers)


def outcome_words(result: CarResult[CarLine]) -> str:
    """The outcome; for a car without one, why there is none in two words."""
    if result.answer is not None:
        return result.answer.outcome
    return _CANNOT_JUDGE if result.reason else _NOT_READ


def fleet_page(results: Sequence[CarResult[CarLine]], day: date) -> Page:
    """The page of all results, in whatever order they came in."""
    ordered = worst_first(results)
    counts: dict[str, int] = {}
    for result in ordered:
        counts[outcome_words(result)] = counts.get(outcome_words(result), 0) + 1
    verdict = ", ".join(f"{number:,} {words}" for words, number in counts.items())
    cars = "1 car" if len(ordered) == 1 else f"{len(ordered):,} cars"
    table = Table("Worst first; of a car's blockers the first ones in words.", _COLUMNS, _rows(ordered))
    more = "All that stands against a car, and what clears it: `carknocker check CAR`."
    sections = (
        Section("The cars", (Rows((("judged as of", day.isoformat()),)), table, Paragraph(more))),
    )  # fmt: skip
    return Page(f"{cars} checked", f"{cars}: {verdict}." if ordered else "No car was given.", _tone(counts), sections)


def _tone(counts: dict[str, int]) -> Tone:
    if {"not ready", _CANNOT_JUDGE, _NOT_READ} & counts.keys():
        return "bad"
    return "care" if {"repair move only", "ready with restrictions"} & counts.keys() else "good"


def _rows(results: Sequence[CarResult[CarLine]]) -> tuple[tuple[str, ...], ...]:
    cars = Counter(result.answer.car for result in results if result.answer is not None)
    above = len(_common_folders([result.name for result in results]))
    return tuple(
        _row(result, "/".join(PurePath(result.name).parts[above:]))
        if result.answer is not None and cars[result.answer.car] > 1
        else _row(result, "")
        for result in results
    )


def _common_folders(names: Sequence[str]) -> tuple[str, ...]:
    """The folders that all names begin with: they tell no two apart."""
    folders = [PurePath(name).parts[:-1] for name in names]
    least, most = (min(folders), max(folders)) if folders else ((), ())
    return tuple(one for one, _ in takewhile(lambda pair: pair[0] == pair[1], zip(least, most, strict=False)))


def _row(result: CarResult[CarLine], place: str) -> tuple[str, ...]:
    """place: where the car's files are, where that has to tell it from another of the same name."""
    line = result.answer
    if line is None:
        return result.name, outcome_words(result), "", result.reason or _problems(result.problems), ""
    first = "; ".join(_short(words) for words in line.blockers[:FIRST])
    lapse = line.first_lapse
    lapses = "" if lapse is None else f"{lapse.day.isoformat()} {_short(lapse.title)}"
    return f"{line.car} ({place})" if place else line.car, line.outcome, str(len(line.blockers)), first, lapses


def _short(words: str) -> str:
    """The first words, so that a car stays one row of a table on paper and on a terminal."""
    if len(words) <= _LONGEST:
        return words
    return f"{words[:_LONGEST].rpartition(' ')[0].rstrip(',;:(')}…"


def _problems(problems: tuple[Problem, ...]) -> str:
    more = f"; and {len(problems) - 1:,} more" if len(problems) > 1 else ""
    return f"{problems[0].found}{more}"
