"""The evidence on record: serials, signed tests, papers, sheets of readings; and the history of work, events and tests
by date, with a mark on work after the last test."""

from collections.abc import Iterator
from datetime import date

import msgspec

from carknocker.judgement.index import JudgementIndex
from carknocker.quantities import write_quantity
from carknocker.record.model import NO_END, Evidence, Part, Work
from carknocker.record.part_keys import serial_of
from carknocker.record.value_words import value_words
from carknocker.record.values import Day, Value
from carknocker.vocabulary import sheet_lines
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.wording.evidence import gauge_words, person_words, until_words
from carknocker.wording.parts import label_of, named
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.sources import FilePlaces, lines_of

_NOTHING = ("", "none")


class SerialRow(msgspec.Struct, frozen=True):
    """One part of a wheelset. Fields that are not on record are empty; a wheelset without a serial has the mark that
    the record gives it. dates: of what was done to it."""

    axle: str
    part: str
    serial: str
    sort: str
    maker: str
    made: str
    dates: str


def serials_of(index: JudgementIndex) -> tuple[SerialRow, ...]:
    """Every wheelset with its parts: fitted ones by axle, then the others."""
    wheelsets = [part for part in index.judgement.parts.values() if part.kind == WHEELSET]
    fitted = index.in_order(part for part in wheelsets if part.fitted)
    others = index.in_order(part for part in wheelsets if not part.fitted)
    return tuple(row for wheelset in (*fitted, *others) for row in _rows(wheelset, index))


def _rows(wheelset: Part, index: JudgementIndex) -> Iterator[SerialRow]:
    parts = index.judgement.parts
    kinds = [line.kind for line in sheet_lines("serials", "serial")]
    inside = index.judgement.situation.standing.inside.get(wheelset.key, ())
    own = [parts[key] for key in inside if key in parts and parts[key].kind in kinds]
    place = parts.get(wheelset.container or "")
    for part in (wheelset, *sorted(own, key=lambda one: kinds.index(one.kind))):
        yield SerialRow(
            axle=place.label if place is not None else "not fitted",
            part=label_of(part),
            serial=_values_under_heading(part, "serial", index)
            or ((serial_of(part.key) or "") if part is wheelset else ""),
            sort=_values_under_heading(part, "sort", index),
            maker=_values_under_heading(part, "maker", index),
            made=_values_under_heading(part, "made", index),
            dates="; ".join(
                _dated(part, line.attribute, index)
                for line in sheet_lines("serials", "dates")
                if line.kind == part.kind and _newest_text(part, line.attribute, index)
            ),
        )


def _values_under_heading(part: Part, heading: str, index: JudgementIndex) -> str:
    """The values of a part under one heading; `none` is left out."""
    lines = [line for line in sheet_lines("serials", heading) if line.kind == part.kind]
    said = ((line.label or "{value}", _newest_text(part, line.attribute, index)) for line in lines)
    return ", ".join(label.format(value=word, part=part.label, side="") for label, word in said if word not in _NOTHING)


def _newest_text(part: Part, attribute: str, index: JudgementIndex) -> str:
    """The newest value on record; empty if there is none."""
    found = index.judgement.situation.standing.evidence.get(part.key, {}).get(attribute, ())
    return value_words(found[-1].value) if found else ""


def _dated(part: Part, name: str, index: JudgementIndex) -> str:
    said, attribute = _newest_text(part, name, index), index.vocabulary.attribute(part.kind, name)
    return f"{attribute.label} {said}" if said and attribute is not None else ""


_OWN_COLUMNS = frozenset({"code", "device", "device_due"})


class SignedTest(msgspec.Struct, frozen=True):
    """One test, on the parts where it was signed alike.

    accepted: whether the host accepts the signer, and until when. device: with its due date. counts: `yes`; or why not,
    until when, or for what it is not enough.
    """

    test: str
    on: str
    parts: str
    result: str
    signed_by: str
    accepted: str
    code: str
    device: str
    more: str
    counts: str
    at: FilePlaces


class PaperOnRecord(msgspec.Struct, frozen=True):
    """One paper. signed, until: empty if the record names no day."""

    paper: str
    signed: str
    until: str
    more: str
    at: FilePlaces


def evidence_of_sort(index: JudgementIndex, sort: str) -> Iterator[tuple[Part, Evidence]]:
    """All evidence of a sort with its part, in the order of the parts."""
    judgement = index.judgement
    for key, attributes in judgement.situation.standing.evidence.items():
        part = judgement.parts.get(key)
        if part is not None:
            yield from ((part, one) for entries in attributes.values() for one in entries if one.sort == sort)


