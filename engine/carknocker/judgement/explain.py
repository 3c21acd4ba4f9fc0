"""What a finding saw: measured, required, margin, and why something is not shown. Made by the very functions that
decided, asked again."""

from datetime import date
from fractions import Fraction

import msgspec

from carknocker.judgement.clause_tests import clause_test
from carknocker.judgement.compiled import Compiled, Leaf
from carknocker.judgement.dates import day_of
from carknocker.judgement.figures import SIDES
from carknocker.judgement.held import Held
from carknocker.judgement.limits import limit_getter
from carknocker.judgement.model import Finding, Judgement
from carknocker.judgement.prepared import prepare
from carknocker.judgement.sight import Sight
from carknocker.judgement.situation import Situation, accepted_by_host
from carknocker.judgement.truth import FAILS, NEAR, UNKNOWN
from carknocker.judgement.wording import clause_words, path_words, requirement_words, value_words
from carknocker.quantities import Quantity
from carknocker.quantities.writing import write_quantity
from carknocker.record.model import Evidence
from carknocker.record.values import Bound, NotAccessible
from carknocker.rulebook.clauses import AttributePath, ByTable, Comparison, CountOf, EachOf, FromPart
from carknocker.workings import Worked


class Explanation(msgspec.Struct, frozen=True):
    """A finding in words. measured and required: of what decided it. margin: how much is to spare or short, where
    that is a figure. reason: why it is not shown, withdrawn or lapses. worked: lines of the workings that were used.
    attributes: what the criterion looks at, the deciding one first."""

    measured: str
    required: str
    margin: str
    reason: str
    worked: tuple[str, ...]
    attributes: tuple[AttributePath, ...]


def explain(judgement: Judgement, finding: Finding) -> Explanation:
    """The explanation of a finding of this judgement."""
    one = prepare(judgement.rulebook).criterion(finding.criterion)
    situation = judgement.situation
    day = judgement.move.out
    within = finding.criterion.read_within
    key = finding.part.key
    sight = Sight(situation, key, situation.view(key, shop=one.shop), day, one.shop)
    if within is not None:
        sight.oldest = within.before(day)
    leaves = _ordered(one, sight, finding)
    return Explanation(
        measured=_measured(one, leaves, sight, finding),
        required=_required(one, leaves),
        margin=_margin(leaves, sight, finding),
        reason=_reason(one, leaves, sight, finding, judgement),
        worked=_worked(leaves, sight),
        attributes=tuple(leaf.comparison.path for leaf in leaves),
    )


def _ordered(one: Compiled, sight: Sight, finding: Finding) -> list[Leaf]:
    """What decided first: what fails, for a breach; what is unknown, for what is not shown."""
    wanted = {"breached": FAILS, "not shown": UNKNOWN, "for the day": UNKNOWN, "withdrawn": UNKNOWN, "borderline": NEAR}
    truth = wanted.get(finding.verdict)
    leaves = list(one.leaves)
    if truth is not None:
        leaves.sort(key=lambda leaf: leaf.test(sight) != truth)
    elif finding.lapses_on is not None:
        later = Sight(sight.situation, sight.key, sight.view, sight.situation.move.back, sight.shop)
        if finding.criterion.read_within is not None:
            later.oldest = finding.criterion.read_within.before(later.day)
        leaves.sort(key=lambda leaf: leaf.test(later) >= NEAR)
    return leaves


def _measured(one: Compiled, leaves: list[Leaf], sight: Sight, finding: Finding) -> str:
    if finding.verdict == "withdrawn" and finding.evidence is not None:
        return _evidence_words(finding.evidence)
    if not leaves:
        return _inside_words(one, sight)
    leaf = leaves[0]
    held = leaf.get(sight)
    if held is None:
        return "not shown" if finding.evidence is None else _evidence_words(finding.evidence)
    words = _held_words(leaf.comparison, held, sight)
    others = [
        f"{path_words(other.comparison.path)}: {value_words(seen.value)}"
        for other in leaves[1:]
        if other.test(sight) == FAILS and other.comparison.path != leaf.comparison.path
        if (seen := other.get(sight)) is not None
    ]
    return "; ".join([words, *others])


