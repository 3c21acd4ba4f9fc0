"""The base items of each stage: what the record, the findings and the states of parts give as causes."""

from collections.abc import Iterable, Mapping

from carknocker.judgement.chain.items import Item
from carknocker.judgement.chain.rules import Rule, RuleIndex
from carknocker.judgement.criteria import CompiledCriterion
from carknocker.judgement.model import Fact, Finding, RestrictionInForce
from carknocker.judgement.observed_value import ObservedValue, standing_tests
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restriction_name
from carknocker.judgement.situation import Situation, View
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.record.model import Evidence, Part
from carknocker.record.values import NotAccessible
from carknocker.record.wheelset_parts import thing_key_of_wheelset
from carknocker.vocabulary.model import Vocabulary


def work_items(situation: Situation, *, fitted_only: bool) -> list[Item]:
    """Work and events on the parts they stand on. What happened to a wheelset is two items: one on the wheelset, while
    it is here, and one on the place where it then was, which stays. Work on a wheelset that has left causes nothing."""
    parts = situation.standing.parts
    items: list[Item] = []
    for entry in situation.standing.work:
        sort = "event" if entry.event else "work"
        for part in entry.at or ("car",):
            kind = _kind_of(part, parts)
            here = parts.get(part)
            thing = thing_key_of_wheelset(part) is not None
            if here is not None and (here.fitted or not fitted_only):
                fact = Fact((sort, entry.id, part), part, entry.on)
                own = thing and entry.event
                items.append(
                    Item(fact, (entry.name,), kind, work=entry, facts=entry.facts, own_parts_only=own, about=part)
                )
            place = situation.standing.place_at(part, entry.on, entry.after) if thing and entry.event else part
            if place != part and place in parts:
                fact = Fact((sort, entry.id, part, "at", place), place, entry.on)
                items.append(Item(fact, (entry.name,), kind, work=entry, facts=entry.facts, about=part))
    return items


def _kind_of(part: str, parts: Mapping[str, Part]) -> str:
    """The kind of a part; of one that has left the car, a part of a wheelset, the first word of its key."""
    found = parts.get(part)
    return found.kind if found is not None else part.split(" ")[0]


def state_items(situation: Situation, index: RuleIndex) -> list[Item]:
    """The states that some rule asks for, on every fitted part of the kind on which they hold."""
    standing = situation.standing
    items: list[Item] = []
    for rule in _one_each(index.by_sort.get("state", ())):
        if rule.when is None:
            continue
        for part in standing.by_kind.get(rule.cause.of or "car", ()):
            if not part.fitted:
                continue
            sight = PartView(situation, part.key, situation.view(part.key), situation.move.out)
            if rule.when(sight) >= NEAR:
                number = str(rule.cause_number)
                fact = Fact(("state", rule.consequence.id, number, part.key), part.key)
                items.append(Item(fact, (rule.consequence.id, number), part.kind))
    return items


def _one_each(rules: Iterable[Rule]) -> list[Rule]:
    """One rule for each cause: a cause with several yields is asked once."""
    return list({(rule.consequence.id, rule.cause_number): rule for rule in rules}.values())


def finding_item(finding: Finding) -> Item:
    """A finding as a cause. Its effect is there only if it is unmet and not relieved."""
    criterion = finding.criterion
    effect = criterion.effect if finding.unmet and not finding.relieved else ""
    fact = Fact(("finding", criterion.id, finding.part.key), finding.part.key)
    return Item(fact, (criterion.id,), finding.part.kind, finding.verdict, finding.unmet, effect)


def finding_items(findings: Iterable[Finding], index: RuleIndex) -> list[Item]:
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
        finding_item(finding)
        for finding in findings
        if (finding.unmet or finding.verdict in asked)  # first, since most findings are neither
        and finding.part.fitted
        and (finding.unmet or finding.verdict in loose or (finding.criterion.id, finding.verdict) in named)
    ]


