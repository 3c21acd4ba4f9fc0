"""Many cars as a table, one line for each: its outcome, what keeps it from moving, what lapses first."""

from collections import Counter
from collections.abc import Sequence
from datetime import date
from itertools import takewhile
from pathlib import PurePath

import msgspec

from carknocker.documents import Problem
from carknocker.dossier.items import fault_text, items_of
from carknocker.dossier.restrictions import restricted_to
from carknocker.judgement.answer import CheckAnswer
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Judgement, Outcome
from carknocker.page.model import Block, Bullets, Page, Paragraph, Rows, Section, Table, Tone
from carknocker.questions.check.fleet import CarResult
from carknocker.record.photographs import photographs_by, state_of
from carknocker.wording.lapses import lapse_lines
from carknocker.wording.outcomes import READY, outcome_in_brief
from carknocker.wording.parts import car_title


class Lapse(msgspec.Struct, frozen=True):
    """A day, and what is good for the last time on it. title: what it is, in brief."""

    day: date
    title: str
    said: str


class CarLine(msgspec.Struct, frozen=True):
    """car: mark and name. blockers: in words, in the order of the car's own page, and as many as that page counts.
    first_lapse: None if nothing that is met runs out within a year after the return. not_at_hand: what is missing of
    the law that binds the move. restricted: to what, in few words. photographs: files that are missing or changed since
    they were put on record."""

    car: str
    outcome: Outcome
    not_at_hand: tuple[str, ...]
    blockers: tuple[str, ...]
    first_lapse: Lapse | None
    restrictions: int
    restricted: str
    photographs: tuple[str, ...] = ()


def line_of(answer: CheckAnswer) -> CarLine:
    """The line of a car that was judged. A pure function of the answer."""
    judgement = answer.judgement
    index = JudgementIndex(judgement)
    return CarLine(
        car_title(judgement.car),
        judgement.outcome,
        judgement.rulebook.not_at_hand,
        tuple(fault_text(one) for one in items_of(index).in_order),
        _first_lapse(judgement, index),
        len(judgement.restrictions),
        restricted_to(index),
        tuple(
            f"{one.file}: {state}"
            for one in photographs_by(judgement.car, judgement.as_of)
            if (state := state_of(one)) != "on hand"
        ),
    )


def _first_lapse(judgement: Judgement, index: JudgementIndex) -> Lapse | None:
    days = [(finding, day) for finding in judgement.findings if (day := index.last_day(finding)) is not None]
    if not days:
        return None
    first = min(day for _, day in days)
    (day, line), *_ = lapse_lines([one for one in days if one[1] == first], index)
    return Lapse(day, line.in_brief, line.text(index))


FIRST = 2
"""How many blockers are put into words here; the car's own page has them all."""
_LONGEST = 36
_ORDER = {"not ready": 2, "repair move only": 3, "ready with restrictions": 4, "ready": 5}
_CANNOT_JUDGE, _NOT_READ = "cannot judge", "not read"
_COLUMNS = ("Car", "Outcome", "Items", "First faults", "First lapse")


def worst_first(results: Sequence[CarResult[CarLine]]) -> list[CarResult[CarLine]]:
    """Cars that could not be read or judged, then not ready (most blockers first), and so on to ready; otherwise in the
    order given."""
    return sorted(results, key=_rank)


def _rank(result: CarResult[CarLine]) -> tuple[int, int]:
    if result.answer is None:
        return (0 if result.reason else 1), 0
    return _ORDER[result.answer.outcome], -len(result.answer.blockers)


def outcome_of(result: CarResult[CarLine]) -> str:
    """The outcome; for a car without one, the reason in two words."""
    if result.answer is not None:
        return result.answer.outcome
    return _CANNOT_JUDGE if result.reason else _NOT_READ


def fleet_page(results: Sequence[CarResult[CarLine]], day: date) -> Page:
    """The page of all results, in whatever order they came in."""
    ordered = worst_first(results)
    counts: dict[str, int] = {}
    for result in ordered:
        counts[outcome_of(result)] = counts.get(outcome_of(result), 0) + 1
    verdict = ", ".join(f"{number:,} {words}" for words, number in counts.items())
    cars = "1 car" if len(ordered) == 1 else f"{len(ordered):,} cars"
    table = Table("Worst first; of what keeps a car from moving the first in words.", _COLUMNS, _rows(ordered))
    more = "All that keeps a car from moving, and what clears it: `carknocker check CAR`."
    missing = _not_at_hand(ordered)
    limits = f" Ready, as far as the rules at hand go; not at hand: {'; '.join(missing)}." if missing else ""
    rows = Rows((("judged as of", day.isoformat()),))
    sections = (Section("The cars", (rows, table, *_photographs(ordered), Paragraph(more))),)
    said = f"{cars}: {verdict}.{limits}" if ordered else "No car was given."
    return Page(f"{cars} checked", said, _tone(counts, complete=not missing), sections)


def _photographs(results: Sequence[CarResult[CarLine]]) -> tuple[Block, ...]:
    """The photographs that are not as they were, by car; nothing where all are."""
    told = tuple(
        f"{line.car}: photograph {words} since it was put on record"
        for result in results
        if (line := result.answer) is not None
        for words in line.photographs
    )
    return (Bullets(told),) if told else ()


def _not_at_hand(results: Sequence[CarResult[CarLine]]) -> tuple[str, ...]:
    """What is missing of the law that binds the cars that are ready."""
    ready = [result.answer for result in results if result.answer is not None and result.answer.outcome in READY]
    return tuple(dict.fromkeys(words for line in ready for words in line.not_at_hand))


def _tone(counts: dict[str, int], *, complete: bool) -> Tone:
    if {"not ready", _CANNOT_JUDGE, _NOT_READ} & counts.keys():
        return "bad"
    return "care" if not complete or {"repair move only", "ready with restrictions"} & counts.keys() else "good"


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
    """The folders that all names begin with, which say nothing to tell the cars apart."""
    folders = [PurePath(name).parts[:-1] for name in names]
    least, most = (min(folders), max(folders)) if folders else ((), ())
    return tuple(one for one, _ in takewhile(lambda pair: pair[0] == pair[1], zip(least, most, strict=False)))


def _row(result: CarResult[CarLine], place: str) -> tuple[str, ...]:
    """place: where the car's files are, if needed to tell it from a car of the same name."""
    line = result.answer
    if line is None:
        return result.name, outcome_of(result), "", result.reason or _problems(result.problems), ""
    first = "; ".join(_short(words) for words in line.blockers[:FIRST])
    lapse = line.first_lapse
    lapses = "" if lapse is None else f"{lapse.day.isoformat()} {_short(lapse.title)}"
    return f"{line.car} ({place})" if place else line.car, _in_cell(line), str(len(line.blockers)), first, lapses


def _in_cell(line: CarLine) -> str:
    """The outcome in a narrow column. What is missing is said above the table."""
    return outcome_in_brief(line.outcome, complete=not line.not_at_hand, restricted=line.restricted)


def _short(words: str) -> str:
    """The beginning of the words, so that a car fits one row of a table on paper and on a terminal."""
    if len(words) <= _LONGEST:
        return words
    return f"{words[:_LONGEST].rpartition(' ')[0].rstrip(',;:(')}…"


def _problems(problems: tuple[Problem, ...]) -> str:
    more = f"; and {len(problems) - 1:,} more" if len(problems) > 1 else ""
    return f"{problems[0].found}{more}"
