"""One value as a record writes it: a figure, a word, a day, a go/no-go bound, a pressure drop, an opinion."""

import calendar
import re
from collections.abc import Iterable
from datetime import date
from typing import Literal

import msgspec

from carknocker.documents import Node, ProblemReporter, nearest, some
from carknocker.documents.suggestions import MOST_LISTED
from carknocker.quantities import DIMENSIONS, Quantity, QuantityError, read_curve, read_period, read_quantity
from carknocker.record.files import RecordReporter
from carknocker.record.possible_values import NO_DAYS, refuse_impossible
from carknocker.record.values import (
    Bound,
    Count,
    Day,
    Figure,
    Interval,
    NotAccessible,
    Opinion,
    PressureDrop,
    Value,
    Word,
    Words,
)
from carknocker.vocabulary.model import Attribute
from carknocker.vocabulary.ranges import Days

_DAY = re.compile(r"([0-9]{4})(?:-([0-9]{2})(?:-([0-9]{2}))?)?")
NONE_FITTED = "none fitted"
"""How the number of parts that stand in a container is written where there is none."""
NOT_KNOWN = "not known"
"""How a description or a fact is written that nobody knows yet: as if it were left out."""
_COUNT = re.compile(r"[0-9]{1,9}")
_YES_NO = {"yes": "yes", "true": "yes", "no": "no", "false": "no"}
_SAYS_NOTHING = frozenset((
    "n/a", "na", "n.a.", "-", "—", "?", "unknown", "not seen", "not checked", "not looked at", "not known", "tbd",
))  # fmt: skip
_NAMES_NOTHING = frozenset(("none", "nil", "x", "xx", "xxx", ""))
FIRST_YEAR, LAST_YEAR = 1800, 2200
"""No car, railroad or move is older or later: a year outside them is a slip of the pen."""
MOST_CHARACTERS = 500
FEWEST_LETTERS = 4
"""Of a reason: `yes` and `ok` are none."""
TEST_RESULTS: tuple[Literal["passed", "failed"], ...] = ("passed", "failed")


def says_nothing(text: str) -> bool:
    """Whether a name or a text is only a mark in its place: `-`, `n/a`, `x`."""
    word = text.strip().casefold()
    return word in _SAYS_NOTHING or word in _NAMES_NOTHING or not any(one.isalnum() for one in word)


def is_not_known(node: Node) -> bool:
    """Whether a description or a fact says that it is not known."""
    return node.kind == "scalar" and node.text.strip() == NOT_KNOWN


def value_of(text: str, attribute: Attribute) -> Value:
    """The value of an attribute that `text` says. Raises QuantityError, in plain words, if it says none."""
    kind = attribute.type
    if kind == "degree of curve":
        return Figure(read_curve(text))
    if kind in DIMENSIONS:
        return Figure(read_quantity(text, kind, signed=attribute.signed))
    if kind == "period":
        return Interval(read_period(text))
    if kind == "count":
        if attribute.counts and text in (NONE_FITTED, "none", "0"):
            if text != NONE_FITTED:
                raise QuantityError(f"`{text}`", f"a whole number, or `{NONE_FITTED}`", NONE_FITTED)
            return Count(0, NONE_FITTED)
        if _COUNT.fullmatch(text) is None:
            raise QuantityError(f"`{text[:60]}`", "a whole number")
        return Count(int(text))
    if kind == "date":
        return read_day(text)
    return Word(_word(text, attribute))


def _word(text: str, attribute: Attribute) -> str:
    if attribute.type == "yes or no":
        if text not in _YES_NO:
            raise _no_such_word(text, "yes or no", ("yes", "no"), attribute)
        return _YES_NO[text]
    allowed = TEST_RESULTS if attribute.type == "test" else attribute.one_of
    if allowed and text not in allowed:
        raise _no_such_word(text, f"one of {some(allowed)}", allowed, attribute)
    if not allowed and says_nothing(text):
        raise QuantityError(f"`{text[:60]}`, which says nothing", "a name or a text", remedy="leave it out")
    if len(text) > MOST_CHARACTERS:
        raise QuantityError(f"a text of {len(text):,} characters", f"at most {MOST_CHARACTERS} characters")
    return text