def restriction_items(findings: Iterable[Finding], left: Iterable[RestrictionInForce]) -> list[Item]:
    """What findings restrict by their own effect, where it stands, and what reliefs left in the place of others."""
    by_relief = [Item(Fact(restriction_name(one.restriction), ""), (one.restriction.sort,)) for one in left]
    return by_relief + [
        Item(Fact(restriction_name(restriction), ""), (restriction.sort,))
        for finding in findings
        if finding.unmet and not finding.relieved and finding.part.fitted and finding.criterion.effect == "restrict"
        for restriction in finding.criterion.restrictions
    ]


def test_items(situation: Situation, vocabulary: Vocabulary) -> list[Item]:
    """Valid, passed tests that none failed after, and that do not run out before the return."""
    items: list[Item] = []
    for kind in vocabulary.tests.values():
        for part in situation.standing.by_kind.get(kind.on, ()):
            for evidence in standing_tests(situation.counted(part.key, kind.attribute)):
                if evidence.until is not None and evidence.until < situation.move.back:
                    continue
                fact = Fact(("test", evidence.id), part.key, evidence.on)
                items.append(Item(fact, (kind.name,), part.kind, facts=evidence.facts))
    return items


def leave_items(situation: Situation) -> list[Item]:
    """The host's written leaves that cover the whole move, on each part they name (the car, if none)."""
    move = situation.move
    items: list[Item] = []
    for leave in situation.standing.car.leaves:
        if leave.host.casefold() != move.host.casefold() or leave.first > move.out or leave.last < move.back:
            continue
        for part in leave.at or ("car",):
            found = situation.standing.parts.get(part)
            if found is not None:
                items.append(Item(Fact(("leave", leave.id, part), part), (leave.criterion,), found.kind, leave=leave))
    return items


def seen_items(situation: Situation, compiled: Iterable[CompiledCriterion], index: RuleIndex) -> list[Item]:
    """Any reading on record, also one since replaced or void, that lies beyond the limit of a named criterion, at the
    place it then had. The readings of one part on one sheet are looked at together."""
    wanted = {criterion for rule in index.by_sort.get("seen", ()) for criterion in rule.cause.criteria}
    if not wanted:
        return []
    standing = situation.standing
    by_kind: dict[str, list[str]] = {}
    for part in standing.evidence:
        by_kind.setdefault(_kind_of(part, standing.parts), []).append(part)
    items: list[Item] = []
    for one in compiled:
        if one.criterion.id in wanted:
            items.extend(_seen(one, by_kind.get(one.criterion.of, ()), situation))
    return items


def _seen(one: CompiledCriterion, parts: Iterable[str], situation: Situation) -> list[Item]:
    names = {leaf.comparison.path.attribute.name for leaf in one.leaves if not leaf.comparison.path.owner}
    items: list[Item] = []
    for part in parts:
        attributes = situation.standing.evidence[part]
        sheets: dict[tuple[object, str], dict[str, Evidence]] = {}
        for name in sorted(names & attributes.keys()):
            for evidence in attributes[name]:
                if evidence.sort == "reading" and not isinstance(evidence.value, NotAccessible):
                    sheets.setdefault((evidence.on, evidence.sheet), {})[name] = evidence
        for sheet in sheets.values():
            item = _seen_on_sheet(one, part, sheet, situation)
            if item is not None:
                items.append(item)
    return items


def _seen_on_sheet(one: CompiledCriterion, part: str, sheet: dict[str, Evidence], situation: Situation) -> Item | None:
    parts = situation.standing.parts
    some = next(iter(sheet.values()))
    placed = part if parts.get(part) is not None and parts[part].fitted else some.place
    if placed not in parts or not parts[placed].fitted:
        return None
    view: View = {
        name: held for name, held in situation.views.get(part, {}).items() if held is not None and held.on is None
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
    fact = Fact(("seen", one.criterion.id, evidence.id, place), place, evidence.on)
    return Item(fact, (one.criterion.id,), one.criterion.of)
