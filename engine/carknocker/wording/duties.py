"""Duties in words: what each requires, and the duties during the move, leg by leg."""

from collections.abc import Iterable
from datetime import date

import msgspec

from carknocker.judgement.duty_moments import LegDays, Span, moments_of
from carknocker.judgement.model import DutyOnTheWay, Judgement
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Move
from carknocker.rulebook.model import Requires, Source
from carknocker.wording.parts import part_words


def requirement_of_duty(requires: Requires, part: str, since: date | None) -> str:
    """What a duty requires, and on which part."""
    if requires.test:
        after = f", dated after {since.isoformat()}" if since is not None else ""
        return f"{requires.test} of {part}, passed{after}"
    if requires.spare:
        return f"{_several(requires)}{requires.spare}, sound and fitting {part}, aboard"
    return f"{requires.words} ({part})"


def duty_words(requires: Requires) -> str:
    """What a duty requires."""
    if requires.test:
        return f"{requires.test}, passed"
    return f"{_several(requires)}{requires.spare}, fitting and sound, aboard" if requires.spare else requires.words


def _several(requires: Requires) -> str:
    return f"{requires.number} × " if requires.number > 1 else ""


DUTY_STATES = {"open": "due", "done": "done", "on the way": "to be done on the way"}
"""The states of a duty in words."""


class Due(msgspec.Struct, frozen=True):
    """One thing to be done. days: each day for it; with `latest`, the last day by which it must be done; empty if the
    move does not say the day. when: what else is known of the moment, "" for nothing. labels: of its parts."""

    days: tuple[date, ...]
    latest: bool
    when: str
    title: str
    asked: str
    labels: tuple[str, ...]
    by: str
    routine: bool
    rule: str
    source: Source


class LegDuties(msgspec.Struct, frozen=True):
    """The duties of one leg; or of several, if the move does not say which of them is under way on a day.

    on, until: the days of departure and arrival. stands_until: the day on which the next leg departs, if the car stands
    for days in between. None if the move does not say.
    """

    first: int
    last: int
    route: str
    miles: str
    on: date | None
    until: date | None
    stands_until: date | None
    duties: tuple[Due, ...]


class DuringTheMove(msgspec.Struct, frozen=True):
    """at_any_time: duties whose own words say when. undated: legs whose days the move does not say."""

    out: date
    back: date
    legs: tuple[LegDuties, ...]
    at_any_time: tuple[Due, ...]
    undated: tuple[int, ...]


_Key = tuple[str, str, str, str, bool, bool, str]
_Days = dict[_Key, dict[str, dict[date, None]]]
"""Key (rule, title, requirement, by whom, routine, latest, when) → for each part, its days."""


def during_the_move(judgement: Judgement) -> DuringTheMove:
    """The duties on the way, by the legs on which they fall due; in each leg, those without a day come last."""
    move = judgement.move
    legs = LegDays(move)
    by_span: dict[Span | None, _Days] = {}
    sources: dict[str, Source] = {}
    for one in judgement.on_the_way:
        rule, title, asked, label, source = _words(one)
        sources[rule] = source
        for moment in moments_of(one, move, legs):
            key = (rule, title, asked, one.by, one.routine, moment.latest, moment.when)
            days = by_span.setdefault(moment.legs, {}).setdefault(key, {}).setdefault(label, {})
            if moment.day is not None:
                days[moment.day] = None
    stretches = sorted(span for span in by_span if span is not None)
    return DuringTheMove(
        move.out,
        move.back,
        tuple(_leg_duties(span, _dues(by_span[span], sources), move, legs) for span in stretches),
        _dues(by_span.get(None, {}), sources),
        legs.undated(),
    )


def _words(one: DutyOnTheWay) -> tuple[str, str, str, str, Source]:
    """The rule, its title, what it requires, the part, the source."""
    if one.finding is not None:
        criterion = one.finding.criterion
        return criterion.id, criterion.title, criterion.title, part_words(one.finding.part), criterion.source
    if one.duty is None:
        raise AssertionError("a duty on the way is about a finding, or it is a duty")
    rule = one.duty.consequence
    return rule.id, rule.title, duty_words(one.duty.requirement), part_words(one.duty.part), rule.source


def _dues(days: _Days, sources: dict[str, Source]) -> tuple[Due, ...]:
    """Parts with the same days are merged. The earliest days come first, duties without a day last."""
    found: list[Due] = []
    for (rule, title, asked, by, routine, latest, when), parts in days.items():
        together: dict[tuple[date, ...], list[str]] = {}
        for label, own in parts.items():
            together.setdefault(tuple(own), []).append(label)
        found.extend(
            Due(own, latest, when, title, asked, tuple(labels), by, routine, rule, sources[rule])
            for own, labels in together.items()
        )
    return tuple(sorted(found, key=lambda due: due.days[0] if due.days else date.max))


def _leg_duties(span: Span, duties: Iterable[Due], move: Move, legs: LegDays) -> LegDuties:
    first, last = move.legs[span[0] - 1], move.legs[span[1] - 1]
    miles = sum((leg.miles.amount for leg in move.legs[span[0] - 1 : span[1]]), first.miles.amount * 0)
    return LegDuties(
        first=first.number,
        last=last.number,
        route=f"{first.start} to {last.end}",
        miles=write_quantity(Quantity.of("distance", miles, "mi")),
        on=legs.on(first),
        until=legs.until(last),
        stands_until=legs.stands_until(last),
        duties=tuple(duties),
    )