def _no_such_word(text: str, expected: str, allowed: Iterable[str], attribute: Attribute) -> QuantityError:
    """What is wrong with a word that is not allowed. What says nothing at all is to be left out."""
    if text.casefold() in _SAYS_NOTHING:
        remedy = "leave it out, or say `not accessible (why)`"
        return QuantityError(f"`{text[:60]}`, which says nothing", expected, remedy=remedy)
    # imported only where a message needs it, since start-up is felt at every check
    from carknocker.vocabulary.other_names import names_of_words

    words = tuple(allowed)
    if len(words) > MOST_LISTED:
        expected += f"; `carknocker words '{attribute.kind}.{attribute.name}'` lists them"
    return QuantityError(f"`{text[:60]}`", expected, nearest(text, words, names_of_words(attribute), attribute.bad))


def read_day(text: str) -> Day:
    """A day `2026-09-12`, a month `2019-05` or a year `1927`. Raises QuantityError."""
    match = _DAY.fullmatch(text)
    expected = "a day such as 2026-09-12, a month such as 2019-05, or a year"
    if match is None:
        raise QuantityError(f"`{text[:60]}`", expected)
    year = int(match[1])
    month, day = (None if part is None else int(part) for part in match.groups()[1:])
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise QuantityError(f"the year {match[1]} in `{text}`", f"a year from {FIRST_YEAR} to {LAST_YEAR}")
    try:
        if month is None:
            return Day(date(year, 1, 1), date(year, 12, 31), text)
        if day is None:
            return Day(date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1]), text)
        return Day(date(year, month, day), date(year, month, day), text)
    except (ValueError, calendar.IllegalMonthError):
        raise QuantityError(f"`{text[:60]}`, which is not in the calendar", expected) from None


def full_day(text: object) -> date:
    """A whole day. Raises QuantityError for a month, a year, or anything else."""
    expected = "a whole day such as 2026-09-12"
    if not isinstance(text, str):
        raise QuantityError("a list or a mapping", expected)
    day = read_day(text.strip()) if _DAY.fullmatch(text.strip()) else None
    if day is None or day.first != day.last:
        raise QuantityError(f"`{text[:60]}`", expected)
    return day.first


def in_words(attribute: Attribute) -> str:
    """What a value of the attribute looks like, for a message."""
    if attribute.type in DIMENSIONS:
        return f"a {attribute.type} such as `{DIMENSIONS[attribute.type].example}`"
    if attribute.type in ("one of", "list of"):
        return f"{attribute.type} {some(attribute.one_of)}" if attribute.one_of else "a list of words"
    return {"count": "a whole number", "period": "a period such as `12 months`", "test": "passed or failed"}.get(
        attribute.type, attribute.type
    )


def read_plain(node: Node, attribute: Attribute, reporter: ProblemReporter) -> Value | None:
    """The value that a scalar says for an attribute; None (reported) if it says none."""
    if node.kind != "scalar" or node.is_empty:
        reporter.note(node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}")
        return None
    try:
        return value_of(node.text.strip(), attribute)
    except QuantityError as error:
        reporter.note_error(node, error, attribute.name)
        return None


def read_words(node: Node, attribute: Attribute, reporter: ProblemReporter) -> Words | None:
    """The words of a list, or of one scalar; None (reported) if one of them is no word of the attribute."""
    members = node.as_sequence()
    if not members:
        found, remedy = f"`{attribute.name}` with nothing in it", "leave the line out where it is not known"
        reporter.note(node, found, f"at least one of {in_words(attribute)}", remedy=remedy)
        return None
    values = [read_plain(member, attribute, reporter) for member in members]
    words = tuple(value.text for value in values if isinstance(value, Word))
    for number, (member, value) in enumerate(zip(members, values, strict=True)):
        if value is not None and value in values[:number]:
            found = f"`{member.text.strip()[:60]}` a second time in `{attribute.name}`"
            reporter.note(member, found, "each once", remedy="take one of the two out")
    return Words(words) if len(words) == len(values) else None


def read_opinion(
    word: Node | None, says: Node | None, place: Node, attribute: Attribute, reporter: ProblemReporter
) -> Opinion | None:
    """The opinion that a word and a text say; None (reported) if there is no word."""
    if word is None or word.is_empty:
        reporter.note(place, "an opinion without a word", f"`{{opinion: …, says: …}}`: {in_words(attribute)}")
        return None
    value = read_plain(word, attribute, reporter)
    if isinstance(value, Word):
        return Opinion(value.text, reporter.text(says, "says"))
    if value is not None:
        reporter.note(word, f"an opinion on `{attribute.name}`", f"{in_words(attribute)}: an opinion is for words")
    return None


