"""A finding in words: what was measured, what is required, the margin, and the reasons."""

from datetime import date

import msgspec

from carknocker.judgement.explanation import (
    CannotBeReached,
    ComesToApply,
    CountSeen,
    DoesNotCount,
    EachSeen,
    EvidenceSeen,
    ExceptionEnds,
    ExceptWhere,
    Explanation,
    FactNotOnRecord,
    GoodUntil,
    InsideSeen,
    MadeVoid,
    MayComeToBe,
    MayNotApply,
    Measured,
    MilesOnlyAtLeast,
    NoLimit,
    NoOwner,
    NothingOnRecord,
    NothingSeen,
    NotRead,
    NotSettled,
    NotWorkedOut,
    OnlyFitted,
    OnlyWhere,
    Reason,
    RenewedOnTheWay,
    SignerNotAccepted,
    TooOld,
    Undecided,
    UnknownValue,
    ValueSeen,
    WhyUnknown,
    WorkedFromOld,
)
from carknocker.quantities import Quantity, write_quantity
from carknocker.record.model import Evidence
from carknocker.record.value_words import value_words
from carknocker.record.values import Day
from carknocker.rulebook.clauses import Clause, Comparison
from carknocker.wording.evidence import until_words
from carknocker.wording.limits import clause_words, margin_words, path_words, requirement_words
from carknocker.wording.phrases import counted
from carknocker.wording.set_aside import set_aside_words


class FindingWords(msgspec.Struct, frozen=True):
    """A finding in words. margin and reason: empty if there is nothing to say. explanation: the data that the words are
    made from."""

    measured: str
    required: str
    margin: str
    reason: str
    explanation: Explanation


def finding_words(explanation: Explanation) -> FindingWords:
    """The words of a finding from its explanation."""
    required = explanation.required
    no_news = isinstance(required, Comparison) and required.word == "failed"
    return FindingWords(
        "none on record"
        if no_news and isinstance(explanation.measured, NothingSeen)
        else measured_words(explanation.measured),
        required_words(explanation.required),
        margin_words(explanation.margin),
        reason_words(explanation.reasons),
        explanation,
    )


def required_words(required: Clause, *, signs: bool = False) -> str:
    """What is required; a single comparison without its attribute, which its label names."""
    if isinstance(required, Comparison):
        return requirement_words(required, signs=signs)
    return clause_words(required, signs=signs)


def must_be_words(required: Clause) -> str:
    """What is required as words of a sentence: `must be over 7/8 in`; what names several things, or what they are
    asked for, `required: cylinder leakage at most 5 psi/min; …`."""
    return f"{'must be' if isinstance(required, Comparison) else 'required:'} {required_words(required)}"


def measured_words(measured: Measured) -> str:
    """What was measured: `7/8 in`, `not shown`, `2026-09-12, 26 days before departure`."""
    match measured:
        case NothingSeen():
            return "not shown"
        case EvidenceSeen(evidence):
            return _evidence_words(evidence)
        case ValueSeen():
            others = (
                f"{path_words(other.path)}: {value_words(other.value, other.path.attribute.below_zero)}"
                for other in measured.others
            )
            return "; ".join((_value_seen(measured), *others))
        case CountSeen(count, of, kind):
            return f"{count} of {of} {kind}{'s' if of != 1 else ''} on record"
        case EachSeen(failing, of):
            return f"not so: {', '.join(failing)}" if failing else f"so on all {of}"
        case InsideSeen():
            return "see the parts inside"


def _value_seen(seen: ValueSeen) -> str:
    words = value_words(seen.value, seen.below_zero) if seen.paper is None else _evidence_words(seen.paper)
    if seen.dated is not None:
        days = seen.before_departure
        written = seen.dated.written
        when = f"{written}, {counted(abs(days), 'day')} {'before' if days >= 0 else 'after'} departure"
        words = when if words == written else f"{words}, {when}"
    return words if seen.good_until is None else f"{words}, good through {seen.good_until}"


def _evidence_words(evidence: Evidence) -> str:
    if evidence.sort == "paper":
        return f"on record{until_words(evidence.until) or ', no last day named'}"
    words = value_words(evidence.value)
    return f"{words}, {evidence.on.isoformat()}" if evidence.on is not None else words


