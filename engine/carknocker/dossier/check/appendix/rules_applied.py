"""Every rule that judged this car, with the sentence that it rests on and how that was read."""

import msgspec

from carknocker.dossier.check.source_list import rules_that_apply
from carknocker.dossier.context import Context
from carknocker.wording.sources import place_words, status_words


class RuleApplied(msgspec.Struct, frozen=True):
    """A criterion that applied, or a consequence that fired. words: the operative words of its source."""

    edition: str
    title: str
    place: str
    words: str
    year: str
    status: str
    id: str


def rules_applied_of(context: Context) -> tuple[RuleApplied, ...]:
    """The rules, edition by edition in the order of the rulebook."""
    editions = {(one.ruleset, one.name): number for number, one in enumerate(context.judgement.rulebook.editions)}
    rules = sorted(rules_that_apply(context), key=lambda rule: editions.get((rule.ruleset, rule.edition), -1))
    return tuple(
        RuleApplied(
            edition=f"{rule.ruleset} {rule.edition}",
            title=rule.title,
            place=place_words(rule.source),
            words=rule.source.words,
            year=rule.source.year,
            status=status_words(rule.source),
            id=rule.id,
        )
        for rule in rules
    )