def signed_tests_of(index: JudgementIndex) -> tuple[SignedTest, ...]:
    """The tests on record, newest first."""
    found = sorted(
        evidence_of_sort(index, "test"),
        key=lambda pair: (pair[1].on is not None, pair[1].on, pair[1].id),
        reverse=True,
    )
    alike: dict[SignedTest, list[tuple[Part, Evidence]]] = {}
    for part, test in found:
        alike.setdefault(_signed(test, part, index), []).append((part, test))
    return tuple(
        msgspec.structs.replace(
            row,
            parts=named((part for part, _ in pairs), index),
            at=lines_of(dict.fromkeys(test.where for _, test in pairs)),
        )
        for row, pairs in alike.items()
    )


def _signed(test: Evidence, part: Part, index: JudgementIndex) -> SignedTest:
    """The row of a test, without parts and place."""
    attribute = index.vocabulary.attribute(part.kind, test.attribute)
    more = (f"{_fact_label(name, test, part, index)}: {value_words(value)}"
            for name, value in test.facts.items() if name not in _OWN_COLUMNS)  # fmt: skip
    return SignedTest(
        test=attribute.label if attribute is not None else test.attribute,
        on=test.on.isoformat() if test.on is not None else "undated",
        parts="",
        result=value_words(test.value),
        signed_by=person_words(test.by),
        accepted=_accepted(test, index),
        code=_fact(test.facts.get("code")),
        device=_device(test),
        more="; ".join(more),
        counts=_counts(test, index),
        at=FilePlaces(),
    )


def _fact(value: Value | None) -> str:
    return "" if value is None else value_words(value)


def _device(test: Evidence) -> str:
    device, due = test.facts.get("device"), test.facts.get("device_due")
    words = [_fact(device), gauge_words(test.gauge)]
    if due is not None:
        late = isinstance(due, Day) and test.on is not None and due.last < test.on
        words.append(f"due {value_words(due)}" + (": OVERDUE on the day of the test" if late else ""))
    return ", ".join(word for word in words if word)


def _accepted(test: Evidence, index: JudgementIndex) -> str:
    person = test.by
    if person is None or test.on is None:
        return "no: nobody named"
    if not index.judgement.situation.accepts(person, test.on):
        return "no, not for that day"
    return "yes" + until_words(person.until).replace(" until", ", until")


def _counts(test: Evidence, index: JudgementIndex) -> str:
    """`yes`; `no`, and why: also where it was made again and nothing rests on it any more; or how long, where that does
    not last to the return; or which rule it does not meet."""
    situation = index.judgement.situation
    excluded = situation.excluded.get(test.id)
    if excluded is not None:
        return f"no: {set_aside_words(excluded)}"
    counted, resting = situation.counted(test.part, test.attribute), index.resting_on(test.id)
    if not any(one.id == test.id for one in counted):
        return "no: the host does not accept who signed it"
    later = [one.on for one in counted if one.on is not None and test.on is not None and one.on > test.on]
    if later and not resting:
        return f"no: made again {max(later).isoformat()}"
    short = [one.lapses_on for one in resting if one.verdict == "lapses" and one.lapses_on is not None]
    if test.until is not None and test.until != NO_END and test.until < index.judgement.move.back:
        short.append(test.until)
    if short:
        return f"to {min(short).isoformat()}, before the return"
    unmet = dict.fromkeys(one.criterion.title for one in resting if one.verdict == "breached")
    return f"not enough for: {'; '.join(unmet)}" if unmet else "yes"


def _fact_label(name: str, evidence: Evidence, part: Part, index: JudgementIndex) -> str:
    attribute = index.vocabulary.attribute(part.kind, evidence.attribute)
    fact = index.vocabulary.facts_of(attribute).get(name) if attribute is not None else None
    return fact.label if fact is not None else name.replace("_", " ")


def papers_of(index: JudgementIndex) -> tuple[PaperOnRecord, ...]:
    """The papers on record, by their names."""
    rows = []
    for part, paper in sorted(evidence_of_sort(index, "paper"), key=lambda pair: pair[1].id):
        attribute = index.vocabulary.attribute(part.kind, paper.attribute)
        more = (f"{_fact_label(name, paper, part, index)}: {value_words(value)}" for name, value in paper.facts.items())
        rows.append(
            PaperOnRecord(
                paper=attribute.label if attribute is not None else paper.attribute,
                signed=paper.on.isoformat() if paper.on is not None else "",
                until="" if paper.until is None else "no end" if paper.until == NO_END else paper.until.isoformat(),
                more="; ".join(more),
                at=lines_of((paper.where,)),
            )
        )
    return tuple(rows)


