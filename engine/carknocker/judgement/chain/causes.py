"""The facts that each stage starts from: what the record, the findings and the states of parts give as causes."""

from collections.abc import Iterable, Mapping

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
from carknocker.judgement.model import Finding, RestrictionInForce
from carknocker.judgement.observed_value import ObservedValue, standing_tests
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restricted_fact
from carknocker.judgement.situation import PartValues, Situation
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.record.model import Evidence, Part
from carknocker.record.part_keys import serial_of
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
    """The kind of a part; of one that has left the car, a part of a wheelset, the first word of its key."""
    found = parts.get(part)
    return found.kind if found is not None else part.split(" ")[0]


def state_facts(situation: Situation, index: RuleIndex) -> list[ChainFact]:
    """The states that some rule asks for, on every fitted part of the kind on which they hold."""
    standing = situation.standing
    found: list[ChainFact] = []
    for rule in _one_each(index.by_sort.get("state", ())):
        if rule.when is None:
            continue
        for part in standing.by_kind.get(rule.cause.of or "car", ()):
            if not part.fitted:
                continue
            sight = PartView(situation, part.key, situation.values_of(part.key), situation.move.out)
            if rule.when(sight) >= NEAR:
                fact = StateFact(rule.consequence.id, rule.cause_number, part.key)
                found.append(ChainFact(fact, rule.consequence.id, part.kind))
    return found


def _one_each(rules: Iterable[Rule]) -> list[Rule]:
    """One rule for each cause: a cause with several yields is asked once."""
    return list({(rule.consequence.id, rule.cause_number): rule for rule in rules}.values())


def finding_fact(finding: Finding) -> ChainFact:
    """A finding as a cause. Its effect is there only if it is unmet and not relieved."""
    criterion = finding.criterion
    effect = criterion.effect if finding.unmet and not finding.relieved else ""
    fact = FindingFact(criterion.id, finding.part.key)
    return ChainFact(fact, criterion.id, finding.part.kind, finding.verdict, finding.unmet, effect)


def finding_facts(findings: Iterable[Finding], index: RuleIndex) -> list[ChainFact]:
    """The findings on fitted parts that can be a cause: what is unmet, and what some cause names with its verdict."""
    named = {
        (criterion, verdict)
        for rule in index.by_sort.get("finding", ())
        for criterion in rule.cause.criteria
        for verdict in rule.cause.verdicts
    }
    loose = {
        verdict
        for rule in index.by_sort.get("finding", ())
        if not rule.cause.criteria
        for verdict in rule.cause.verdicts
    }
    asked = loose | {verdict for _, verdict in named}
    return [
        finding_fact(finding)
        for finding in findings
        if (finding.unmet or finding.verdict in asked)  # first, since most findings are neither
        and finding.part.fitted
        and (finding.unmet or finding.verdict in loose or (finding.criterion.id, finding.verdict) in named)
    ]


def restriction_facts(findings: Iterable[Finding], left: Iterable[RestrictionInForce]) -> list[ChainFact]:
    """What findings restrict by their own effect, where it stands, and what reliefs left in the place of others."""
    by_relief = [ChainFact(restricted_fact(one.restriction), one.restriction.sort) for one in left]
    return by_relief + [
        ChainFact(restricted_fact(restriction), restriction.sort)
        for finding in findings
        if finding.unmet and not finding.relieved and finding.part.fitted and finding.criterion.effect == "restrict"
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
    """The host's written leaves that cover the whole move, on each part they name (the car, if none)."""
    move = situation.move
    found: list[ChainFact] = []
    for leave in situation.standing.car.leaves:
        if leave.host.casefold() != move.host.casefold() or leave.first > move.out or leave.last < move.back:
            continue
        for part in leave.at or ("car",):
            here = situation.standing.parts.get(part)
            if here is not None:
                found.append(ChainFact(LeaveFact(leave.id, part), leave.criterion, here.kind, leave=leave))
    return found


def seen_facts(situation: Situation, compiled: Iterable[CompiledCriterion], index: RuleIndex) -> list[ChainFact]:
    """Any reading on record, also one since replaced or void, that lies beyond the limit of a named criterion, at the
    place it then had. The readings of one part on one sheet are looked at together."""
    wanted = {criterion for rule in index.by_sort.get("seen", ()) for criterion in rule.cause.criteria}
    if not wanted:
        return []
    standing = situation.standing
    by_kind: dict[str, list[str]] = {}
    for part in standing.evidence:
        by_kind.setdefault(_kind_of(part, standing.parts), []).append(part)
    found: list[ChainFact] = []
    for one in compiled:
        if one.criterion.id in wanted:
            found.extend(_seen(one, by_kind.get(one.criterion.of, ()), situation))
    return found


def _seen(one: CompiledCriterion, parts: Iterable[str], situation: Situation) -> list[ChainFact]:
    names = {leaf.comparison.path.attribute.name for leaf in one.leaves if not leaf.comparison.path.owner}
    found: list[ChainFact] = []
    for part in parts:
        attributes = situation.standing.evidence[part]
        sheets: dict[tuple[object, str], dict[str, Evidence]] = {}
        for name in sorted(names & attributes.keys()):
            for evidence in attributes[name]:
                if evidence.sort == "reading" and not isinstance(evidence.value, NotAccessible):
                    sheets.setdefault((evidence.on, evidence.sheet), {})[name] = evidence
        for sheet in sheets.values():
            fact = _seen_on_sheet(one, part, sheet, situation)
            if fact is not None:
                found.append(fact)
    return found


def _seen_on_sheet(
    one: CompiledCriterion, part: str, sheet: dict[str, Evidence], situation: Situation
) -> ChainFact | None:
    parts = situation.standing.parts
    some = next(iter(sheet.values()))
    placed = part if parts.get(part) is not None and parts[part].fitted else some.place
    if placed not in parts or not parts[placed].fitted:
        return None
    view: PartValues = {
        name: held for name, held in situation.values.get(part, {}).items() if held is not None and held.on is None
    }
    view.update((name, ObservedValue(evidence.value, evidence)) for name, evidence in sheet.items())
    sight = PartView(situation, part if part in parts else placed, view, situation.move.out)
    if one.when is not None and one.when(sight) == FAILS:
        return None
    if one.unless is not None and one.unless(sight) >= NEAR:
        return None
    if one.must(sight) != FAILS:
        return None
    beyond = next(
        (held.evidence for leaf in one.leaves if leaf.test(sight) == FAILS and (held := leaf.get(sight)) is not None),
        some,
    )
    evidence = beyond or some
    place = some.place if some.place in parts and parts[some.place].fitted else placed
    fact = SeenFact(one.criterion.id, evidence.id, place, evidence.on)
    return ChainFact(fact, one.criterion.id, one.criterion.of)
