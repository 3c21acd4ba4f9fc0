"""The facts that each stage starts from: what the record, the findings and the states of parts give as causes."""

from collections.abc import Iterable, Iterator, Mapping

from carknocker.judgement.chain.rules import Rule, RuleIndex
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.facts import (
    ChainFact,
    EventFact,
    FindingFact,
    LeaveFact,
    PassedTestFact,
    SeenFact,
    StateFact,
    WorkFact,
)
from carknocker.judgement.model import UNMET, Finding, RestrictionInForce
from carknocker.judgement.observed_value import ObservedValue, standing_tests
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restricted_fact
from carknocker.judgement.situation import PartValues, Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import kind_of_key, serial_of
from carknocker.record.values import NotAccessible
from carknocker.vocabulary.model import Vocabulary


def work_facts(situation: Situation, *, fitted_only: bool) -> list[ChainFact]:
    """Work and events on the parts they stand on. What happened to a wheelset is two facts: one on the wheelset, while
    it is here, and one on the place where it then was, which stays. Work on a wheelset that has left causes nothing."""
    parts = situation.standing.parts
    found: list[ChainFact] = []
    for entry in situation.standing.work:
        of_sort = EventFact if entry.event else WorkFact
        for part in entry.at or ("car",):
            kind = _kind_of(part, parts)
            here = parts.get(part)
            thing = serial_of(part) is not None
            if here is not None and (here.fitted or not fitted_only):
                fact = of_sort(entry.id, part, part, entry.on)
                own = thing and entry.event
                found.append(ChainFact(fact, entry.name, kind, work=entry, facts=entry.facts, own_parts_only=own))
            place = situation.standing.place_at(part, entry.on, entry.after) if thing and entry.event else part
            if place != part and place in parts:
                fact = of_sort(entry.id, part, place, entry.on)
                found.append(ChainFact(fact, entry.name, kind, work=entry, facts=entry.facts))
    return found


def _kind_of(part: str, parts: Mapping[str, Part]) -> str:
    """The kind of a part; of one that has left the car, by its key."""
    found = parts.get(part)
    return found.kind if found is not None else kind_of_key(part)


def state_facts(situation: Situation, index: RuleIndex) -> list[ChainFact]:
    """The states that some rule asks for, on every fitted part of the kind on which they hold; without a condition on
    every part. For what
    burdens a state holds unless it surely does not: a missing fact may cost, and never grant."""
    standing = situation.standing
    found: list[ChainFact] = []
    for rule in _one_each(index.by_sort.get("state", ())):
        for part in standing.by_kind.get(rule.cause.of or "car", ()):
            if not part.fitted:
                continue
            sight = PartView(situation, part.key, situation.values_of(part.key), situation.move.out)
            if rule.when is None or rule.when(sight) >= rule.least_truth:
                fact = StateFact(rule.consequence.id, rule.cause_number, part.key)
                found.append(ChainFact(fact, rule.consequence.id, part.kind))
    return found


def _one_each(rules: Iterable[Rule]) -> list[Rule]:
    """One rule for each cause: a cause with several yields is asked once."""
    return list({(rule.consequence.id, rule.cause_number): rule for rule in rules}.values())


def finding_fact(finding: Finding) -> ChainFact:
    """A finding as a cause. Its effect is there only if it is unmet and not relieved."""
    criterion = finding.criterion
    effect = finding.effect if finding.unmet and not finding.relieved else ""
    fact = FindingFact(criterion.id, finding.part.key)
    on = None if finding.evidence is None else finding.evidence.on
    return ChainFact(fact, criterion.id, finding.part.kind, finding.verdict, finding.unmet, effect, found_on=on)


def finding_facts(findings: Iterable[Finding], unmet: Iterable[Finding], index: RuleIndex) -> list[ChainFact]:
    """The findings on fitted parts that some rule may be caused by. unmet: those of them that are."""
    asked = {verdict for rule in index.by_sort.get("finding", ()) for verdict in rule.cause.verdicts}
    others = asked - UNMET - {"unmet"}  # most findings are met: they are looked through only where some rule asks
    pool = [finding for finding in findings if finding.unmet or finding.verdict in others] if others else unmet
    facts = (finding_fact(finding) for finding in pool if finding.part.fitted)
    return [fact for fact in facts if index.caused_by(fact)]


def restriction_facts(findings: Iterable[Finding], left: Iterable[RestrictionInForce]) -> list[ChainFact]:
    """What findings restrict by their own effect, where it stands, and what reliefs left in the place of others."""
    by_relief = [ChainFact(restricted_fact(one.restriction), one.restriction.sort) for one in left]
    return by_relief + [
        ChainFact(restricted_fact(restriction), restriction.sort)
        for finding in findings
        if finding.unmet and not finding.relieved and finding.part.fitted and finding.effect == "restrict"
        for restriction in finding.criterion.restrictions
    ]


def test_facts(situation: Situation, vocabulary: Vocabulary) -> list[ChainFact]:
    """Valid, passed tests that none failed after, and that do not run out before the return."""
    found: list[ChainFact] = []
    for kind in vocabulary.tests.values():
        for part in situation.standing.by_kind.get(kind.on, ()):
            for evidence in standing_tests(situation.counted(part.key, kind.attribute)):
                if evidence.until is not None and evidence.until < situation.move.back:
                    continue
                fact = PassedTestFact(evidence.id, part.key, evidence.on)
                found.append(ChainFact(fact, kind.name, part.kind, facts=evidence.facts))
    return found


