"""What wears out when: rims at the rate that their own readings show, and limits of miles. No rate is ever assumed."""

from datetime import date, timedelta
from fractions import Fraction

from carknocker.judgement.dates import day_of
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.part_view import limit_getter
from carknocker.quantities import Quantity, write_quantity
from carknocker.questions.due.model import MilesLimit, NoRate, WearsOut
from carknocker.record.model import Part
from carknocker.record.values import Figure
from carknocker.rulebook.clauses import Fixed
from carknocker.vocabulary.program_names import RIM_THICKNESS, WHEEL, WHEELSET
from carknocker.wording.limits import requirement_words
from carknocker.workings.model import Missing, OutOfRange
from carknocker.workings.wear import miles_left, rim_history, wear_rate

_RIM = RIM_THICKNESS
_DAYS_A_YEAR = 365


def rims(judgement: Judgement, miles_a_year: Quantity | None) -> tuple[tuple[WearsOut, ...], tuple[NoRate, ...]]:
    """For each wheel under the car the criterion that its rim comes to first; and the wheels that show no rate."""
    index = JudgementIndex(judgement)
    found: list[WearsOut] = []
    without: dict[str, list[str]] = {}
    for part in judgement.situation.standing.by_kind.get(WHEEL, ()):
        if not part.fitted:
            continue
        told = _rim(part, index, miles_a_year)
        if isinstance(told, WearsOut):
            found.append(told)
        else:
            without.setdefault(told, []).append(part.label)
    return tuple(found), tuple(NoRate(reason, tuple(labels)) for reason, labels in without.items())


def _rim(part: Part, index: JudgementIndex, miles_a_year: Quantity | None) -> WearsOut | str:
    limit = _least_rim(part, index)
    if limit is None:
        return "no refusing rule of this rulebook sets a least rim for it"
    finding, least, words = limit
    history = rim_history(index.judgement.situation, part.key)
    if isinstance(history, Missing):
        named = index.vocabulary.attribute(part.kind, history.attribute)
        label = history.attribute.replace("_", " ") if named is None else named.label
        return f"{label}: {history.reason}"
    try:
        rate = wear_rate([reading for reading, _ in history])
        if rate.uncertainty is None:
            return rate.line
        if not rate.shown:
            return f"the wear is less than the gauges can tell ({rate.line})"
        last, evidence = history[-1]  # the newest
        left = miles_left(last.rim, least, rate, last.uncertainty)
        since = evidence.on or index.judgement.as_of
        earliest, latest = (None, None) if miles_a_year is None else left.dates(since, _a_day(miles_a_year))
    except OutOfRange as error:
        return str(error)
    miles = write_quantity(Quantity.of("distance", int(left.miles), "miles"))
    return WearsOut(
        part.label, finding.criterion.title, words, rate.line, left.line, miles, since, earliest, latest,
        finding.criterion.source,
    )  # fmt: skip


def _least_rim(part: Part, index: JudgementIndex) -> tuple[Finding, Fraction, str] | None:
    """The greatest of the least rims that refusing criteria set for a wheel: the one that it comes to first."""
    found: tuple[Finding, Fraction, str] | None = None
    for finding in index.judgement.findings:
        criterion = finding.criterion
        if finding.part.key != part.key or criterion.effect != "refuse" or finding.verdict == "not applicable":
            continue
        for leaf in index.compiled(criterion).leaves:
            comparison = leaf.comparison
            if comparison.path.attribute.name != _RIM or comparison.word not in ("over", "at_least"):
                continue
            held = limit_getter(comparison)(index.view(finding))
            if held is None or not held.d:
                continue
            amount = Fraction(held.n, held.d)
            if found is None or amount > found[1]:
                found = finding, amount, requirement_words(comparison)
    return found


def _a_day(miles_a_year: Quantity) -> Fraction:
    return miles_a_year.amount / _DAYS_A_YEAR


def miles_limits(judgement: Judgement, miles_a_year: Quantity | None) -> tuple[MilesLimit, ...]:
    """The limits of miles that hold now: miles made since the day they count from, miles left, the day at the planned
    miles. Those of one criterion with the same miles stand together."""
    index = JudgementIndex(judgement)
    groups: dict[tuple[str, Fraction, Fraction], list[Finding]] = {}
    for finding in judgement.findings:
        if not finding.part.fitted or finding.verdict not in ("met", "borderline", "lapses"):
            continue
        for limit, made in _miles_of(finding, index):
            groups.setdefault((finding.criterion.title, limit, made), []).append(finding)
    return tuple(
        _miles_limit(title, limit, made, findings, judgement.as_of, miles_a_year)
        for (title, limit, made), findings in groups.items()
    )


def _miles_of(finding: Finding, index: JudgementIndex) -> list[tuple[Fraction, Fraction]]:
    judgement = index.judgement
    sight = index.view(finding)
    found: list[tuple[Fraction, Fraction]] = []
    for leaf in index.compiled(finding.criterion).leaves:
        limit = leaf.comparison.limit
        held = leaf.get(sight) if leaf.comparison.word == "within" and isinstance(limit, Fixed) else None
        span = None if held is None else day_of(held)
        if span is None or not isinstance(limit, Fixed):
            continue
        wheelset = judgement.situation.owner(finding.part.key, WHEELSET)
        made = judgement.situation.miles_since(wheelset, span.first)
        found.extend((value.quantity.amount, made) for value in limit.values if isinstance(value, Figure))
    return found


def _miles_limit(
    title: str, limit: Fraction, made: Fraction, findings: list[Finding], as_of: date, miles_a_year: Quantity | None
) -> MilesLimit:
    left = max(limit - made, Fraction(0))
    day: date | None = None
    if miles_a_year is not None and miles_a_year.amount > 0:
        days = int(left / _a_day(miles_a_year))
        day = as_of + timedelta(days=days) if days <= (date.max - as_of).days else None
    return MilesLimit(
        title, tuple(finding.part.label for finding in findings), _miles(limit), _miles(made), _miles(left), day,
        findings[0].criterion.source,
    )  # fmt: skip


def _miles(amount: Fraction) -> str:
    return write_quantity(Quantity.of("distance", amount, "miles"))
