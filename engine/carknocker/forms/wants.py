"""What a move wants to be read or said of a car, and why: what is missing, stale, void or runs out."""

from collections.abc import Iterator

import msgspec

from carknocker.forms.conditions import OnlyIf, if_not_otherwise, only_if
from carknocker.forms.model import Group
from carknocker.judgement.clause_tests import comparisons_in
from carknocker.judgement.explanation import Explanation
from carknocker.judgement.findings import view_for_must
from carknocker.judgement.index import JudgementIndex
from carknocker.judgement.model import Finding
from carknocker.judgement.observed_value import ObservedValue
from carknocker.judgement.situation import Situation
from carknocker.judgement.truth import NEAR
from carknocker.quantities import DIMENSIONS, Quantity
from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import serial_of
from carknocker.record.values import Figure, Value, Word
from carknocker.rulebook.clauses import ByTable, FromPart
from carknocker.vocabulary.model import Attribute
from carknocker.whatif.missing_evidence import lacks_of, lacks_once_it_applies
from carknocker.wording.faults import fault_of_findings
from carknocker.wording.set_aside import set_aside_words
from carknocker.wording.verdicts import reason_words
from carknocker.workings.model import Missing

NEVER = "never read"
_WANTED = frozenset({"not shown", "void", "lapses"})
_MOST = 60


class Want(msgspec.Struct, frozen=True):
    """One value that the move wants, and why. shop: only what someone reads whom the host accepts will do. only_if:
    what has to be so for it to be wanted, as far as nobody knows it: it is asked for at once all the same. anew: a test
    or a paper in the place of one that is on record and does not do."""

    part: Part
    attribute: Attribute
    label: str
    why: str
    group: Group
    shop: bool
    only_if: tuple[OnlyIf, ...] = ()
    anew: bool = False


def wants_of(index: JudgementIndex) -> Iterator[Want]:
    """What the findings want, also for the host's inspector before departure. A wheelset aboard is asked for
    as well; what lies on a shelf is not."""
    carried = {spare.serial for spare in index.judgement.car.spares if spare.carried and spare.serial}
    for finding in index.judgement.findings:
        wanted = finding.verdict in _WANTED and finding.unmet
        if finding.verdict == "breached" and finding.unmet and not finding.relieved:
            yield from _signed_anew(finding, index)
        if finding.relieved or not (wanted or finding.verdict == "for the day"):
            continue
        if not finding.part.fitted and serial_of(finding.part.key) not in carried:
            continue
        group, shop = _group(finding), finding.criterion.shown_by == "accepted shop"
        if finding.verdict == "lapses":
            yield from _lapsing(finding, index, group, shop)
            continue
        lacks = lacks_of(finding, index)
        today = _Today(finding, index)
        for lack in lacks:
            own = group if lack.decides_whether else today.group(group, lack.part, lack.attribute)
            signed = lack.attribute.type in ("test", "paper")
            way = if_not_otherwise(finding, lack.attribute, index) if signed else ()
            yield Want(lack.part, lack.attribute, lack.label, lack.reason or NEVER, own, shop, way)
        conditions: tuple[OnlyIf, ...] = ()
        if any(lack.decides_whether for lack in lacks):
            conditions = only_if(finding, index)
            for lack in lacks_once_it_applies(finding, index):
                why = lack.reason or NEVER
                own = today.group(group, lack.part, lack.attribute)
                yield Want(lack.part, lack.attribute, lack.label, why, own, shop, conditions)
        for part, attribute in (*further_inputs(finding, index), *_limits(finding, index)):
            why = set_aside_words(index.judgement.situation.why_set_aside(part.key, attribute.name)) or NEVER
            own = today.group(group, part, attribute)
            yield Want(part, attribute, attribute.label, why, own, shop, conditions)


class _Today:
    """What holds on the day of the form already and is only too old on departure."""

    def __init__(self, finding: Finding, index: JudgementIndex) -> None:
        judgement, criterion = index.judgement, finding.criterion
        situation, compiled = judgement.situation_of(finding), index.compiled(criterion)
        self.earlier = judgement.as_of < judgement.move.out
        self.now = view_for_must(compiled, finding.part, situation, judgement.as_of)
        self.then = view_for_must(compiled, finding.part, situation, judgement.move.out)
        self.holds = self.earlier and compiled.must(self.now) >= NEAR

    def group(self, group: Group, part: Part, attribute: Attribute) -> Group:
        """The group of a value, which is later where nothing but its age on departure is wrong with it."""
        if group != "decides now" or not self.earlier:
            return group
        fresh = self.now.at(part.key).values.get(attribute.name) is not None
        ages = fresh and self.then.at(part.key).values.get(attribute.name) is None
        return "wanted before departure" if self.holds or ages else group


