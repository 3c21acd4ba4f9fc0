"""What a rule yields from its cause: one pure function, used by both evaluators and by the proof."""

from collections.abc import Callable

from carknocker.judgement.chain.duties import duty_state
from carknocker.judgement.chain.items import Item
from carknocker.judgement.chain.rules import Rule
from carknocker.judgement.chain.setting import Setting
from carknocker.judgement.model import Fact
from carknocker.judgement.part_view import PartView
from carknocker.judgement.restrictions import restriction_name
from carknocker.judgement.truth import FAILS, NEAR
from carknocker.rulebook.model import CarriesUp, Relieves, Requires, Restricts, Withdraws


def concluder(setting: Setting) -> Callable[[Rule, Item], tuple[Item, ...] | None]:
    """`conclude` for one setting: what may be believed, and what earlier stages have settled."""

    def conclude(rule: Rule, item: Item) -> tuple[Item, ...] | None:
        if not holds(rule, item, setting):
            return None
        if (rule.consequence.id, item.fact.part) in setting.stopped and isinstance(
            rule.produces, (Requires, Restricts)
        ):
            return None
        match rule.produces:
            case Withdraws() as withdraws:
                return _void(withdraws, item, setting) or None
            case Relieves() as relieves:
                return _relieved(relieves, rule, item, setting) or None
            case CarriesUp() as carries:
                return _unfit(carries, item, setting) or None
            case Requires() as requires:
                return _duties(requires, rule, item, setting) or None
            case Restricts(restrictions):
                return tuple(
                    Item(Fact(restriction_name(restriction), ""), (restriction.sort,)) for restriction in restrictions
                )

    return conclude


def holds(rule: Rule, item: Item, setting: Setting) -> bool:
    """Whether what narrows the cause holds. What can't be decided narrows nothing, except where it would relieve."""
    least = NEAR if isinstance(rule.produces, Relieves) else FAILS + 1
    situation = setting.situation
    day = situation.move.out
    if rule.chapter_when is not None:
        if rule.consequence.id not in setting.chapters:
            sight = PartView(situation, "car", situation.view("car"), day)
            setting.chapters[rule.consequence.id] = rule.chapter_when(sight)
        if setting.chapters[rule.consequence.id] < least:
            return False
    if rule.when is None or rule.cause.sort == "state":
        return True
    key = item.about if item.about in situation.views else item.fact.part or "car"
    sight = PartView(situation, key, situation.view(key), day, facts=item.facts)
    return rule.when(sight) >= least


def _void(withdraws: Withdraws, item: Item, setting: Setting) -> tuple[Item, ...]:
    """Evidence on the reached parts dated up to and including the day of the work, unless it was taken after it."""
    situation = setting.situation
    names = withdraws.readings
    if withdraws.test:
        names = (*names, setting.vocabulary.tests[withdraws.test].attribute)
    day, work = item.fact.since, item.work
    if day is None or work is None:
        return ()
    void: list[Item] = []
    for part in setting.reached(item, withdraws.of):
        evidence = situation.standing.evidence.get(part, {})
        for name in names:
            for entry in evidence.get(name, ()):
                if entry.on is None or entry.on > day or (entry.on == day and work.id in setting.after(entry.after)):
                    continue
                void.append(Item(Fact(("void", entry.id), part), (entry.id,)))
    return tuple(void)


def _relieved(relieves: Relieves, rule: Rule, item: Item, setting: Setting) -> tuple[Item, ...]:
    part = item.fact.part or "car"
    if relieves.finding_same:
        return (_relief(item.fact.name[1], part, relieves),)
    items: list[Item] = []
    if item.leave is not None and item.leave.purpose != relieves.purpose:
        return ()
    for criterion in setting.criteria_relieved(relieves, rule, item):
        targets = setting.reached(item, relieves.of or criterion.of)
        items.extend(_relief(criterion.id, target, relieves) for target in targets if _covers(item, target, setting))
    for consequence in setting.consequences_relieved(relieves, rule, item):
        stopped = setting.reached(item, relieves.of) if relieves.of else (part, *setting.inside(part))
        stopped = tuple(target for target in stopped if _covers(item, target, setting))
        items.extend(
            Item(Fact(("stopped", consequence, target, relieves.purpose), target), (consequence,)) for target in stopped
        )
    return tuple(items)


def _covers(item: Item, target: str, setting: Setting) -> bool:
    """A host's leave for a part covers that part, what is inside it and what it is in; what only stands beside it in a
    common container has no leave."""
    if item.leave is None:
        return True
    part, standing = item.fact.part, setting.situation.standing
    return target == part or part in standing.containers(target) or target in standing.containers(part)


def _relief(criterion: str, part: str, relieves: Relieves) -> Item:
    return Item(Fact(("relieved", criterion, part, relieves.purpose), part), (criterion,))


def _unfit(carries: CarriesUp, item: Item, setting: Setting) -> tuple[Item, ...]:
    """The nearest container of each kind. Never down, never sideways."""
    situation = setting.situation
    parts = situation.standing.parts
    containers = situation.standing.containers(item.fact.part)
    unfit: list[Item] = []
    for kind in carries.kinds:
        container = next((key for key in containers if parts[key].kind == kind), None)
        if container is not None:
            unfit.append(Item(Fact(("unfit", container), container), (kind,), kind))
    return tuple(unfit)


def _duties(requires: Requires, rule: Rule, item: Item, setting: Setting) -> tuple[Item, ...]:
    since = item.fact.since
    duties: list[Item] = []
    for part in setting.reached(item, requires.of):
        if not setting.situation.standing.parts[part].fitted:
            continue
        name = duty_name(rule, part, item)
        state = duty_state(name, requires, part, since, item.work, setting)
        duties.append(
            Item(Fact(name, part, since), (rule.consequence.id,), requires.of, verdict=state.state)
        )  # fmt: skip
    return tuple(duties)


def duty_name(rule: Rule, part: str, item: Item) -> tuple[str, ...]:
    """A duty is named by consequence, part, the day it began and the dated entry that began it, never by its whole
    history, so that chains end."""
    since = item.fact.since.isoformat() if item.fact.since is not None else ""
    entry = item.work.id if item.work is not None else ""
    return ("duty", rule.consequence.id, str(rule.yield_number), part, since, entry)