class HistoryRow(msgspec.Struct, frozen=True):
    """One entry. sort: `work`, `event`, `test`, `move made`. after_last_test: work or an event after the last test on
    record. void: the tests that it made void."""

    on: str
    sort: str
    what: str
    where: str
    by: str
    after_last_test: bool
    void: tuple[str, ...]
    at: FilePlaces


def history_of(index: JudgementIndex) -> tuple[HistoryRow, ...]:
    """Work, events, tests and moves made up to the day, newest first; on the same day, the last one first."""
    tests = list(evidence_of_sort(index, "test"))
    entries = [*_work(tests, index), *_tests(tests, index), *_moves(index)]
    entries.sort(key=lambda entry: entry[:2], reverse=True)
    return tuple(row for _, _, row in entries)


def _work(tests: list[tuple[Part, Evidence]], index: JudgementIndex) -> Iterator[tuple[date, int, HistoryRow]]:
    days = [test.on for _, test in tests if test.on is not None]
    last = max(days, default=None)
    followed = {entry for _, test in tests if test.on == last for entry in test.after}
    void: dict[str, dict[str, None]] = {}
    for one in index.judgement.voided:
        if one.evidence.sort == "test":
            void.setdefault(one.work.id, {})[_test_words(one.evidence, index)] = None
    for entry in index.judgement.situation.standing.work:
        late = last is None or entry.on > last or (entry.on == last and entry.id not in followed)
        yield entry.on, 1, HistoryRow(
            on=entry.on.isoformat(),
            sort="event" if entry.event else "work",
            what=_what(entry),
            where=_where(entry, index),
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


def _where(entry: Work, index: JudgementIndex) -> str:
    parts = index.judgement.parts
    known = [parts[key] for key in entry.at if key in parts]
    return "; ".join(word for word in (named(known, index), *(key for key in entry.at if key not in parts)) if word)


def _test_words(test: Evidence, index: JudgementIndex) -> str:
    part = index.judgement.parts.get(test.part)
    attribute = None if part is None else index.vocabulary.attribute(part.kind, test.attribute)
    label = attribute.label if attribute is not None else test.attribute.replace("_", " ")
    return f"{label} of {test.on.isoformat()}" if test.on is not None else label


def _tests(tests: list[tuple[Part, Evidence]], index: JudgementIndex) -> Iterator[tuple[date, int, HistoryRow]]:
    alike: dict[tuple[str, ...], list[tuple[Part, Evidence]]] = {}
    for part, test in tests:
        if test.on is not None:
            attribute = index.vocabulary.attribute(part.kind, test.attribute)
            label = attribute.label if attribute is not None else test.attribute
            key = (test.on.isoformat(), label, value_words(test.value), person_words(test.by), *sorted(test.after))
            alike.setdefault(key, []).append((part, test))
    for (on, label, result, by, *after), pairs in alike.items():
        behind = f", after {', '.join(after)}" if after else ""
        yield date.fromisoformat(on), 2 if after else 0, HistoryRow(
            on=on,
            sort="test",
            what=f"{label}: {result}{behind}",
            where=named((part for part, _ in pairs), index),
            by=by,
            after_last_test=False,
            void=(),
            at=lines_of(dict.fromkeys(test.where for _, test in pairs)),
        )  # fmt: skip


def _moves(index: JudgementIndex) -> Iterator[tuple[date, int, HistoryRow]]:
    for made in index.judgement.car.moves_made:
        if made.back <= index.judgement.as_of:
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


class SheetRow(msgspec.Struct, frozen=True):
    """The readings of one day, one person and one gauge on one sheet. gauge: empty if none is named.

    not_counted: how many of them do not count (void, gauge overdue or found wrong). parts: the parts they were taken
    on.
    """

    on: str
    by: str
    gauge: str
    readings: int
    not_counted: int
    parts: str
    at: FilePlaces


def sheets_of(index: JudgementIndex) -> tuple[SheetRow, ...]:
    """The sheets up to the day, newest first."""
    excluded = index.judgement.situation.excluded
    sheets: dict[tuple[str, str, str, str], list[tuple[Part, Evidence]]] = {}
    for part, reading in evidence_of_sort(index, "reading"):
        on = reading.on.isoformat() if reading.on is not None else "undated"
        key = (on, reading.sheet, person_words(reading.by), gauge_words(reading.gauge))
        sheets.setdefault(key, []).append((part, reading))
    return tuple(
        SheetRow(
            on=on,
            by=by,
            gauge=gauge,
            readings=len(pairs),
            not_counted=sum(reading.id in excluded for _, reading in pairs),
            parts=named((part for part, _ in pairs), index),
            at=lines_of(reading.where for _, reading in pairs),
        )
        for (on, _, by, gauge), pairs in sorted(sheets.items(), key=lambda item: item[0], reverse=True)
    )
