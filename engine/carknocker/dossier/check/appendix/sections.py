"""The appendix laid out: what a stranger looks up, long lists folded away."""

from collections.abc import Iterable

from carknocker.dossier.check.appendix.appendix import Appendix
from carknocker.dossier.check.appendix.every_criterion import KindRows
from carknocker.dossier.check.appendix.evidence_sections import evidence_section, history_section, tests_section
from carknocker.dossier.check.appendix.rules_applied import RuleApplied
from carknocker.dossier.check.appendix.tables import full_table
from carknocker.dossier.check.placing import Placed
from carknocker.dossier.check.view import View
from carknocker.dossier.glossary.glossary import terms_in, texts_of
from carknocker.dossier.writing.page import Block, Bullets, Item, Paragraph, Rows, Section


def appendix_sections(view: View, appendix: Appendix, cautions: Section, before: Iterable[Section]) -> list[Placed]:
    """The sections after the inspector's list, in order. before: those that come first, for the words they use."""
    own: list[Placed] = [
        ("criteria", _criteria(view, appendix)),
        ("", _not_applying(appendix)),
        ("workings", _workings(appendix)),
        ("", _serials(appendix)),
        ("", history_section(appendix)),
        ("", tests_section(appendix)),
        ("", evidence_section(appendix)),
        ("", _rules_in_force(view)),
        ("", _rules(appendix)),
    ]
    said = [section for _, section in own if section is not None]
    return [*own, ("", _glossary([*before, *said])), ("", cautions), ("", _recheck(appendix))]


def _criteria(view: View, appendix: Appendix) -> Section:
    columns = ("Criterion", "Where", "Verdict", "Measured", "Margin", "Required")
    tables = (
        full_table(
            f"Criteria on {kind.parts}",
            columns,
            (
                (f"{row.title} ({row.place})", where, row.verdict, row.measured, row.margin, row.required)
                for row, where in zip(kind.rows, _where(kind), strict=True)
            ),
        )
        for kind in appendix.criteria
    )
    return Section("Every criterion, part by part", (Paragraph(view.summary.sentence), *tables), folded=True)


def _where(kind: KindRows) -> tuple[str, ...]:
    """The parts of each row; nothing where every row is about all parts, which the caption names."""
    parts = tuple(row.parts for row in kind.rows)
    return ("",) * len(parts) if set(parts) == {kind.parts} else parts


def _not_applying(appendix: Appendix) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.not_applying)
    return Section("What does not apply to this car, and why", items, folded=True) if items else None


def _workings(appendix: Appendix) -> Section | None:
    items = tuple(Item(entry.title, (Bullets(entry.lines),)) for entry in appendix.workings)
    return Section("Workings: figures that no gauge reads", items) if items else None


def _serials(appendix: Appendix) -> Section | None:
    if not appendix.serials:
        return None
    columns = ("Part", "Axle", "Serial or mark", "Class and kind", "Maker", "Made", "Dates")
    rows = (
        (row.part, row.axle, row.serial or "not recorded", row.sort, row.maker, row.made, row.dates)
        for row in appendix.serials
    )
    return Section("Serials, axle by axle", (full_table("As the car's record writes them", columns, rows),))


def _rules_in_force(view: View) -> Section:
    editions = ((line.layer, line.title, line.in_force, line.checked + line.warning) for line in view.rulebook)
    columns = ("Layer", "Edition", "In force", "Its text")
    blocks: list[Block | Item] = [
        full_table("Editions that bind this move", columns, editions),
        Item(view.sources.title, (Bullets(view.sources.lines),)),
    ]
    return Section("Rules in force", tuple(blocks))


def _rules(appendix: Appendix) -> Section | None:
    groups: dict[str, dict[tuple[str, str], list[str]]] = {}
    for rule in appendix.rules:
        sentences = groups.setdefault(", ".join(filter(None, (rule.edition, _read(rule)))), {})
        sentences.setdefault((rule.words, rule.place), []).append(rule.title)
    items = tuple(
        Item(group, (Bullets(tuple(_rule(sentence, titles) for sentence, titles in sentences.items())),))
        for group, sentences in groups.items()
    )
    lead = Paragraph(
        "Each criterion that applied and each consequence that followed, by edition and by how its source was read. "
        "Rules that rest on one sentence stand together."
    )
    heading = "Every rule that judged this car, with its words"
    return Section(heading, (lead, *items), folded=True) if items else None


def _rule(sentence: tuple[str, str], titles: list[str]) -> str:
    words, place = sentence
    said = f": “{words}”" if words else ""
    return f"{'; '.join(titles)}{said} ({place})"


def _read(rule: RuleApplied) -> str:
    words = ", ".join(filter(None, (rule.year, rule.status)))
    return f"text of {words}" if rule.year else words


def _glossary(sections: Iterable[Section]) -> Section:
    terms = terms_in(texts_of(sections))
    return Section("Words used here", (Rows(tuple((term.term, term.said) for term in terms)),), folded=True)


def _recheck(appendix: Appendix) -> Section:
    recheck = appendix.recheck
    told = (
        f"Made by {recheck.program}. The same files, rules and day give this page again, letter by letter. The first "
        "command writes the dossier as JSON. The second works it out again from the two files, and says “identical” "
        "or what differs."
    )
    return Section(
        "Work it out again",
        (
            Paragraph(told),
            Rows((("make", recheck.make), ("re-check", recheck.check))),
            Item("SHA-256 digests of what was read", (Rows(recheck.digests),)),
        ),
    )