def leave_facts(situation: Situation) -> list[ChainFact]:
    """The host's written permissions that cover the whole move, are signed by the day judged and say what they leave,
    on each part they name (the car, if none)."""
    move = situation.move
    found: list[ChainFact] = []
    for leave in situation.standing.car.leaves:
        if leave.host.casefold() != move.host.casefold() or leave.first > move.out or leave.last < move.back:
            continue
        if leave.signed_on is None or leave.signed_on > situation.standing.as_of or leave.unsaid:
            continue
        for part in leave.at or ("car",):
            here = situation.standing.parts.get(part)
            if here is not None:
                found.append(ChainFact(LeaveFact(leave.id, part), leave.criterion, here.kind, leave=leave))
    return found


def seen_facts(situation: Situation, compiled: Iterable[CompiledCriterion], index: RuleIndex) -> list[ChainFact]:
    """Any reading on record, also one since replaced or void, that lies beyond the limit of a named criterion, at the
    place it then had. The readings of one part on one sheet are looked at together."""
    wanted = {rule.subject for rule in index.by_sort.get("seen", ())}
    if not wanted:
        return []
    readings = _ReadingsOnRecord(situation)
    return [
        fact
        for one in compiled
        if one.criterion.id in wanted
        for part, sheet in readings.sheets_of(one)
        if (fact := _seen_on_sheet(one, part, sheet, readings)) is not None
    ]


class _ReadingsOnRecord:
    """What every reading on record showed, laid out once for all criteria that ask."""

    def __init__(self, situation: Situation) -> None:
        self.situation = situation
        self._by_kind: dict[str, list[str]] = {}
        for part in situation.standing.evidence:
            self._by_kind.setdefault(_kind_of(part, situation.standing.parts), []).append(part)
        self._described: dict[str, PartValues] = {}
        self._observed: dict[str, ObservedValue] = {}
        self._anywhere = PartView(situation, "car", situation.values_of("car"), situation.move.out)

    def sheets_of(self, one: CompiledCriterion) -> Iterator[tuple[str, dict[str, Evidence]]]:
        """The readings that a criterion looks at, sheet by sheet, of every part of its kind that has any: also of parts
        that have left the car."""
        names = one.own_attributes
        for part in self._by_kind.get(one.criterion.of, ()):
            attributes = self.situation.standing.evidence[part]
            sheets: dict[tuple[object, str], dict[str, Evidence]] = {}
            for name in names:
                for evidence in attributes.get(name, ()):
                    if evidence.sort == "reading" and evidence.value.__class__ is not NotAccessible:
                        sheets.setdefault((evidence.on, evidence.sheet), {})[name] = evidence
            for sheet in sheets.values():
                yield part, sheet

    def values_on(self, part: str, sheet: Mapping[str, Evidence]) -> PartValues:
        """What a sheet showed of a part, beside what is known of it without a reading."""
        newest = self.situation.values.get(part, {})
        described = self._described.get(part)
        if described is None:
            described = {name: value for name, value in newest.items() if value.on is None}
            self._described[part] = described
        values = described.copy()
        for name, evidence in sheet.items():
            values[name] = self._value_of(part, evidence)
        return values

    def beyond(self, one: CompiledCriterion, part: str, evidence: Evidence) -> bool:
        """Whether a reading fails a criterion that is told by one value."""
        return one.leaves[0].decide(self._value_of(part, evidence), self._anywhere) == FAILS

    def _value_of(self, part: str, evidence: Evidence) -> ObservedValue:
        value = self.situation.values.get(part, {}).get(evidence.attribute)
        if value is None or value.evidence is not evidence:
            value = self._observed.get(evidence.id)
            if value is None:
                value = self._observed[evidence.id] = ObservedValue(evidence.value, evidence)
        return value


def _seen_on_sheet(
    one: CompiledCriterion, part: str, sheet: Mapping[str, Evidence], readings: _ReadingsOnRecord
) -> ChainFact | None:
    situation = readings.situation
    parts = situation.standing.parts
    some = next(iter(sheet.values()))
    here = parts.get(part)
    placed = part if here is not None and here.fitted else some.place
    if placed not in parts or not parts[placed].fitted:
        return None
    if one.told_by_one_value and not readings.beyond(one, part, some):
        return None  # so almost every reading is good, without a look at the rest of the part
    values = readings.values_on(part, sheet)
    view = PartView(situation, part if here is not None else placed, values, situation.move.out)
    if one.must(view) != FAILS:  # asked first, since almost every reading is good
        return None
    if one.when is not None and one.when(view) == FAILS:
        return None
    if one.unless is not None and one.unless(view) >= NEAR:
        return None
    beyond = next(
        (value.evidence for leaf in one.leaves if leaf.test(view) == FAILS and (value := leaf.get(view)) is not None),
        some,
    )
    evidence = beyond or some
    place = some.place if some.place in parts and parts[some.place].fitted else placed
    fact = SeenFact(one.criterion.id, evidence.id, place, evidence.on)
    return ChainFact(fact, one.criterion.id, one.criterion.of)
