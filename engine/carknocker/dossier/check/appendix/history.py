"""What was done to the car and what happened to it, by date; work after the last test is marked."""

from collections.abc import Iterator
from datetime import date

import msgspec

from carknocker.dossier.check.appendix.signed_tests import evidence_of_sort
from carknocker.dossier.context import Context
from carknocker.quantities import write_quantity
from carknocker.record.model import Evidence, Part, Work
from carknocker.wording.evidence import person_words
from carknocker.wording.limits import value_words
from carknocker.wording.parts import named
from carknocker.wording.sources import FileLines, lines_of


class HistoryRow(msgspec.Struct, frozen=True):
    """One entry. sort: `work`, `event`, `test`, `move made`. after_last_test: work or an event that no test on record
    has followed. void: the tests that it made void."""

    on: str
    sort: str
    what: str
    where: str
    by: str
    after_last_test: bool
    void: tuple[str, ...]
    at: tuple[FileLines, ...]


def history_of(context: Context) -> tuple[HistoryRow, ...]:
    """Work, events, tests and moves made up to the day, newest first; of one day, what came last first."""
    tests = list(evidence_of_sort(context, "test"))
    entries = [*_work(tests, context), *_tests(tests, context), *_moves(context)]
    entries.sort(key=lambda entry: entry[:2], reverse=True)
    return tuple(row for _, _, row in entries)


def _work(tests: list[tuple[Part, Evidence]], context: Context) -> Iterator[tuple[date, int, HistoryRow]]:
    days = [test.on for _, test in tests if test.on is not None]
    last = max(days, default=None)
    followed = {entry for _, test in tests if test.on == last for entry in test.after}
    void: dict[str, dict[str, None]] = {}
    for one in context.judgement.voided:
        if one.evidence.sort == "test":
            void.setdefault(one.work.id, {})[_test_words(one.evidence, context)] = None
    for entry in context.judgement.situation.standing.work:
        late = last is None or entry.on > last or (entry.on == last and entry.id not in followed)
        yield entry.on, 1, HistoryRow(
            on=entry.on.isoformat(),
            sort="event" if entry.event else "work",
            what=_what(entry),
            where=_where(entry, context),
            by=person_words(entry.by) if entry.by is not None else "",
            after_last_test=late,
            void=tuple(void.get(entry.id, ())),
            at=lines_of((entry.where,)),
        )  # fmt: skip


def _what(entry: Work) -> str:
    words = [f"{entry.id} {entry.name}"]
    if entry.off or entry.fitted:
        words.append(", ".join(filter(None, (entry.off and f"{entry.off} off", entry.fitted and f"{entry.fitted} on"))))
    if entry.end_for_end:
        words.append("end for end")
    words.extend(f"{name.replace('_', ' ')}: {value_words(value)}" for name, value in entry.facts.items())
    return "; ".join(words)


def _where(entry: Work, context: Context) -> str:
    parts = context.judgement.parts
    known = [parts[key] for key in entry.at if key in parts]
    return "; ".join(word for word in (named(known, context), *(key for key in entry.at if key not in parts)) if word)


def _test_words(test: Evidence, context: Context) -> str:
    part = context.judgement.parts.get(test.part)
    attribute = None if part is None else context.vocabulary.attribute(part.kind, test.attribute)
    label = attribute.label if attribute is not None else test.attribute.replace("_", " ")
    return f"{label} of {test.on.isoformat()}" if test.on is not None else label


def _tests(tests: list[tuple[Part, Evidence]], context: Context) -> Iterator[tuple[date, int, HistoryRow]]:
    alike: dict[tuple[str, ...], list[tuple[Part, Evidence]]] = {}
    for part, test in tests:
        if test.on is not None:
            attribute = context.vocabulary.attribute(part.kind, test.attribute)
            label = attribute.label if attribute is not None else test.attribute
            key = (test.on.isoformat(), label, value_words(test.value), person_words(test.by), *sorted(test.after))
            alike.setdefault(key, []).append((part, test))
    for (on, label, result, by, *after), pairs in alike.items():
        behind = f", after {', '.join(after)}" if after else ""
        yield date.fromisoformat(on), 2 if after else 0, HistoryRow(
            on=on,
            sort="test",
            what=f"{label}: {result}{behind}",
            where=named((part for part, _ in pairs), context),
            by=by,
            after_last_test=False,
            void=(),
            at=lines_of(dict.fromkeys(test.where for _, test in pairs)),
        )  # fmt: skip


def _moves(context: Context) -> Iterator[tuple[date, int, HistoryRow]]:
    for made in context.judgement.car.moves_made:
        if made.back <= context.judgement.as_of:
            yield made.back, 3, HistoryRow(
                on=_days(made.out, made.back),
                sort="move made",
                what=write_quantity(made.miles),
                where="the car",
                by=made.host,
                after_last_test=False,
                void=(),
                at=lines_of((made.where,)),
            )  # fmt: skip


def _days(first: date, last: date) -> str:
    return first.isoformat() if first == last else f"{first.isoformat()} to {last.isoformat()}"
