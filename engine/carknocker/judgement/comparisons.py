"""One comparison of a clause as a function of a sight. The judgement and its explanation use the same function."""

from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction

from carknocker.judgement import figures
from carknocker.judgement.held import Held, text_of
from carknocker.judgement.sight import Getter, Sight, getter
from carknocker.judgement.truth import FAILS, HOLDS, UNKNOWN, opposite
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Day, Figure, Interval, Value, Words
from carknocker.rulebook.clauses import ByTable, Comparison, Fixed, FromPart
from carknocker.workings.miles import miles_of_car_since, miles_of_wheelset_since

Test = Callable[[Sight], int]


def comparison_test(comparison: Comparison) -> Test:
    """The comparison as a function of what is seen."""
    get = getter(comparison.path)
    is_test = comparison.path.attribute.type == "test" and comparison.path.fact is None
    base = _base_test(comparison, get)
    if not is_test:
        return base

    def passed_and(sight: Sight) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        return FAILS if text_of(held.value) != "passed" else base(sight)

    return passed_and


def _base_test(comparison: Comparison, get: Getter) -> Test:
    word = comparison.word
    if word == "shown":
        return lambda sight: UNKNOWN if get(sight) is None else HOLDS
    if word == "within":
        return _within(comparison, get)
    if word == "in_force":
        return _in_force(comparison)
    if word in ("before", "after"):
        return _dated(comparison, get, word)
    if comparison.path.value_attribute.type == "period":
        return _period(comparison, get)
    limit = limit_getter(comparison)
    if word in figures.SIDES:
        return _with_limit(get, limit, figures.against(word))
    words = comparison.limit.values if isinstance(comparison.limit, Fixed) else ()
    match word:
        case "is" | "is_not":
            plain = _with_limit(get, limit, _is)
        case "one_of" | "none_of":
            plain = _one_of(get, words)
        case _:
            return _holds_all(get, words)
    return (lambda sight: opposite(plain(sight))) if word in ("is_not", "none_of") else plain


def _with_limit(get: Getter, limit: Getter, test: figures.FigureTest) -> Test:
    def compare(sight: Sight) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        bound = limit(sight)
        return UNKNOWN if bound is None else test(held, bound)

    return compare


def _is(held: Held, limit: Held) -> int:
    if limit.d or isinstance(limit.value, Bound):
        return figures.equal(held, limit)
    if held.text is None or limit.text is None:
        return UNKNOWN
    return HOLDS if held.text == limit.text else FAILS


def _one_of(get: Getter, values: tuple[Value, ...]) -> Test:
    limits = [Held(value, None) for value in values]
    words = frozenset(limit.text for limit in limits)
    figured = any(limit.d for limit in limits)

    def compare(sight: Sight) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        if figured:
            return max(_is(held, limit) for limit in limits)
        if isinstance(held.value, Words):
            return HOLDS if any(text.casefold() in words for text in held.value.texts) else FAILS
        if held.text is None:
            return UNKNOWN
        return HOLDS if held.text in words else FAILS

    return compare


def _holds_all(get: Getter, values: tuple[Value, ...]) -> Test:
    wanted = {text.casefold() for value in values if (text := text_of(value)) is not None}

    def compare(sight: Sight) -> int:
        held = get(sight)
        if held is None or not isinstance(held.value, Words):
            return UNKNOWN
        return HOLDS if wanted <= {text.casefold() for text in held.value.texts} else FAILS

    return compare


def limit_getter(comparison: Comparison) -> Getter:
    """The limit as a function of what is seen; it finds None where the part does not tell its limit."""
    match comparison.limit:
        case Fixed(values):
            fixed = Held(values[0], None)
            return lambda sight: fixed
        case FromPart(path):
            return getter(path)
        case ByTable(path, rows, otherwise):
            key = getter(path)
            held_rows = {text.casefold(): Held(value, None) for text, value in rows.items()}
            rest = None if otherwise is None else Held(otherwise, None)

            def from_table(sight: Sight) -> Held | None:
                chosen = key(sight)
                text = None if chosen is None else chosen.text
                return None if text is None else held_rows.get(text, rest)

            return from_table


def _within(comparison: Comparison, get: Getter) -> Test:
    """Not longer ago than a period, not more miles ago than a distance; several limits all bind."""
    table = None if isinstance(comparison.limit, Fixed) else limit_getter(comparison)
    values = comparison.limit.values if isinstance(comparison.limit, Fixed) else ()

    def compare(sight: Sight) -> int:
        held = get(sight)
        if held is None:
            return UNKNOWN
        limits = values
        if table is not None:
            chosen = table(sight)
            if chosen is None:
                return UNKNOWN
            limits = (chosen.value,)
        span = day_of(held)
        if span is None:
            return UNKNOWN
        return min(_not_older(sight, span, limit) for limit in limits)

    return compare


