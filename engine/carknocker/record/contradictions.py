"""Refuses values on record that can't all be true: the rows of what must hold together, asked of every part."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from itertools import product

import msgspec

from carknocker.documents import Location, ProblemReporter
from carknocker.record.model import Evidence, Part, Spare, Work
from carknocker.record.part_keys import serial_of, wheelset_parts
from carknocker.record.value_words import value_words
from carknocker.record.values import Bound, Count, Day, Figure, NotAccessible, PressureDrop, Value, Word
from carknocker.vocabulary import load_vocabulary
from carknocker.vocabulary.ranges import days_of
from carknocker.vocabulary.together import (
    DayOfJob,
    Identity,
    JobWhere,
    OneFigure,
    Order,
    OwnPosition,
    Path,
    Rule,
    Together,
    Words,
    WordsTogether,
)

Readings = Mapping[str, Mapping[str, Sequence[Evidence]]]
"""Part → attribute → oldest first."""
Moment = tuple[date, frozenset[str]] | None
"""A day and what was done before on it; None for what is undated."""
_SURE = "if all of it is right, say `sure: WHY` at each"


class Record(msgspec.Struct, frozen=True):
    """What the rows are asked of. parts: by key, with those of wheelsets that are gone."""

    parts: Mapping[str, Part]
    by_kind: Mapping[str, tuple[Part, ...]]
    readings: Readings
    work: Sequence[Work]
    spares: Sequence[Spare]
    told: set[tuple[str, Location]]  # what one line says of several parts is told once

    def inside(self, part: Part, kind: str) -> list[Part]:
        """The parts of a kind inside a part, however deep."""
        return [one for one in self.by_kind.get(kind, ()) if self._is_in(one, part.key)]

    def _is_in(self, part: Part, key: str) -> bool:
        container = part.container
        while container is not None:
            if container == key:
                return True
            above = self.parts.get(container)
            container = None if above is None else above.container
        return False


def refuse_contradictions(
    parts: Iterable[Part], readings: Readings, work: Sequence[Work], spares: Sequence[Spare],
    reporter: ProblemReporter,
) -> None:  # fmt: skip
    """Reports each row that does not hold: at the later of the two lines, with the earlier one named."""
    known = {part.key: part for part in parts}
    gone = {serial for key in readings if key not in known and (serial := serial_of(key)) is not None}
    for serial in gone:
        known.update((part.key, part) for part in wheelset_parts(serial, None, False, Location("", 1, 1)))
    by_kind: dict[str, list[Part]] = {}
    for part in known.values():
        by_kind.setdefault(part.kind, []).append(part)
    on_record = {attribute for own in readings.values() for attribute in own}
    record = Record(known, {kind: tuple(found) for kind, found in by_kind.items()}, readings, work, spares, set())
    for row in load_vocabulary().together:
        if not _attributes(row.rule) <= on_record:
            continue
        own = record.by_kind.get(row.of, ())
        match row.rule:
            case Order():
                for part in own:
                    _order(row, row.rule, part, record, reporter)
            case WordsTogether():
                for part in own:
                    _words(row, row.rule, part, record, reporter)
            case Identity():
                _identity(row, row.rule, own, record, reporter)
            case OneFigure():
                _one_figure(row, row.rule, own, record, reporter)
            case DayOfJob():
                for part in own:
                    _day_of_job(row, row.rule, part, record, reporter)
            case OwnPosition():
                _own_position(row, row.rule, own, record, reporter)
            case JobWhere():
                _job_where(row, row.rule, record, reporter)


def _attributes(rule: Rule) -> set[str]:
    """What has to be on record for a row to be asked."""
    match rule:
        case Order():
            return {*(path.attribute for path in rule.paths), *((_other(rule).attribute,) if rule.other else ())}
        case WordsTogether():
            return {rule.words[0][0]}
        case OneFigure():
            return {rule.attribute, rule.by}
        case JobWhere():
            return {attribute for attribute, _ in rule.where}
        case _:
            return {rule.attribute}


def _order(row: Together, rule: Order, part: Part, record: Record, reporter: ProblemReporter) -> None:
    own = record.readings.get(part.key, {})
    others = _places(_other(rule), part, record) if rule.other else []
    if rule.other and (len(others) != 1 or others[0][1] not in record.readings.get(others[0][0], {})):
        return
    if rule.unless_job and any(one.name == rule.unless_job and part.key in one.at for one in record.work):
        return
    places = [_places(path, part, record) for path in rule.paths]
    if not all(places) or any(one not in own for one in _own_attributes(rule)):
        return
    sets = [[place for group in places for place in group]] if rule.added else [[place] for place in places[0]]
    for members in sets:
        wanted = [*members, *others]
        for said in _together(wanted, record.readings):
            if rule.where and not _has_words(rule.where, members[0][0], said[0], record.readings):
                continue
            if not _in_order(rule, said):
                _note(row, said, _expected(rule), record, reporter)


def _other(rule: Order) -> Path:
    kind, _, attribute = rule.other.rpartition(".")
    return Path(kind, attribute)


def _own_attributes(rule: Order) -> list[str]:
    return [path.attribute for path in rule.paths if not path.kind]


def _places(path: Path, part: Part, record: Record) -> list[tuple[str, str]]:
    """Part and attribute of each place that a path names."""
    if not path.kind:
        return [(part.key, path.attribute)]
    return [(one.key, path.attribute) for one in record.inside(part, path.kind)]


def _together(wanted: Sequence[tuple[str, str]], readings: Readings) -> Iterator[list[Evidence]]:
    """The values of all places that were read together: of one day, before or after the same jobs; what is undated goes
    with the newest of them. Nothing where one of the places has no value that says anything."""
    found = [_said(readings.get(key, {}).get(attribute, ())) for key, attribute in wanted]
    if not all(found):
        return
    dated = [one for one in found if _moment(one[0]) is not None]
    undated = [one[-1] for one in found if _moment(one[0]) is None]
    moments = sorted({moment for group in dated for one in group if (moment := _moment(one))}, key=lambda m: m[0])
    if undated and moments:
        moments = moments[-1:]
    for moment in moments:
        at = [[one for one in group if _moment(one) == moment] for group in dated]
        if all(at):
            for members in product(*at):
                newest = iter(members)
                yield [group[-1] if _moment(group[0]) is None else next(newest) for group in found]
    if not dated:
        yield undated


def _said(entries: Sequence[Evidence]) -> list[Evidence]:
    return [one for one in entries if not isinstance(one.value, NotAccessible)]


def _moment(entry: Evidence) -> Moment:
    return None if entry.on is None else (entry.on, entry.after)


def _has_words(words: Words, part: str, beside: Evidence, readings: Readings) -> bool:
    """Whether a part has one of the words of each attribute, as said together with another value of it."""
    for attribute, allowed in words:
        entries = _said(readings.get(part, {}).get(attribute, ()))
        found = [one for one in entries if one.on is None or beside.on is None or _moment(one) == _moment(beside)]
        if not found or _word(found[-1].value) not in allowed:
            return False
    return True


def _in_order(rule: Order, said: Sequence[Evidence]) -> bool:
    """Whether the order can hold, bounds taken at their best."""
    members = said[:-1] if rule.other else said
    spans = [_span(one.value) for one in members]
    limit: tuple[Fraction | None, Fraction | None] = (Fraction(0), Fraction(0))
    limit = _span(said[-1].value) if rule.other else limit
    more = Fraction(rule.n, rule.d)
    if rule.comparison == "over":
        highs = [high for _, high in spans]
        total = None if None in highs else sum(high for high in highs if high is not None)
        return total is None or limit[0] is None or total > limit[0] + more
    lows = [low for low, _ in spans]
    if None in lows or limit[1] is None:
        return True
    low = sum((low for low in lows if low is not None), Fraction(0))
    return low < limit[1] + more if rule.comparison == "under" else low <= limit[1] + more


def _span(value: Value) -> tuple[Fraction | None, Fraction | None]:
    """The least and the most that a value can be; None where nothing bounds it."""
    match value:
        case Figure(quantity):
            return quantity.amount, quantity.amount
        case PressureDrop(per_minute=rate):
            return rate.amount, rate.amount
        case Count(number):
            return Fraction(number), Fraction(number)
        case Day(first, last):
            return Fraction(first.toordinal()), Fraction(last.toordinal())
        case Bound(low, _, high, _):
            return None if low is None else low.amount, None if high is None else high.amount
        case _:
            period = getattr(value, "period", None)
            return (None, None) if period is None else (days_of(period), days_of(period))


def _word(value: Value) -> str:
    """The word of a value that is compared as a word; empty where it has none."""
    match value:
        case Word(text):
            return text
        case Count(number):
            return str(number)
        case Day(written=written):
            return written
        case _:
            return getattr(value, "word", "")


def _expected(rule: Order) -> str:
    first = " and ".join(_name(path) for path in rule.paths)
    of = f"{first} added: {rule.comparison}" if rule.added else f"{first} {rule.comparison}"
    if not rule.other:
        return f"{of} {rule.figure}"
    return f"{of} `{_other(rule).attribute}`" + (f" {rule.figure}" if rule.figure else "")


def _name(path: Path) -> str:
    return f"`{path.attribute}`" + (f" of each {path.kind}" if path.kind else "")


def _note(row: Together, said: Sequence[Evidence], expected: str, record: Record, reporter: ProblemReporter) -> None:
    *others, last = sorted(said, key=lambda one: one.where)
    if all(one.sure for one in said) or (row.id, last.where) in record.told:
        return
    record.told.add((row.id, last.where))
    found = f"`{last.attribute}` {value_words(last.value)} of {last.part}"
    for one in others:
        part = "" if one.part == last.part else f" of {one.part}"
        found += f", and `{one.attribute}` {value_words(one.value)}{part} (line {one.where.line})"
    reporter.note(last.where, found, expected, remedy=f"{row.do}; {_SURE}")


def _words(row: Together, rule: WordsTogether, part: Part, record: Record, reporter: ProblemReporter) -> None:
    attribute, words = rule.words[0]
    own = record.readings.get(part.key, {})
    if attribute not in own:
        return
    for other, allowed in rule.go_with:
        for said in _together([(part.key, attribute), (part.key, other)], record.readings):
            if _word(said[0].value) in words and _word(said[1].value) not in allowed:
                expected = f"`{other}` {' or '.join(allowed)} with `{attribute}` {value_words(said[0].value)}"
                _note(row, said, expected, record, reporter)
    said_now = _said(own[attribute])
    if not said_now or _word(said_now[-1].value) not in words:
        return
    for kind, number in rule.count:
        there = len(record.inside(part, kind))
        if there != number and not said_now[-1].sure:
            found = f"`{attribute}` {value_words(said_now[-1].value)} of {part.key}, which has {there} of {kind}"
            reporter.note(said_now[-1].where, found, f"{number} of {kind}", remedy=row.do)


def _identity(row: Together, rule: Identity, parts: Sequence[Part], record: Record, reporter: ProblemReporter) -> None:
    seen: dict[str, list[Evidence]] = {}
    for part in parts:
        for entry in record.readings.get(part.key, {}).get(rule.attribute, ()):
            if isinstance(entry.value, Word):
                before = seen.setdefault(entry.value.text.casefold(), [])
                for other in before:
                    if other.part != entry.part and not _differ(rule, other.part, entry.part, record.readings):
                        _note(
                            row, (other, entry), f"a `{rule.attribute}` of its own for each {row.of}", record, reporter
                        )
                        break
                before.append(entry)
    for spare in record.spares if rule.spare else ():
        for entry in seen.get(spare.serial.casefold(), ()) if spare.name == rule.spare and spare.serial else ():
            found = f"the spare {spare.name} {spare.serial}, which is `{rule.attribute}` of {entry.part}"
            expected = f"the serial of the spare, or of the one on the car (line {entry.where.line})"
            reporter.note(spare.where, found, expected, remedy=row.do)


def _differ(rule: Identity, one: str, other: str, readings: Readings) -> bool:
    """Whether something else on record tells two parts apart."""
    for attribute in rule.unlike:
        said = [_said(readings.get(part, {}).get(attribute, ())) for part in (one, other)]
        if all(said) and said[0][-1].value != said[1][-1].value:
            return True
    return False


def _one_figure(
    row: Together, rule: OneFigure, parts: Sequence[Part], record: Record, reporter: ProblemReporter
) -> None:
    seen: dict[tuple[str, date | None], list[Evidence]] = {}
    expected = f"`{rule.attribute}` within {rule.within}" if rule.within else f"one `{rule.attribute}`"
    for part in parts:
        if rule.by not in record.readings.get(part.key, {}):
            continue
        for by, figure in _together([(part.key, rule.by), (part.key, rule.attribute)], record.readings):
            name = value_words(by.value)
            before = seen.setdefault((name, figure.on if rule.within else None), [])
            unlike = next((one for one in before if not _alike(one.value, figure.value, rule)), None)
            if unlike is not None:
                _note(row, (unlike, figure), f"{expected} of {rule.by} {name[:40]}", record, reporter)
            before.append(figure)


def _alike(one: Value, other: Value, rule: OneFigure) -> bool:
    """Whether two values are equal; or lie as near to each other as the row wants, bounds taken at their best."""
    if not rule.within:
        return one == other
    (low, high), (least, most) = _span(one), _span(other)
    near = Fraction(rule.n, rule.d)
    return (low is None or most is None or low - most <= near) and (
        high is None or least is None or least - high <= near
    )


def _day_of_job(row: Together, rule: DayOfJob, part: Part, record: Record, reporter: ProblemReporter) -> None:
    entries = record.readings.get(part.key, {}).get(rule.attribute, ())
    if not entries or not isinstance(entries[-1].value, Day) or entries[-1].sure:
        return
    jobs = [one for one in record.work if one.name == rule.job and part.key in one.at]
    if jobs and entries[-1].value.first > jobs[-1].on:
        job, entry = jobs[-1], entries[-1]
        told = f"`{rule.attribute}` {value_words(entry.value)} of {part.key}"
        found = f"{told}, which {job.id} ({rule.job}) put there on {job.on}"
        reporter.note(entry.where, found, f"a day not after {job.on} (line {job.where.line})", remedy=row.do)


def _own_position(
    row: Together, rule: OwnPosition, parts: Sequence[Part], record: Record, reporter: ProblemReporter
) -> None:
    positions = {part.position for part in parts}
    for part in parts:
        for entry in record.readings.get(part.key, {}).get(rule.attribute, ()):
            word = _word(entry.value)
            if word in positions and word != part.position and not entry.sure:
                found = f"`{rule.attribute}` {word} of {part.key}"
                reporter.note(entry.where, found, f"{part.position} or none", remedy=f"{row.do}; {_SURE}")


def _job_where(row: Together, rule: JobWhere, record: Record, reporter: ProblemReporter) -> None:
    for work in (one for one in record.work if one.name in rule.jobs):
        for part in (record.parts[key] for key in work.at if key in record.parts):
            later = any(one.name == rule.unless_job and part.key in one.at and one.on > work.on for one in record.work)
            if part.kind != row.of or later:
                continue
            for attribute, words in rule.where:
                said = _said(record.readings.get(part.key, {}).get(attribute, ()))
                if said and _word(said[-1].value) not in words and not said[-1].sure:
                    written = f"`{attribute}` {value_words(said[-1].value)} (line {said[-1].where.line})"
                    found = f"the job `{work.name}` on {part.key}, which is {written}"
                    reporter.note(work.where, found, f"`{attribute}` {' or '.join(words)}", remedy=row.do)
