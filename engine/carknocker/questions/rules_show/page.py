"""Rules as pages: the editions at hand, one edition with its requirements and consequences."""

from carknocker.page.model import Block, Bullets, Item, Page, Rows, Section
from carknocker.questions.rules_show.ask import RulesShown
from carknocker.wording.edition_text import RuleShown, edition_rows
from carknocker.wording.sources import source_words


def rules_page(shown: RulesShown) -> Page:
    """One edition, or one rule of it."""
    edition = shown.edition
    sections: list[Section] = []
    if len(shown.rules) != 1:
        blocks: list[Block | Item] = [Rows(edition_rows(edition))]
        if shown.regimes:
            blocks.append(Rows(shown.regimes))
        if shown.relaxes:
            blocks.append(Item("Relaxes", (Rows(shown.relaxes),)))
        sections.append(Section("Edition", tuple(blocks)))
        statuses = tuple(f"{word}: {number:,}" for word, number in shown.statuses)
        sections.append(Section("How its sources were read", (Bullets(statuses),)))
    for sort, one, many in (
        ("criterion", "Requirement", "Requirements"),
        ("consequence", "Consequence", "Consequences"),
    ):
        items = tuple(_rule(rule) for rule in shown.rules if rule.sort == sort)
        if items:
            sections.append(Section(one if len(items) == 1 else many, items))
    count = len(shown.rules)
    verdict = f"{count} rule{'' if count == 1 else 's'} of {edition.title}"
    return Page(f"{edition.ruleset} {edition.edition}", verdict, "plain", tuple(sections))


def _rule(rule: RuleShown) -> Item:
    rows = [*rule.lines, ("source", source_words(rule.source)), ("status", _status(rule))]
    rows.append(("written at", f"{rule.where.file}:{rule.where.line}"))
    return Item(f"{rule.id}: {rule.title}", (Rows(tuple(rows)),))


def _status(rule: RuleShown) -> str:
    return f"{rule.status}: check the current text" if rule.source.to_be_checked else rule.status