def read_quantity_at(node: Node, dimension: str, reporter: ProblemReporter) -> Quantity | None:
    """The quantity that a scalar says; None (reported) if it says none."""
    if node.kind != "scalar" or node.is_empty:
        reporter.note(node, node.describe(), f"a {dimension}")
        return None
    try:
        return read_quantity(node.text.strip(), dimension)
    except QuantityError as error:
        reporter.note_error(node, error)
        return None


GO_OR_NO_GO = ("takes_at", "does_not_take_at")
BOUNDS = (*GO_OR_NO_GO, "over", "at_least", "under", "at_most")
DROP = ("before", "after", "minutes")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


def read_bound(node: Node, attribute: Attribute, reporter: ProblemReporter) -> Bound | None:
    """The bound that a mapping such as `{takes_at: 7/8 in}` says for an attribute, by those of its keys that are words
    for a bound; None (reported) if it says none."""
    low: tuple[Quantity | None, bool] = (None, False)
    high: tuple[Quantity | None, bool] = (None, False)
    said = [(key, member) for key, member in node.pairs() if key in BOUNDS]
    for key, member in said:
        value = read_plain(member, attribute, reporter)
        word = _word_of_comparison(key, attribute, node, reporter)
        if value is None or not word:
            return None
        if not isinstance(value, Figure):
            reporter.note(node, node.describe(), f"{in_words(attribute)}: a bound is for figures")
            return None
        below = word in ("over", "at_least")
        if (low if below else high)[0] is not None:
            reporter.note(
                node.key_where(key), f"`{key}` beside another bound on the same side", "one bound on each side"
            )
            return None
        if below:
            low = value.quantity, word == "over"
        else:
            high = value.quantity, word == "under"
    if low[0] is None and high[0] is None:
        reporter.note(
            node, node.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}, or a go/no-go bound"
        )
        return None
    if low[0] is not None and high[0] is not None and (high[0] < low[0] or (high[0] == low[0] and (low[1] or high[1]))):
        reporter.note(node, "bounds with nothing between them", "a lower bound below the upper one")
        return None
    return Bound(*low, *high, all(key in GO_OR_NO_GO for key, _ in said))


def _word_of_comparison(key: str, attribute: Attribute, node: Node, reporter: ProblemReporter) -> str:
    """What a go/no-go gauge's answer means for the attribute, as a word of comparison; "" (reported) if nothing."""
    if key not in GO_OR_NO_GO:
        return key
    if not attribute.gauge_takes:
        expected = "a figure, or `over` or `under` a figure: no go/no-go gauge is known for it"
        reporter.note(node.key_where(key), f"`{key}` for `{attribute.name}`", expected)
        return ""
    takes = key == "takes_at"
    if attribute.gauge_takes == "at most":
        return "at_most" if takes else "over"
    return "at_least" if takes else "under"


def read_drop(node: Node, attribute: Attribute, reporter: ProblemReporter) -> PressureDrop | None:
    """The drop that `{before: 110 psi, after: 107 psi, minutes: 1}` says; None (reported) if it says none."""
    first, last, wait = (node.get(key) for key in DROP)
    if attribute.type != "pressure per minute" or first is None or last is None or wait is None:
        reporter.note(node, node.describe(), "`{before: 110 psi, after: 107 psi, minutes: 1}`, for a leakage")
        return None
    before = read_quantity_at(first, "pressure", reporter)
    after = read_quantity_at(last, "pressure", reporter)
    minutes = _minutes(wait, reporter)
    if before is None or after is None or minutes is None:
        return None
    if minutes.n <= 0 or after > before:
        reporter.note(node, "a drop over no time, or a pressure that rose", "minutes over zero, and `after` not higher")
        return None
    rate = Quantity.of("pressure per minute", (before.amount - after.amount) / minutes.amount, "psi/min")
    return PressureDrop(before, after, minutes, rate)


def _minutes(node: Node, reporter: ProblemReporter) -> Quantity | None:
    """A number of minutes; here a bare number will do, since the key says what it counts."""
    text = reporter.text(node, "minutes")
    try:
        return read_quantity(f"{text} min" if _NUMBER.fullmatch(text) else text, "minutes")
    except QuantityError as error:
        reporter.note_error(node, error)
        return None


