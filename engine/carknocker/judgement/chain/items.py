"""Items: the facts that can be a cause, with what a cause may ask about them. Signs are short strings of the same."""

from collections.abc import Mapping

import msgspec

from carknocker.judgement.chain.rules import ANY, Rule
from carknocker.judgement.model import Fact
from carknocker.record.model import Leave, Work
from carknocker.record.values import Value


class Item(msgspec.Struct, frozen=True):
    """A fact with the words that a cause may mention.

    names: of the work, event or test; of the criterion seen; of the kind that is unfit; of what is restricted; of the
    consequence behind a duty; (consequence, cause number) of a state. kind: of the part it is about.
    own_parts_only: what happened to a wheelset reaches, by way of the wheelset, only its own parts; what it reaches
    from the place where it happened is an item of its own, `about` the part of the wheelset.
    verdict: of a finding, or the state of a duty. effect: of a finding; empty once the effect is relieved.
    """

    fact: Fact
    names: tuple[str, ...]
    kind: str = ""
    verdict: str = ""
    unmet: bool = False
    effect: str = ""
    work: Work | None = None
    leave: Leave | None = None
    facts: Mapping[str, Value] = msgspec.field(default_factory=dict)
    own_parts_only: bool = False
    about: str = ""


def signs_of(item: Item, stage: str) -> list[str]:
    """Every sign that the item shows in a stage."""
    sort = item.fact.sort
    first = f"{stage[0]}:{sort}|"
    match sort:
        case "work" | "event" | "test":
            return [f"{first}{name}|{kind}" for name in item.names for kind in (item.kind, ANY)]
        case "leave":
            return [f"{first}{ANY}"]
        case "state":
            return [f"{first}{'|'.join(item.names)}"]
        case "finding":
            verdicts = (item.verdict, "unmet") if item.unmet else (item.verdict,)
            effects = (item.effect, ANY) if item.effect else (ANY,)
            return [
                f"{first}{verdict}|{criterion}|{kind}|{effect}"
                for verdict in verdicts
                for criterion in (*item.names, ANY)
                for kind in (item.kind, ANY)
                for effect in effects
            ]
        case "duty":
            return [f"{first}{name}" for name in (*item.names, ANY)] if item.verdict == "open" else []
        case _:
            return [f"{first}{name}" for name in item.names]


def may_be_cause(rule: Rule, item: Item) -> bool:
    """Whether the cause of a rule, as written, is about this item. Reads the structured cause, not the signs, so that
    a wrong sign shows as a difference between the two evaluators."""
    cause, sort = rule.cause, item.fact.sort
    if cause.sort != sort:
        return False
    if sort == "state":
        return item.names == (rule.consequence.id, str(rule.cause_number))
    if sort == "leave":
        return True
    if cause.names and not set(cause.names) & set(item.names):
        return False
    if sort in ("work", "event", "test"):
        return bool(cause.names) and cause.of in ("", item.kind)
    if sort == "finding":
        verdicts = cause.verdicts or ("unmet",)
        if item.verdict not in verdicts and not (item.unmet and "unmet" in verdicts):
            return False
        if cause.criteria and not set(cause.criteria) & set(item.names):
            return False
        return cause.of in ("", item.kind) and cause.effect in ("", item.effect)
    if sort == "seen":
        return bool(set(cause.criteria) & set(item.names))
    return item.verdict == "open" if sort == "duty" else bool(cause.names)
