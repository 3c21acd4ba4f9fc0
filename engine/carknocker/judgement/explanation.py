"""A finding explained as plain data: the very functions that decided, asked again."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from typing import Literal

import msgspec

from carknocker.judgement.clause_tests import clause_test, comparisons_in
from carknocker.judgement.criteria import CompiledComparison, CompiledCriterion, compile_comparison
from carknocker.judgement.dates import day_of
from carknocker.judgement.figures import SIDES
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.observed_value import ObservedValue, has_run_out, text_of
from carknocker.judgement.part_view import PartView, limit_getter
from carknocker.judgement.prepared_rulebook import prepare
from carknocker.judgement.set_aside import SetAside
from carknocker.judgement.truth import FAILS, HOLDS, NEAR, UNKNOWN
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, Day, Figure, NotAccessible, Value
from carknocker.rulebook.clauses import (
    AttributePath,
    ByTable,
    Clause,
    Comparison,
    CountOf,
    EachOf,
    Fixed,
    FromPart,
    Unanswered,
    of_test,
)
from carknocker.vocabulary.program_names import WHEELSET
from carknocker.workings import Missing, Worked
from carknocker.workings.age_and_miles import log_is_complete_since, log_words

MarginSide = Literal["within it", "at the limit", "past it"]


class Margin(msgspec.Struct, frozen=True):
    """By how much a figure passes its limit, or misses it. amount: in the base unit of the dimension, never negative.
    limit_passes: whether exactly the limit passes."""

    side: MarginSide
    amount: Fraction
    dimension: str
    limit_passes: bool


class NothingSeen(msgspec.Struct, frozen=True):
    """No value that counts, and no evidence of one."""


class EvidenceSeen(msgspec.Struct, frozen=True):
    """Evidence that is void, or that did not count."""

    evidence: Evidence


class OtherValue(msgspec.Struct, frozen=True):
    """A further value that fails its own comparison."""

    path: AttributePath
    value: Value


class ValueSeen(msgspec.Struct, frozen=True):
    """The value that decided. evidence: of a paper, in the place of its value. dated: the day from which its age was
    counted; before_departure: how many days lie between it and the departure, negative after it. good_until: the last
    day that a test names itself, where that lies before the return. others: what fails besides. below_zero: what a
    value is called that is a difference below zero."""

    value: Value
    paper: Evidence | None
    dated: Day | None
    before_departure: int
    good_until: date | None
    others: tuple[OtherValue, ...]
    below_zero: str = ""


class CountSeen(msgspec.Struct, frozen=True):
    """Of how many parts of a kind inside the part a condition surely holds."""

    count: int
    of: int
    kind: str


class EachSeen(msgspec.Struct, frozen=True):
    """Labels of the parts inside that fail what is asked of each; where none fails, of those not shown to meet it."""

    failing: tuple[str, ...]
    of: int


class InsideSeen(msgspec.Struct, frozen=True):
    """Several things about the parts inside."""


Measured = NothingSeen | EvidenceSeen | ValueSeen | CountSeen | EachSeen | InsideSeen


class NoLimit(msgspec.Struct, frozen=True):
    """The limit that the part itself gives is not on record."""

    comparison: Comparison


class Undecided(msgspec.Struct, frozen=True):
    """The value does not settle it."""

    value: Value


class NoOwner(msgspec.Struct, frozen=True):
    """There is no part of the kind that is asked about."""


class NotWorkedOut(msgspec.Struct, frozen=True):
    """A figure that can't be worked out. accepted_by: the host, where it could be from what anyone read. why: the
    reading that is missing is on record, and does not count."""

    missing: Missing
    accepted_by: str
    why: SetAside | None = None


class WorkedFromOld(msgspec.Struct, frozen=True):
    """A figure that rests on a reading that is too old. oldest: the day of the oldest reading."""

    oldest: date | None
    day: date


class NothingOnRecord(msgspec.Struct, frozen=True):
    """No entry at all. read: whether it would be read, not put on record as a description, a test or a paper is."""

    read: bool


class FactNotOnRecord(msgspec.Struct, frozen=True):
    """The test or paper is on record, the fact of it is not."""


class DoesNotCount(msgspec.Struct, frozen=True):
    """Evidence that does not count."""

    why: SetAside


class CannotBeReached(msgspec.Struct, frozen=True):
    value: NotAccessible


class SignerNotAccepted(msgspec.Struct, frozen=True):
    """Whoever showed it is not accepted by the host for that day. by: the name, empty where nobody is named."""

    value: Value
    on: date
    by: str
    host: str


class TooOld(msgspec.Struct, frozen=True):
    value: Value
    on: date
    day: date


class MilesOnlyAtLeast(msgspec.Struct, frozen=True):
    """Miles since a day are a lower bound, since the log is not known to be complete from then on. why: in words."""

    since: date
    least: Fraction
    why: str


class NotRead(msgspec.Struct, frozen=True):
    """What is on record does not show it."""


WhyUnknown = (
    NoLimit | Undecided | NoOwner | NotWorkedOut | WorkedFromOld | NothingOnRecord | FactNotOnRecord | DoesNotCount
    | CannotBeReached | SignerNotAccepted | TooOld | MilesOnlyAtLeast | NotRead
)  # fmt: skip


class UnknownValue(msgspec.Struct, frozen=True):
    """What can't be settled, and why."""

    path: AttributePath
    why: WhyUnknown


