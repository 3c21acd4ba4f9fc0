"""The report of a check of the rules as a page."""

from carknocker.page.model import Bullets, Emphasized, Item, Page, Paragraph, Rows, Section
from carknocker.questions.rules_check.ask import EditionCount, RulesReport
from carknocker.wording.phrases import counted


def report_page(report: RulesReport) -> Page:
    """What `rules check` found, but for the problems, which are shown with their lines."""
    lines = tuple(map(_line, report.editions))
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
        Emphasized("IN ORDER", f": {counted(report.examples, 'example')}, all judged as they say")
        if report.ok
        else Emphasized("NOT IN ORDER", f": {bad:,} problem{'' if bad == 1 else 's'}")
    )
    return Page("Check of the rules", verdict, "good" if report.ok else "bad", tuple(sections))


def _line(one: EditionCount) -> str:
    told = (
        counted(one.criteria, "requirement"),
        counted(one.consequences, "consequence"),
        counted(one.examples, "example"),
    )
    odd = f", {one.mismatches:,} of them judged otherwise" if one.mismatches else ""
    return f"{one.ruleset} {one.edition}: {', '.join(told)}{odd}"