def _held_words(comparison: Comparison, held: Held, sight: Sight) -> str:
    words = value_words(held.value)
    if comparison.path.attribute.type == "paper" and held.evidence is not None:
        words = _evidence_words(held.evidence)
    span = day_of(held)
    if comparison.word == "within" and span is not None:
        days = (sight.day - span.last).days
        when = f"{span.written}, {days:,} days before departure"
        return when if words == span.written else f"{words}, {when}"
    return words


def _evidence_words(evidence: Evidence) -> str:
    if evidence.sort == "paper":
        until = f" until {evidence.until.isoformat()}" if evidence.until is not None else ", no last day named"
        return f"on record{until}"
    words = value_words(evidence.value)
    return f"{words}, {evidence.on.isoformat()}" if evidence.on is not None else words


def _inside_words(one: Compiled, sight: Sight) -> str:
    must = one.criterion.must
    if isinstance(must, CountOf):
        keys = sight.situation.standing.inside_of(sight.key, must.kind)
        test = None if must.when is None else clause_test(must.when)
        surely = sum(test is None or test(sight.at(key)) >= NEAR for key in keys)
        return f"{surely} of {len(keys)} {must.kind}{'s' if len(keys) != 1 else ''} on record"
    if isinstance(must, EachOf):
        test = clause_test(must.must)
        parts = sight.situation.standing.parts
        keys = sight.situation.standing.inside_of(sight.key, must.kind)
        bad = [parts[key].label for key in keys if test(sight.at(key)) < NEAR]
        return f"not so: {', '.join(bad)}" if bad else f"so on all {len(keys)}"
    return "see the parts inside"


def _required(one: Compiled, leaves: list[Leaf]) -> str:
    if len(leaves) == 1 and isinstance(one.criterion.must, Comparison):
        return requirement_words(leaves[0].comparison)
    return clause_words(one.criterion.must)


def _margin(leaves: list[Leaf], sight: Sight, finding: Finding) -> str:
    """How much the figure has to spare, or is short by. Empty where figure or limit is no exact figure."""
    if not leaves or leaves[0].comparison.word not in SIDES or finding.verdict not in ("met", "breached", "borderline"):
        return ""
    leaf = leaves[0]
    held = leaf.get(sight)
    if held is None or leaf.comparison.path.value_attribute.type == "period":
        return ""
    limit = limit_getter(leaf.comparison)(sight)
    ours, theirs = figure_of(held), None if limit is None else figure_of(limit)
    if ours is None or theirs is None:
        return ""
    sign, strict = SIDES[leaf.comparison.word]
    amount = (ours - theirs) * sign
    if amount == 0:
        return "nothing to spare: exactly at the limit" if not strict else "exactly at the limit, which does not pass"
    size = f"{abs(amount)}" if held_dimension(leaf) == "count" else _size(leaf, abs(amount))
    return f"{size} to spare" if amount > 0 else f"{size} past the limit"


def figure_of(held: Held) -> Fraction | None:
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


def held_dimension(leaf: Leaf) -> str:
    """The dimension of the figures that a comparison compares."""
    type_ = leaf.comparison.path.value_attribute.type
    return "count" if type_ == "count" else type_


def _size(leaf: Leaf, amount: "object") -> str:
    dimension = held_dimension(leaf)
    difference = "temperature difference" if dimension == "temperature" else dimension
    return write_quantity(Quantity.of(difference, amount, "in" if dimension == "length" else "%"))  # type: ignore[arg-type]


def _reason(one: Compiled, leaves: list[Leaf], sight: Sight, finding: Finding, judgement: Judgement) -> str:
    match finding.verdict:
        case "withdrawn":
            excluded = sight.situation.excluded
            return excluded.get(finding.evidence.id, "void") if finding.evidence is not None else "void"
        case "lapses":
            last = finding.lapses_on
            return f"good until {last.isoformat()}; the move ends {judgement.move.back.isoformat()}" if last else ""
        case "not shown" | "for the day":
            return _why_not_shown(one, leaves, sight)
        case "not applicable":
            return _why_not_applicable(one, sight)
        case _:
            if finding.lapses_on is not None:
                return f"good until {finding.lapses_on.isoformat()}, then to be renewed on the way"
            return ""


