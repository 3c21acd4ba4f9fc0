"""Which novelty explains that a duty or a restriction came, was answered, or went."""

from collections.abc import Iterator

from carknocker.judgement.facts import Fact, FindingFact, StateFact
from carknocker.judgement.model import Duty, RestrictionInForce
from carknocker.questions.diff.links import Links
from carknocker.questions.diff.model import Novelty
from carknocker.questions.diff.pick import editions, once
from carknocker.record.model import Evidence, Spare


def duty_reasons(before: Duty | None, after: Duty | None, links: Links) -> tuple[Novelty, ...]:
    """What called for a duty, answered it, or ended it."""
    found: list[Novelty] = []
    if before is not None and after is not None and before.state == after.state:
        return ()
    for duty, asked, side in ((after, links.after, links.added), (before, links.before, links.gone)):
        if duty is None:
            continue
        if isinstance(duty.answered_by, Evidence):
            found.extend(links.novel(duty.answered_by))
        if duty.requirement.spare and not any(one.sort == "spare" for one in found):
            wanted = duty.requirement.spare
            found.extend(one for one in side if isinstance(one.about, Spare) and one.about.name == wanted)
        found.extend(links.cause(duty.cause, asked, side))
    some, other = (after, links.before) if before is None else (before, links.after)
    if some is not None and (before is None or after is None):
        found.extend(_began_or_ended(some.cause, links))
        if some.consequence.id not in other.consequences:
            found.extend(editions(links.added, some.consequence.ruleset))
    return once(found)


def restriction_reasons(one: RestrictionInForce, links: Links, *, new: bool) -> tuple[Novelty, ...]:
    """What began or ended a restriction, by way of its reasons."""
    asked, side = (links.after, links.added) if new else (links.before, links.gone)
    other = links.before if new else links.after
    found: list[Novelty] = []
    for fact in one.reasons:
        found.extend(links.cause(fact, asked, side))
        found.extend(_began_or_ended(fact, links))
    if one.said_by not in other.criteria and one.said_by not in other.consequences:
        found.extend(editions(links.added, one.said_by.partition("/")[0]))
    return once(found)


def _began_or_ended(cause: Fact, links: Links) -> Iterator[Novelty]:
    """Why a cause holds only on one side: a finding that changed, a part that is in another state."""
    if isinstance(cause, FindingFact):
        key = (cause.criterion, cause.part)
        yield from links.of_finding(links.before.findings.get(key), links.after.findings.get(key))
    elif isinstance(cause, StateFact):
        yield from links.cause(cause, links.after, links.added)
        yield from links.cause(cause, links.before, links.gone)