def _group(finding: Finding) -> Group:
    if finding.effect == "advise":
        return "only advised"
    return "wanted before departure" if finding.verdict == "for the day" else "decides now"


def _lapsing(finding: Finding, index: JudgementIndex, group: Group, shop: bool) -> Iterator[Want]:
    """What is good on departure and not on the last day: the value that decides it."""
    said = index.explain(finding)
    earlier = index.judgement.as_of < index.judgement.move.out
    if group == "decides now" and finding.criterion.read_within is not None and earlier:
        group = "wanted before departure"  # it is good today
    for part, attribute in _deciding(said, finding, index):
        yield Want(part, attribute, attribute.label, reason_words(said.reasons), group, shop)


def _signed_anew(finding: Finding, index: JudgementIndex) -> Iterator[Want]:
    """A test that failed or was made otherwise than it must be, or a paper that does not say what it must: another one
    in its place."""
    group, shop = _group(finding), finding.criterion.shown_by == "accepted shop"
    for part, attribute in _deciding(index.explain(finding), finding, index):
        if attribute.type in ("test", "paper"):
            yield Want(
                part, attribute, attribute.label, fault_of_findings((finding,), index).said, group, shop, anew=True
            )


def _deciding(said: Explanation, finding: Finding, index: JudgementIndex) -> Iterator[tuple[Part, Attribute]]:
    """What decided a finding, and the part that it stands on."""
    for path in said.attributes[:1]:
        key = index.judgement.situation.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        part = index.judgement.parts.get(key or "")
        if part is not None:
            yield part, path.attribute


def further_inputs(finding: Finding, index: JudgementIndex) -> Iterator[tuple[Part, Attribute]]:
    """The readings beyond the first that the worked-out figures of a finding lack."""
    known = index.judgement.situation
    for comparison in comparisons_in(finding.criterion.must):
        path = comparison.path
        key = known.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        if key is None or not path.attribute.derived or known.standing.parts[key].kind != path.attribute.kind:
            continue
        yield from _inputs(key, path.attribute, index)


def _limits(finding: Finding, index: JudgementIndex) -> Iterator[tuple[Part, Attribute]]:
    """What is not on record and gives the limit of a figure that is not on record either."""
    known = index.judgement.situation
    for comparison in comparisons_in(finding.criterion.must):
        if not isinstance(comparison.limit, FromPart | ByTable):
            continue
        path = comparison.limit.path
        key = known.owner(finding.part.key, path.owner) if path.owner else finding.part.key
        part = None if key is None else known.standing.parts.get(key)
        if part is None or part.kind != path.attribute.kind or path.attribute.derived:
            continue
        if known.values_of(part.key).get(path.attribute.name) is None:
            yield part, path.attribute


def _inputs(key: str, asked: Attribute, index: JudgementIndex) -> Iterator[tuple[Part, Attribute]]:
    known = index.judgement.situation
    assumed: dict[tuple[str, str], ObservedValue] = {}
    for _ in range(_MOST):
        situation = Situation(known.standing, known.move, known.excluded, known)
        for (part, name), held in assumed.items():
            situation.values[part] = {**situation.values[part], name: held}
        told = situation.work_out(key, asked)
        if not isinstance(told, Missing) or not told.unread:
            return
        part_of_it = known.standing.parts.get(told.part)
        attribute = None if part_of_it is None else index.vocabulary.attribute(part_of_it.kind, told.attribute)
        if part_of_it is None or attribute is None or (told.part, told.attribute) in assumed:
            return
        yield part_of_it, attribute
        value = _any_value(attribute)
        if value is None:
            return
        day = index.judgement.as_of
        evidence = Evidence(
            f"{told.part} {told.attribute}, assumed", told.attribute, told.part, told.part, value, "reading", day,
            part_of_it.where,
        )  # fmt: skip
        assumed[told.part, told.attribute] = ObservedValue(value, evidence)


def _any_value(attribute: Attribute) -> Value | None:
    """Some value of the attribute's type: only that it is there counts here."""
    if attribute.type in DIMENSIONS:
        return Figure(Quantity.of(attribute.type, 1))
    return Word("assumed") if attribute.type in ("identity", "text") else None


def refused_anyway(index: JudgementIndex) -> frozenset[str]:
    """Keys of the things that a breach refuses whatever else is read of them, with all that is inside them: they are
    renewed or repaired first."""
    refused: set[str] = set()
    kinds = index.vocabulary.kinds
    for refusal in index.judgement.refusals:
        finding = refusal.finding
        if finding is None or finding.verdict != "breached" or finding.relieved:
            continue
        kind = kinds.get(finding.part.kind)
        if kind is not None and (kind.thing or kind.listed):
            refused.update((finding.part.key, *index.inside(finding.part.key)))
    return frozenset(refused)
