"""The facts that the cause of a rule, as written, is about: those of the record, of the findings, of the chain."""

from carknocker.judgement.chain import causes
from carknocker.judgement.chain.items import Item, may_be_cause
from carknocker.judgement.chain.rules import Rule
from carknocker.judgement.criteria import prepare
from carknocker.judgement.model import Fact
from carknocker.questions.why.asked import Asked
from carknocker.vocabulary import load_vocabulary


def items_of(rule: Rule, asked: Asked) -> list[Item]:
    """The items of the record, and of the findings, that the cause as written is about."""
    situation = asked.situation
    match rule.cause.sort:
        case "work" | "event":
            items = causes.work_items(situation, fitted_only=rule.stage != "withdraws")
        case "test":
            items = causes.test_items(situation, load_vocabulary())
        case "leave":
            items = causes.leave_items(situation)
        case "seen":
            prepared = prepare(asked.judgement.rulebook)
            items = causes.seen_items(situation, prepared.criteria, prepared.chain)
        case "finding":
            items = [causes.finding_item(finding) for finding in asked.judgement.findings if finding.part.fitted]
        case _:
            items = [_derived(name, asked) for name in asked.producing if name[0] == rule.cause.sort]
    return [item for item in items if may_be_cause(rule, item)]


def _derived(name: tuple[str, ...], asked: Asked) -> Item:
    """What the chain itself found to be so, as a cause."""
    match name:
        case ("unfit", key):
            kind = asked.judgement.parts[key].kind
            return Item(Fact(name, key), (kind,), kind)
        case ("duty", consequence, _, key, *_):
            duty = asked.duty(name)
            kind = asked.judgement.parts[key].kind
            return Item(Fact(name, key), (consequence,), kind, verdict="" if duty is None else duty.state)
        case _:
            return Item(Fact(name, ""), name[1:2])