class ComesToApply(msgspec.Struct, frozen=True):
    """The part comes under the criterion during the move."""

    when: Clause


class ExceptionEnds(msgspec.Struct, frozen=True):
    """The exception for the part ends during the move."""

    unless: Clause


class MadeVoid(msgspec.Struct, frozen=True):
    """why: by which work or event."""

    why: SetAside | None


class GoodUntil(msgspec.Struct, frozen=True):
    """It holds on departure, and up to a last day before the return."""

    last: date
    back: date


class RenewedOnTheWay(msgspec.Struct, frozen=True):
    """It holds up to a last day before the return, and is then renewed on the way."""

    last: date


class MayNotApply(msgspec.Struct, frozen=True):
    """Nothing shows whether it applies. when: the condition that is open; unless: the exception that is open."""

    when: Clause | None
    unless: Clause | None


class NotSettled(msgspec.Struct, frozen=True):
    """values: what can't be settled, each once; empty where that is some part inside."""

    values: tuple[UnknownValue, ...]


class OnlyWhere(msgspec.Struct, frozen=True):
    """It applies only where the condition holds, and it does not here."""

    when: Clause


class ExceptWhere(msgspec.Struct, frozen=True):
    """It does not apply where the exception holds, and it does here."""

    unless: Clause


class MayComeToBe(msgspec.Struct, frozen=True):
    """The move leaves a choice open, and with one of its words the part is under the criterion, and breaches it.
    said: what the move says."""

    said: str


class OnlyFitted(msgspec.Struct, frozen=True):
    """It asks about the place, and the part is not fitted."""


Reason = (
    ComesToApply | ExceptionEnds | MadeVoid | GoodUntil | RenewedOnTheWay | MayNotApply | NotSettled | OnlyWhere
    | ExceptWhere | OnlyFitted | MayComeToBe
)  # fmt: skip


class Explanation(msgspec.Struct, frozen=True):
    """A finding explained. measured: of what decided it. required: what it must be. margin: None where figure or limit
    is no exact figure. reasons: why it is judged so, where its figures don't say it. worked: lines of the workings that
    were used. attributes: what the criterion looks at, the deciding one first.
    """

    measured: Measured
    required: Clause
    margin: Margin | None
    reasons: tuple[Reason, ...]
    worked: tuple[str, ...]
    attributes: tuple[AttributePath, ...]


def explain(judgement: Judgement, finding: Finding) -> Explanation:
    """The explanation of a finding of this judgement."""
    one = prepare(judgement.rulebook).criterion(finding.criterion)
    sight = view_for_must(one, finding.part, judgement.situation_of(finding), judgement.move.out)
    leaves = _ordered(one, sight, finding)
    return Explanation(
        measured=_measured(one, leaves, sight, finding),
        required=one.criterion.must,
        margin=_margin(leaves, sight, finding),
        reasons=tuple(_reasons(one, leaves, sight, finding)),
        worked=worked_lines(leaves, sight),
        attributes=tuple(leaf.comparison.path for leaf in leaves),
    )