def names_day(measured: Measured, day: date) -> bool:
    """Whether the words of what was measured have a day, so that it need not be repeated beside them."""
    match measured:
        case EvidenceSeen(evidence):
            return day == (evidence.until if evidence.sort == "paper" else evidence.on)
        case ValueSeen():
            values = [measured.value] if measured.paper is None else []
            values.extend(other.value for other in measured.others)
            named = [value.first for value in (*values, measured.dated) if isinstance(value, Day) and _whole(value)]
            until = None if measured.paper is None else measured.paper.until
            return day in (*named, until, measured.good_until)
        case _:
            return False


def is_bare_answer(measured: Measured) -> bool:
    """Whether the words of what was measured are only yes or no, which mean nothing without the question."""
    match measured:
        case EvidenceSeen(evidence):
            return evidence.sort != "paper" and evidence.on is None and value_words(evidence.value) in ("yes", "no")
        case ValueSeen(value, None, None, _, None, (), _):
            return value_words(value) in ("yes", "no")
        case _:
            return False


def _whole(day: Day) -> bool:
    return day.first == day.last


def reason_words(reasons: tuple[Reason, ...]) -> str:
    """Why it is judged so; empty if the figures say it."""
    return "; ".join(_reason(one) for one in reasons)


def _reason(reason: Reason) -> str:
    match reason:
        case ComesToApply(when):
            return f"it comes to apply during the move ({clause_words(when)})"
        case ExceptionEnds(unless):
            return f"its exception ends during the move ({clause_words(unless)})"
        case MadeVoid(why):
            return set_aside_words(why) or "void"
        case GoodUntil(last, back):
            return f"good through {last.isoformat()}; the move ends {back.isoformat()}"
        case RenewedOnTheWay(last):
            return f"good through {last.isoformat()}, then to be renewed on the way"
        case MayNotApply():
            return f"nothing shows whether it applies ({applies_words(reason)})"
        case NotSettled(values):
            return "; ".join(dict.fromkeys(map(unknown_words, values))) or "some part inside has no reading that counts"
        case OnlyWhere(when):
            return f"it applies where {clause_words(when)}"
        case ExceptWhere(unless):
            return f"it does not apply where {clause_words(unless)}"
        case MayComeToBe(said):
            return f"the move leaves it open ({said}), and the worst of it counts"
        case OnlyFitted():
            return "it asks about the place, and this part is not fitted"


def applies_words(reason: MayNotApply) -> str:
    """When a criterion would apply: `where gas system: fitted, unless battery aboard: no`."""
    where = "" if reason.when is None else f"where {clause_words(reason.when)}"
    unless = "" if reason.unless is None else f"unless {clause_words(reason.unless)}"
    return ", ".join(filter(None, (where, unless)))


def unknown_words(unknown: UnknownValue) -> str:
    """What can't be settled, and why: `flange thickness: not read`."""
    mark = " " if isinstance(unknown.why, NotWorkedOut | WorkedFromOld) else ": "
    return f"{path_words(unknown.path)}{mark}{why_unknown_words(unknown.why, unknown.path.owner)}"


def why_unknown_words(why: WhyUnknown, owner: str = "") -> str:
    """Why a value can't be settled, without naming it. owner: the kind of part that the value belongs to."""
    match why:
        case NoLimit(comparison):
            return f"its limit ({requirement_words(comparison)}) is not on record"
        case Undecided(value):
            return f"{value_words(value)} is not enough to tell"
        case NoOwner():
            return f"there is no {owner}"
        case NotWorkedOut(missing, accepted_by, aside):
            reason = set_aside_words(aside) or missing.reason
            part = "the car" if missing.part == "car" else missing.part
            named = f"{missing.attribute.replace('_', ' ')} of {part} {reason}"
            if accepted_by:
                return f"can't be worked out from what persons accepted by {accepted_by} read: {named}"
            return f"can't be worked out: {named}"
        case WorkedFromOld(oldest, day):
            return f"rests on a reading of {oldest}, too old on {day.isoformat()}"
        case NothingOnRecord(read):
            return "not read" if read else "nothing on record"
        case FactNotOnRecord():
            return "not on record"
        case DoesNotCount(aside):
            return set_aside_words(aside)
        case CannotBeReached(value):
            return value_words(value)
        case SignerNotAccepted(value, on, by, host):
            who = by or "nobody named"
            return f"{value_words(value)}, {on.isoformat()}, by {who}, whom {host} does not accept for that day"
        case TooOld(value, on, day):
            return f"{value_words(value)} of {on.isoformat()} is too old on {day.isoformat()}"
        case MilesOnlyAtLeast(since, least, words):
            miles = write_quantity(Quantity.of("distance", least, "miles"))
            return f"at least {miles} since {since.isoformat()}, {words}"
        case NotRead():
            return "not read"
