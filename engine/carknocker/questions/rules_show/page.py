"""Rules as pages: the editions at hand, one edition with its criteria and consequences, the report of a check."""

from collections.abc import Iterable

from carknocker.page.model import Block, Bullets, Item, Loud, Page, Paragraph, Rows, Section
from carknocker.questions.rules_check.ask import RulesReport
from carknocker.questions.rules_show.ask import EditionLine, RuleShown, RulesShown
from carknocker.wording.sources import source_words


def editions_page(editions: Iterable[EditionLine]) -> Page:
    """The editions at hand, oldest first within a ruleset."""
    listed = list(editions)
    items = tuple(Item(f"{one.ruleset} {one.edition}", (Rows(_edition_rows(one)),)) for one in listed)
    return Page("Rulesets", f"{len(listed)} edition{'' if len(listed) == 1 else 's'}", "plain", (
        Section("Editions", items),
    ))  # fmt: skip


def _edition_rows(one: EditionLine) -> tuple[tuple[str, str], ...]:
    until = f" until {one.until.isoformat()}" if one.until is not None else ""
    rows = [
        ("title", one.title),
        ("layer", one.layer + (f" of {one.host}" if one.host else "")),
        ("publisher", one.publisher),
        ("in force", f"since {one.in_force.isoformat()}{until}"),
        ("checked", f"text compared with its source on {one.checked.isoformat()}"),
        ("amends", one.amends),
        ("builds on", ", ".join(one.builds_on)),
        ("file", one.where.file),
    ]
    return tuple((label, text) for label, text in rows if text)


def rules_page(shown: RulesShown) -> Page:
    """One edition, or one rule of it."""
    edition = shown.edition
    sections: list[Section] = []
    if len(shown.rules) != 1:
        blocks: list[Block | Item] = [Rows(_edition_rows(edition))]
        if shown.regimes:
            blocks.append(Rows(shown.regimes))
        if shown.relaxes:
            blocks.append(Item("Relaxes", (Rows(shown.relaxes),)))
        sections.append(Section("Edition", tuple(blocks)))
        statuses = tuple(f"{word}: {number:,}" for word, number in shown.statuses)
        sections.append(Section("How its sources were read", (Bullets(statuses),)))
    for sort, one, many in (("criterion", "Criterion", "Criteria"), ("consequence", "Consequence", "Consequences")):
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


def report_page(report: RulesReport) -> Page:
    """What `rules check` found, but for the problems, which are shown with their lines."""
    lines = tuple(
        f"{one.ruleset} {one.edition}: {one.criteria:,} criteria, {one.consequences:,} consequences, "
        f"{one.examples:,} examples" + (f", {one.mismatches:,} of them judged otherwise" if one.mismatches else "")
        for one in report.editions
    )
    sections = [Section("Editions", (Bullets(lines),))] if lines else []
    if report.mismatches:
        items = tuple(
            Item(
                f"{one.rule}, example {one.number} ({one.where.file}:{one.where.line})",
                (Rows((("given", one.given), ("says", one.expected), ("judged", one.got))),),
            )
            for one in report.mismatches
        )
        sections.append(Section("Examples judged otherwise than they say", items))
    if not lines:
        sections.append(Section("Editions", (Paragraph("none could be read"),)))
    bad = len(report.problems) + len(report.mismatches)
    verdict = (
        Loud("IN ORDER", f": {report.examples:,} examples, all judged as they say")
        if report.ok
        else Loud("NOT IN ORDER", f": {bad:,} problem{'' if bad == 1 else 's'}")
    )
    return Page("Check of the rules", verdict, "good" if report.ok else "bad", tuple(sections))