def _ordered(one: CompiledCriterion, sight: PartView, finding: Finding) -> list[CompiledComparison]:
    """What decided first: what fails, for a breach; what is unknown, for what is not shown."""
    wanted = {"breached": FAILS, "not shown": UNKNOWN, "for the day": UNKNOWN, "void": UNKNOWN, "borderline": NEAR}
    truth = wanted.get(finding.verdict)
    leaves = list(one.leaves)
    if truth is not None:
        leaves.sort(key=lambda leaf: leaf.test(sight) != truth)
    elif finding.lapses_on is not None:
        later = view_for_must(one, finding.part, sight.situation, sight.situation.move.back)
        leaves.sort(key=lambda leaf: leaf.test(later) >= NEAR)
    return leaves


def _measured(one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding) -> Measured:
    if finding.verdict == "void" and finding.evidence is not None:
        return EvidenceSeen(finding.evidence)
    if not leaves:
        return _inside(one, sight)
    leaf = leaves[0]
    held = leaf.get(sight)
    if held is None:
        return NothingSeen() if finding.evidence is None else EvidenceSeen(finding.evidence)
    path = leaf.comparison.path
    span = day_of(held) if leaf.comparison.word == "within" else None
    run_out = has_run_out(held, sight.situation.move.back) and of_test(path)
    return ValueSeen(
        value=held.value,
        paper=held.evidence if path.attribute.type == "paper" else None,
        dated=span,
        before_departure=0 if span is None else (sight.day - span.last).days,
        good_until=held.evidence.until if run_out and held.evidence is not None else None,
        others=tuple(
            OtherValue(other.comparison.path, seen.value)
            for other in leaves[1:]
            if other.test(sight) == FAILS and other.comparison.path != path
            if (seen := other.get(sight)) is not None
        ),
        below_zero=path.attribute.below_zero,
    )


def _inside(one: CompiledCriterion, sight: PartView) -> Measured:
    must = one.criterion.must
    standing = sight.situation.standing
    if isinstance(must, CountOf):
        keys = standing.inside_of(sight.key, must.kind)
        test = None if must.when is None else clause_test(must.when)
        return CountSeen(sum(test is None or test(sight.at(key)) >= NEAR for key in keys), len(keys), must.kind)
    if isinstance(must, EachOf):
        test = clause_test(must.must)
        keys = standing.inside_of(sight.key, must.kind)
        truths = {key: test(sight.at(key)) for key in keys}
        worst = min(truths.values(), default=HOLDS)
        failing = tuple(standing.parts[key].label for key, truth in truths.items() if truth == worst < NEAR)
        return EachSeen(failing, len(keys))
    return NothingSeen() if isinstance(must, Unanswered) else InsideSeen()


def _margin(leaves: list[CompiledComparison], sight: PartView, finding: Finding) -> Margin | None:
    if not leaves or leaves[0].comparison.word not in SIDES or finding.verdict not in ("met", "breached", "borderline"):
        return None
    leaf = leaves[0]
    held = leaf.get(sight)
    dimension = leaf.comparison.path.value_attribute.type
    if held is None or dimension == "period":
        return None
    limit = limit_getter(leaf.comparison)(sight)
    ours, theirs = figure_of(held), None if limit is None else figure_of(limit)
    if ours is None or theirs is None:
        return None
    sign, strict = SIDES[leaf.comparison.word]
    amount = (ours - theirs) * sign
    side: MarginSide = "at the limit" if amount == 0 else "within it" if amount > 0 else "past it"
    return Margin(side, abs(amount), dimension, not strict)


def figure_of(held: ObservedValue) -> Fraction | None:
    """The figure of a value: exact, or the middle of a range so narrow that both its ends read alike, as π and roots
    leave it. None for anything else."""
    if held.d:
        return Fraction(held.n, held.d)
    bound = held.value
    if not isinstance(bound, Bound) or bound.low is None or bound.high is None or bound.low_open or bound.high_open:
        return None
    if write_quantity(bound.low) != write_quantity(bound.high):
        return None
    return (bound.low.amount + bound.high.amount) / 2