def _why_not_applicable(one: Compiled, sight: Sight) -> str:
    criterion = one.criterion
    if one.when is not None and one.when(sight) == FAILS and criterion.when is not None:
        return f"it applies where {clause_words(criterion.when)}"
    if one.unless is not None and one.unless(sight) >= NEAR and criterion.unless is not None:
        return f"it does not apply where {clause_words(criterion.unless)}"
    return "it asks about the place, and this part is not fitted"


def _why_not_shown(one: Compiled, leaves: list[Leaf], sight: Sight) -> str:
    criterion = one.criterion
    unsure = [
        clause_words(clause)
        for test, clause in ((one.when, criterion.when), (one.unless, criterion.unless))
        if test is not None and clause is not None and test(sight) == UNKNOWN
    ]
    if unsure:
        return f"nothing shows whether it applies ({'; '.join(unsure)})"
    reasons: dict[str, None] = {}
    for leaf in leaves:
        if leaf.test(sight) == UNKNOWN:
            reasons[why_unknown(leaf, sight)] = None
    if not reasons:
        return "some part inside has no reading that counts"
    return "; ".join(reasons)


def why_unknown(leaf: Leaf, sight: Sight) -> str:
    """Why one comparison can't be settled on what is seen: `flange thickness: not read`."""
    path = leaf.comparison.path
    label = path_words(path)
    situation = sight.situation
    held = leaf.get(sight)
    if held is not None:
        limit = (
            None if leaf.comparison.word in ("within", "in_force", "shown") else limit_getter(leaf.comparison)(sight)
        )
        if limit is None and leaf.comparison.word not in ("within", "in_force", "shown"):
            return f"{label}: its limit ({requirement_words(leaf.comparison)}) is not on record"
        return f"{label}: {value_words(held.value)} does not settle it"
    key = situation.owner(sight.key, path.owner) if path.owner else sight.key
    if key is None:
        return f"{label}: there is no {path.owner}"
    if path.attribute.derived:
        return f"{label} {_why_not_worked(leaf, sight, key)}"
    entries = situation.standing.evidence.get(key, {}).get(path.attribute.name, ())
    if not entries:
        return f"{label}: nothing on record" if path.attribute.type in ("test", "paper") else f"{label}: not read"
    if path.fact is not None and situation.view(key, shop=sight.shop).get(path.attribute.name) is not None:
        return f"{label}: not on record"
    return f"{label}: {_why_not_counted(entries[-1], sight, situation)}"


def _why_not_worked(leaf: Leaf, sight: Sight, key: str) -> str:
    situation, attribute = sight.situation, leaf.comparison.path.attribute
    worked = situation.work_out(key, attribute, shop=sight.shop)
    if isinstance(worked, Worked):
        days = [one.on for one in worked.used if one.sort == "reading" and one.on is not None]
        oldest = min(days, default=None)
        return f"rests on a reading of {oldest}, too old on {sight.day.isoformat()}"
    named = f"{worked.attribute.replace('_', ' ')} of {worked.part} {worked.reason}"
    if sight.shop and isinstance(situation.work_out(key, attribute), Worked):
        return f"can't be worked out from what persons accepted by {situation.move.host} read: {named}"
    return f"can't be worked out: {named}"


def _why_not_counted(evidence: Evidence, sight: Sight, situation: Situation) -> str:
    excluded = situation.excluded.get(evidence.id)
    if excluded:
        return excluded
    if isinstance(evidence.value, NotAccessible):
        return value_words(evidence.value)
    on: date | None = evidence.on
    host = situation.move.host
    if (sight.shop or evidence.sort == "test") and on is not None and not accepted_by_host(evidence.by, host, on):
        who = evidence.by.name if evidence.by is not None else "nobody named"
        return f"{value_words(evidence.value)}, {on.isoformat()}, by {who}, whom {host} does not accept for that day"
    if sight.oldest is not None and on is not None and on < sight.oldest:
        return f"{value_words(evidence.value)} of {on.isoformat()} is too old on {sight.day.isoformat()}"
    return "not read"


def worked_of(path: AttributePath, sight: Sight) -> tuple[str, Worked] | None:
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


def _worked(leaves: list[Leaf], sight: Sight) -> tuple[str, ...]:
    found = (worked_of(path, sight) for leaf in leaves for path in paths_of(leaf.comparison))
    return tuple(dict.fromkeys(worked.line for _, worked in filter(None, found)))