def _not_older(sight: Sight, span: Day, limit: Value) -> int:
    if span.first > sight.situation.standing.as_of:
        return UNKNOWN  # a day that has not come yet shows nothing that was done
    if isinstance(limit, Interval):
        if sight.day <= limit.period.after(span.first):
            return HOLDS
        return FAILS if sight.day > limit.period.after(span.last) else UNKNOWN
    if isinstance(limit, Figure):
        allowed = limit.quantity.amount
        if _miles_since(sight, span.first) <= allowed:
            return HOLDS
        return FAILS if _miles_since(sight, span.last) > allowed else UNKNOWN
    return UNKNOWN


def _miles_since(sight: Sight, since: date) -> Fraction:
    """Miles made since a day; on arrival, and from the second day of the move on, those of the planned move too: nobody
    can say on which day which mile is made."""
    situation = sight.situation
    standing = situation.standing
    wheelset = situation.owner(sight.key, "wheelset")
    if wheelset is None:
        made = miles_of_car_since(standing.car, since, standing.as_of)
    else:
        made = miles_of_wheelset_since(standing.car, wheelset.removeprefix("wheelset "), since, standing.as_of)
    if sight.arriving or sight.day > situation.move.out:
        made += sum((leg.miles.amount for leg in situation.move.legs), Fraction(0))
    return made


def day_of(held: Held) -> Day | None:
    """The day that a value tells, else the day of its evidence."""
    if isinstance(held.value, Day):
        return held.value
    on = None if held.evidence is None else held.evidence.on
    return None if on is None else Day(on, on, on.isoformat())


def _in_force(comparison: Comparison) -> Test:
    """Some paper that counts covers the day. A paper that names no last day covers nothing that it does not say."""
    path = comparison.path

    def compare(sight: Sight) -> int:
        key = sight.situation.owner(sight.key, path.owner) if path.owner else sight.key
        papers = [] if key is None else sight.situation.counted(key, path.attribute.name)
        if not papers:
            return UNKNOWN
        if all_covered(papers, sight.situation.move.out, sight.day):
            return HOLDS
        return FAILS if any(paper.until is not None for paper in papers) else UNKNOWN

    return compare


def all_covered(papers: list[Evidence], first: date, last: date) -> bool:
    """Whether papers together cover every day from the first to the last."""
    day = first
    while day <= last:
        until = max((paper.until for paper in papers if paper.until is not None and covers(paper, day)), default=None)
        if until is None:
            return False
        if until >= last:
            return True
        day = until + timedelta(days=1)
    return True


def covers(paper: Evidence, day: date) -> bool:
    """Whether a paper's first and last day enclose a day."""
    start = paper.facts.get("from")
    first = start.first if isinstance(start, Day) else paper.on
    return paper.until is not None and (first is None or first <= day) and day <= paper.until


def _dated(comparison: Comparison, get: Getter, word: str) -> Test:
    limit = limit_getter(comparison)

    def compare(sight: Sight) -> int:
        held = get(sight)
        bound = limit(sight)
        span = None if held is None else day_of(held)
        if span is None or bound is None or not isinstance(bound.value, Day):
            return UNKNOWN
        if word == "before":
            return _order(span.last < bound.value.first, span.first >= bound.value.last)
        return _order(span.first > bound.value.last, span.last <= bound.value.first)

    return compare


def _order(holds: bool, fails: bool) -> int:
    return HOLDS if holds else FAILS if fails else UNKNOWN


def _period(comparison: Comparison, get: Getter) -> Test:
    """An age (the value tells the day it began) or a period, against a period. Two periods are measured from the day
    of departure, since a month has no fixed number of days."""
    limit = limit_getter(comparison)
    word = comparison.word

    def compare(sight: Sight) -> int:
        held = get(sight)
        bound = limit(sight)
        if held is None or bound is None or not isinstance(bound.value, Interval):
            return UNKNOWN
        period = bound.value.period
        if isinstance(held.value, Day):
            early = _sides(word, sight.day, period.after(held.value.first))
            late = _sides(word, sight.day, period.after(held.value.last))
            return early if early == late else UNKNOWN
        if not isinstance(held.value, Interval):
            return UNKNOWN
        start = sight.situation.move.out
        return _sides(word, held.value.period.after(start), period.after(start))

    return compare


def _sides(word: str, ours: date, theirs: date) -> int:
    holds = {
        "over": ours > theirs, "at_least": ours >= theirs, "under": ours < theirs, "at_most": ours <= theirs,
        "is": ours == theirs, "is_not": ours != theirs,
    }  # fmt: skip
    return HOLDS if holds[word] else FAILS


__all__ = ["Test", "comparison_test", "covers", "day_of", "limit_getter"]