def _reasons(
    one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding
) -> Iterator[Reason]:
    if finding.unmet and one.may_come_under:
        yield from _comes_under(one, sight)
    yield from _of_verdict(one, leaves, sight, finding)


def _comes_under(one: CompiledCriterion, sight: PartView) -> Iterator[Reason]:
    """Why a part is judged that is not under the criterion on departure."""
    criterion, sight = one.criterion, _by_anyone(sight)
    if one.when is not None and one.when(sight) == FAILS and criterion.when is not None:
        yield ComesToApply(criterion.when)
    elif one.unless is not None and one.unless(sight) >= NEAR and criterion.unless is not None:
        yield ExceptionEnds(criterion.unless)


def _of_verdict(
    one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView, finding: Finding
) -> Iterator[Reason]:
    match finding.verdict:
        case "void":
            excluded = sight.situation.excluded
            yield MadeVoid(None if finding.evidence is None else excluded.get(finding.evidence.id))
        case "lapses":
            if finding.lapses_on is not None:
                yield GoodUntil(finding.lapses_on, sight.situation.move.back)
        case "not shown" | "for the day":
            reason = _why_not_shown(one, leaves, sight)
            if reason is not None:
                yield reason
        case "not applicable":
            yield _why_not_applicable(one, sight)
        case "breached" if sight.situation.open_choices:
            asked = _by_anyone(sight)
            if one.must(sight) != FAILS or (one.conditional and one.applies(asked) == UNKNOWN):
                said = (f"{name}: {text_of(value.value)}" for value, name in _left_open(sight))
                yield MayComeToBe("; ".join(said))
        case _:
            if finding.lapses_on is not None:
                yield RenewedOnTheWay(finding.lapses_on)


def _left_open(sight: PartView) -> Iterator[tuple[ObservedValue, str]]:
    for key, name in sight.situation.open_choices:
        yield sight.situation.values[key][name], name


def _by_anyone(sight: PartView) -> PartView:
    """The same look with what anyone read: so `when` and `unless` are asked."""
    return PartView(sight.situation, sight.key, sight.situation.values_of(sight.key), sight.day)


def _why_not_applicable(one: CompiledCriterion, sight: PartView) -> Reason:
    criterion, sight = one.criterion, _by_anyone(sight)
    if one.when is not None and one.when(sight) == FAILS and criterion.when is not None:
        return OnlyWhere(criterion.when)
    if one.unless is not None and one.unless(sight) >= NEAR and criterion.unless is not None:
        return ExceptWhere(criterion.unless)
    return OnlyFitted()


def _why_not_shown(one: CompiledCriterion, leaves: list[CompiledComparison], sight: PartView) -> Reason | None:
    """None where no rule says what is asked: what is required says so."""
    criterion, asked = one.criterion, _by_anyone(sight)
    when, unless = (
        clause if test is not None and test(asked) == UNKNOWN else None
        for test, clause in ((one.when, criterion.when), (one.unless, criterion.unless))
    )
    if when is not None or unless is not None:
        return MayNotApply(when, unless)
    if isinstance(criterion.must, Unanswered):
        return None
    return NotSettled(tuple(why_unknown(leaf, sight) for leaf in leaves if leaf.test(sight) == UNKNOWN))


def undecided_in(clause: Clause, sight: PartView) -> tuple[UnknownValue, ...]:
    """What of a clause can't be settled on what is seen of the part itself, each once and why; nothing where the whole
    is settled."""
    if clause_test(clause)(sight) != UNKNOWN:
        return ()
    leaves = (compile_comparison(one) for one in comparisons_in(clause, parts_inside=False))
    found: list[UnknownValue] = []
    for leaf in leaves:  # the evidence in it may hold facts, which have no hash
        if leaf.test(sight) == UNKNOWN and (why := why_unknown(leaf, sight)) not in found:
            found.append(why)
    return tuple(found)


def why_unknown(leaf: CompiledComparison, sight: PartView) -> UnknownValue:
    """Why one comparison can't be settled on what is seen."""
    return UnknownValue(leaf.comparison.path, _why_unknown(leaf, sight))