_FORMS = (("reads",), ("opinion", "says"), DROP, BOUNDS)
_BESIDE = ("gauge", "sure")
_KEYS = (*(key for form in _FORMS for key in form), *_BESIDE)
_NOT_ACCESSIBLE = re.compile(r"not accessible\s*(?:\((?P<reason>.*)\))?", re.DOTALL)


class ReadValue(msgspec.Struct, frozen=True):
    """A value, the gauge that the value itself names ("" for the sheet's), and why the owner is sure of it ("" where he
    does not say so)."""

    value: Value
    gauge: str = ""
    sure: str = ""


def read_value(node: Node, attribute: Attribute, reporter: RecordReporter, days: Days = NO_DAYS) -> ReadValue | None:
    """The value that a node says for an attribute; None (reported) if it says none. One that can't be is reported,
    unless it says why it is sure.

    days: what the range of a day counts from, as far as it is known here.
    """
    if node.kind == "mapping":
        read = _written_out(node, attribute, reporter)
    else:
        value = _written_plainly(node, attribute, reporter)
        read = None if value is None else ReadValue(value)
    if read is not None and attribute.ranges is not None and not read.sure:
        refuse_impossible(read.value, attribute, node, reporter, days)
    return read


def _written_plainly(node: Node, attribute: Attribute, reporter: RecordReporter) -> Value | None:
    refused = _NOT_ACCESSIBLE.fullmatch(node.text.strip()) if node.kind == "scalar" else None
    if refused is not None:
        reason = (refused["reason"] or "").strip()
        if not reason:
            reporter.note(node, "`not accessible` without a reason", "`not accessible (car not moved)`: the reason")
        return NotAccessible(reason)
    if attribute.type == "list of" and (node.kind == "sequence" or not node.is_empty):
        return read_words(node, attribute, reporter)
    return read_plain(node, attribute, reporter)


def _written_out(node: Node, attribute: Attribute, reporter: RecordReporter) -> ReadValue | None:
    form = next((one for one in _FORMS if any(key in one for key in node.keys())), ())
    sound = True
    for key in node.keys():
        if key in form or key in _BESIDE:
            continue
        sound = False
        if key in _KEYS:
            found = f"`{key}` beside `{next(one for one in node.keys() if one in form)}`"
            reporter.note(node.key_where(key), found, "one value, in one form", remedy="keep one of the two")
        else:
            reporter.unknown_key(node, key, _KEYS, f"a value of `{attribute.name}`")
    gauge = reporter.text(node.get("gauge"), "gauge")
    sure = read_sure(node, reporter)
    value = _of_form(form, node, attribute, reporter) if sound else None
    return None if value is None else ReadValue(value, gauge, sure)


def read_sure(node: Node, reporter: ProblemReporter) -> str:
    """Why whoever wrote an entry is sure of it; "" where it does not say `sure` (without a reason: reported)."""
    given = node.get("sure")
    if given is None:
        return ""
    try:
        return reason_of(given.text if given.kind == "scalar" else "")
    except QuantityError as error:
        reporter.note_error(given, error)
        return ""


def reason_of(text: object, key: str = "sure", expected: str = "how it was made sure") -> str:
    """A reason, in a few words. Raises QuantityError for none, or one that is no reason (`yes`). key: under which it
    stands. expected: what it tells."""
    why = text.strip() if isinstance(text, str) else ""
    if len(why) < FEWEST_LETTERS or why in _YES_NO:
        raise QuantityError(f"`{key}: {why[:60]}`", f"`{key}: WHY`: {expected}, in a few words")
    if len(why) > MOST_CHARACTERS:
        raise QuantityError(f"a reason of {len(why):,} characters", f"at most {MOST_CHARACTERS} characters")
    return why


def _of_form(form: tuple[str, ...], node: Node, attribute: Attribute, reporter: RecordReporter) -> Value | None:
    reads = node.get("reads")
    if reads is not None:
        if reads.kind == "mapping":
            reporter.note(reads, reads.describe(), f"a value of `{attribute.name}`: {in_words(attribute)}")
            return None
        return _written_plainly(reads, attribute, reporter)
    if "opinion" in form:
        return read_opinion(node.get("opinion"), node.get("says"), node, attribute, reporter)
    if form == DROP:
        return read_drop(node, attribute, reporter)
    return read_bound(node, attribute, reporter)
