"""`rules list` and `rules show`: the editions at hand, and what one of them says, each figure with its status word."""

import msgspec

from carknocker.judgement.names import NotFound
from carknocker.rulebook import Library
from carknocker.rulebook.model import Consequence, Criterion, Edition
from carknocker.wording.edition_text import EditionLine, RuleShown, edition_line, rule_shown


class RulesShown(msgspec.Struct, frozen=True):
    """An edition, or one rule of it. statuses: status word → how many of the rules shown rest on such a source."""

    edition: EditionLine
    regimes: tuple[tuple[str, str], ...]
    relaxes: tuple[tuple[str, str], ...]
    rules: tuple[RuleShown, ...]
    statuses: tuple[tuple[str, int], ...]


def show_rules(library: Library, ruleset: str, edition: str | None = None, rule: str | None = None) -> RulesShown:
    """What an edition says, with its amendments; `edition` None: the newest. rule: the short or full id of one.

    Raises NotFound for a ruleset, an edition or a rule that is not here, InputRefused if its files can't be read.
    """
    library = library.reading_examples()
    if ruleset not in library.heads:
        raise NotFound("ruleset", ruleset, library.heads, "here")
    heads = {head.name: head for head in library.heads[ruleset]}
    if edition is not None and edition not in heads:
        raise NotFound("edition", edition, heads, f"of {ruleset}")
    head = heads[edition] if edition is not None else library.heads[ruleset][-1]
    whole = library.edition(head.ruleset, head.name)
    rules = tuple(rule_shown(one, whole) for one in _chosen(whole, rule))
    counts: dict[str, int] = {}
    for shown in rules:
        counts[shown.source.status] = counts.get(shown.source.status, 0) + 1
    return RulesShown(
        edition_line(head, library),
        tuple(whole.regimes.items()),
        tuple(whole.relaxes.items()),
        rules,
        tuple(counts.items()),
    )


def _chosen(edition: Edition, rule: str | None) -> list[Criterion | Consequence]:
    rules: list[Criterion | Consequence] = [*edition.criteria, *edition.consequences]
    if rule is None:
        return rules
    wanted = rule.strip().casefold()
    found = [one for one in rules if wanted in (one.id.casefold(), one.name.casefold())]
    if not found:
        choices = [one.id if "/" in rule else one.name for one in rules]
        raise NotFound("rule", rule, choices, f"in {edition.ruleset} {edition.name}")
    return found