def _why_unknown(leaf: CompiledComparison, sight: PartView) -> WhyUnknown:
    comparison, situation = leaf.comparison, sight.situation
    path, attribute = comparison.path, comparison.path.attribute
    held = leaf.get(sight)
    if held is not None:
        limited = comparison.word not in ("within", "in_force", "shown", "failed")
        if limited and limit_getter(comparison)(sight) is None:
            return NoLimit(comparison)
        return _miles_only_at_least(comparison, held, sight) or Undecided(held.value)
    key = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if key is None:
        return NoOwner()
    if attribute.derived:
        return _why_not_worked(leaf, sight, key)
    entries = situation.standing.evidence.get(key, {}).get(attribute.name, ())
    if not entries:
        return NothingOnRecord(attribute.type not in ("test", "paper") and not attribute.description)
    if path.fact is not None and situation.values_of(key, shop=sight.shop).get(attribute.name) is not None:
        return FactNotOnRecord()
    return _why_not_counted(entries[-1], sight)


def _miles_only_at_least(comparison: Comparison, held: ObservedValue, sight: PartView) -> MilesOnlyAtLeast | None:
    """The reason why miles since a day do not settle a limit of miles; None where it is another."""
    limit, span, car = comparison.limit, day_of(held), sight.situation.standing.car
    if comparison.word != "within" or span is None or not isinstance(limit, Fixed):
        return None
    if log_is_complete_since(car, span.first) or not any(isinstance(value, Figure) for value in limit.values):
        return None
    least = sight.situation.miles_since(sight.situation.owner(sight.key, WHEELSET), span.last)
    return MilesOnlyAtLeast(span.first, least, log_words(car))


def _why_not_worked(leaf: CompiledComparison, sight: PartView, key: str) -> WhyUnknown:
    situation, attribute = sight.situation, leaf.comparison.path.attribute
    worked = situation.work_out(key, attribute, shop=sight.shop)
    if isinstance(worked, Worked):
        days = [one.on for one in worked.used if one.sort == "reading" and one.on is not None]
        return WorkedFromOld(min(days, default=None), sight.day)
    from_anyone = sight.shop and isinstance(situation.work_out(key, attribute), Worked)
    aside = situation.why_set_aside(worked.part, worked.attribute) if worked.never_read else None
    return NotWorkedOut(worked, situation.move.host if from_anyone else "", aside)


def _why_not_counted(evidence: Evidence, sight: PartView) -> WhyUnknown:
    situation, value, on = sight.situation, evidence.value, evidence.on
    excluded = situation.excluded.get(evidence.id)
    if excluded is not None:
        return DoesNotCount(excluded)
    if isinstance(value, NotAccessible):
        return CannotBeReached(value)
    host, by = situation.move.host, evidence.by
    if (sight.shop or evidence.sort == "test") and on is not None and not situation.accepts(by, on):
        return SignerNotAccepted(value, on, "" if by is None else by.name, host)
    if sight.oldest is not None and on is not None and on < sight.oldest:
        return TooOld(value, on, sight.day)
    return NotRead()


def worked_of(path: AttributePath, sight: PartView) -> tuple[str, Worked] | None:
    """The part and the working that gave a derived attribute its value; None for any other attribute, or where it
    can't be worked out."""
    if not path.attribute.derived:
        return None
    situation = sight.situation
    owner = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if owner is None:
        return None
    worked = situation.work_out(owner, path.attribute, shop=sight.shop)
    return (owner, worked) if isinstance(worked, Worked) else None


def paths_of(comparison: Comparison) -> tuple[AttributePath, ...]:
    """What a comparison looks at: its own attribute, and the one that its limit is taken from."""
    limit = comparison.limit
    return (comparison.path, limit.path) if isinstance(limit, (FromPart, ByTable)) else (comparison.path,)


def worked_lines(leaves: list[CompiledComparison], sight: PartView) -> tuple[str, ...]:
    """The worked lines of all workings that some comparisons looked at, each once."""
    found = (worked_of(path, sight) for leaf in leaves for path in paths_of(leaf.comparison))
    return tuple(dict.fromkeys(worked.line for _, worked in filter(None, found)))
